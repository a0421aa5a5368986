"""Which requirement makes a redo problem impossible?"""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.reaching import exact


def conflict(chooser: Chooser) -> str:
    """Return in words why nothing meets all that must be; empty where that cannot be told."""
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
        for said in _beyond(chooser, musts, name, exact(limit), amounts, unit)
    ]
    if found:
        return " ".join(found)
    if problem.hours_budget is not None and problem.money_budget is not None:
        return (
            f"What must be done ({', '.join(musts)}) keeps to hours_budget by one way in and to "
            "money_budget by another, but by no way to both."
        )
    return ""


def _beyond(
    chooser: Chooser,
    musts: list[str],
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
            f"{key} must be done and takes at least {float(least):g} {unit}, but {name} is "
            f"{float(limit):g}."
        )
    together = chooser.least(frozenset(musts), amounts)
    if not beyond and together is not None and together > limit:
        yield (
            f"What must be done ({', '.join(musts)}) takes at least {float(together):g} {unit} "
            f"together, but {name} is {float(limit):g}."
        )
