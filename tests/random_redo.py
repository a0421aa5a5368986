"""Small random redo problems, and their best choice by trying every one."""

import random

from leaktrack.analysis.redoing.reaching import Selection, costs_of, exact, has_needs
from leaktrack.model.redo_problem import AnyOf, RedoProblem, Step, Task

RATES = (0, 10, 20, 45.5)


def random_problem(seed, *, most_steps=6, most_tasks=5, has_budgets=True, has_choices=True):
    """Return a problem with alternatives, budgets, steps done, and many ties."""
    rng = random.Random(seed)
    steps = []
    for number in range(rng.randint(1, most_steps)):
        steps.append(
            Step(
                id=f"s{number}",
                hours=_number(rng, 3),
                refit_hours=_number(rng, 2),
                money=rng.choice([0, 0, _number(rng, 30)]),
                is_done=rng.random() < 0.15,
                needs=_needs(rng, [step.id for step in steps], has_choices),
            )
        )
    names = [step.id for step in steps]
    tasks = tuple(
        Task(
            id=f"t{number}",
            hours=_number(rng, 3),
            benefit=rng.choice([_number(rng, 300), rng.randint(0, 6) * 10]),
            money=rng.choice([0, _number(rng, 40)]),
            is_must=has_budgets and rng.random() < 0.15,
            cure_h=rng.choice([0, 0, 2, 5.5]),
            does_cure_block_refit=rng.random() < 0.5,
            needs=_needs(rng, names, has_choices),
        )
        for number in range(rng.randint(1, most_tasks))
    )
    return RedoProblem(
        steps=tuple(steps),
        tasks=tasks,
        hour_rate=rng.choice(RATES),
        workers=rng.randint(1, 3),
        hours_budget=rng.choice([None, None, _number(rng, 12)]) if has_budgets else None,
        money_budget=rng.choice([None, None, _number(rng, 80)]) if has_budgets else None,
    )


def best_by_trying(problem):
    """Return value, tasks, labour and steps of the best choice as the rule of ties sorts them.

    None where nothing meets all that must be.
    """
    costs = costs_of(problem)
    keys = (_key(problem, costs, one) for one in _selections(problem))
    return min((key for key in keys if key is not None), default=None)


def key_of(problem, selection):
    """Return the same of one choice."""
    return _key(problem, costs_of(problem), selection)


def all_choices(problem):
    """Yield every choice that meets all that must be."""
    costs = costs_of(problem)
    return (one for one in _selections(problem) if _key(problem, costs, one) is not None)


def _key(problem, costs, selection):
    labour, money = costs.labour(selection), costs.spent(selection)
    is_dear = (problem.hours_budget is not None and labour > exact(problem.hours_budget)) or (
        problem.money_budget is not None and money > exact(problem.money_budget)
    )
    if is_dear or not has_needs(problem, selection):
        return None
    if any(task.is_must and task.id not in selection.tasks for task in problem.tasks):
        return None
    return (-costs.value(selection), len(selection.tasks), labour, len(selection.steps))


def _selections(problem):
    for tasks in _subsets([task.id for task in problem.tasks]):
        for steps in _subsets([step.id for step in problem.steps]):
            yield Selection(tasks, steps)


def _subsets(names):
    for bits in range(2 ** len(names)):
        yield frozenset(name for place, name in enumerate(names) if bits >> place & 1)


def _number(rng, most):
    return rng.choice([rng.randint(0, most), round(rng.random() * most, 1)])


def _needs(rng, names, has_choices):
    needs = []
    for _ in range(rng.choice([0, 0, 1, 1, 2]) if names else 0):
        if has_choices and rng.random() < 0.35:
            routes = [
                tuple(rng.sample(names, rng.randint(1, min(2, len(names)))))
                for _ in range(rng.randint(1, 3))
            ]
            needs.append(AnyOf(tuple(routes)))
        else:
            needs.append(rng.choice(names))
    return tuple(needs)
