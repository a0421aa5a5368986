"""Which requirement makes a redo problem impossible?"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.reaching import exact

_UNNAMED: Mapping[str, str] = MappingProxyType({})


def conflict(
    chooser: Chooser, names: Mapping[str, str] = _UNNAMED, never: Collection[str] = frozenset()
) -> str:
    """Return in words why nothing meets all that must be; empty where that cannot be told.

    Args:
        chooser: The problem.
        names: What people call tasks and budgets, where that is not their id.
        never: Ids of tasks that are not to be done.
    """
    both = [task.id for task in chooser.problem.tasks if task.is_must and task.id in never]
    if both:
        told = ", ".join(names.get(key, key) for key in both)
        return f"{told} must be done and is never to be done. Settle one of the two."
    problem, costs = chooser.problem, chooser.costs
    musts = [task.id for task in problem.tasks if task.is_must]
    limits = (
        ("hours_budget", problem.hours_budget, costs.hours, "h of labour"),
        ("money_budget", problem.money_budget, costs.money, "of money"),
    )
    found = [
        said
        for name, limit, amounts, unit in limits
        if limit is not None
        for said in _beyond(chooser, musts, names, name, exact(limit), amounts, unit)
    ]
    if found:
        return " ".join(found)
    if problem.hours_budget is not None and problem.money_budget is not None:
        return (
            f"What must be done ({_listed(musts, names)}) keeps to "
            f"{names.get('hours_budget', 'hours_budget')} by one way in and to "
            f"{names.get('money_budget', 'money_budget')} by another, but by no way to both."
        )
    return ""


def _beyond(
    chooser: Chooser,
    musts: list[str],
    names: Mapping[str, str],
    name: str,
    limit: Fraction,
    amounts: Mapping[str, Fraction],
    unit: str,
) -> Iterator[str]:
    """Yield which tasks that must be done are beyond a budget: one alone, else all together."""
    alone = {key: chooser.least(frozenset([key]), amounts) for key in musts}
    beyond = [(key, least) for key, least in alone.items() if least is not None and least > limit]
    for key, least in beyond:
        yield (
            f"{names.get(key, key)} must be done and takes at least {float(least):g} {unit}, but "
            f"{names.get(name, name)} is {float(limit):g}."
        )
    together = chooser.least(frozenset(musts), amounts)
    if not beyond and together is not None and together > limit:
        yield (
            f"What must be done ({_listed(musts, names)}) takes at least {float(together):g} "
            f"{unit} together, but {names.get(name, name)} is {float(limit):g}."
        )


def _listed(keys: Iterable[str], names: Mapping[str, str]) -> str:
    return ", ".join(names.get(key, key) for key in keys)
