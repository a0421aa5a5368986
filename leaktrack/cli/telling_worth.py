"""Tell which open tasks are worth doing in one teardown, in words and as a document."""

from collections.abc import Mapping
from typing import Any

from leaktrack.cli.printing import say, say_table
from leaktrack.model.redo_benefit import WeighedRedo, WeighedTask
from leaktrack.model.redo_problem import SolvedState, TaskWhy
from leaktrack.model.words import word

Document = dict[str, Any]


def tell_worth(weighed: WeighedRedo) -> None:
    """Print what is worth doing, with the factors of each worth."""
    answer = weighed.answer
    if not weighed.tasks:
        return
    say()
    say("Weighed against what it costs in one teardown:")
    if answer.state is SolvedState.INFEASIBLE:
        say(f"{word(answer.state).capitalize()}. {answer.conflict}")
        return
    why = {one.task: one for one in answer.why}
    say_table(
        ("Task", "Worth it", "Worth", "Hours now", "Alone", "Chance", "By"),
        [_row(one, why[str(one.task.id)]) for one in weighed.tasks],
    )
    say("A worth is the chance that it asks for work later, times a teardown of its own then.")
    say(
        f"All that is worth it: {answer.labour_hours:g} h of labour and {answer.money:g} for "
        f"parts, {answer.value:.0f} better than leaving it."
    )
    schedule = answer.schedule
    if schedule is not None and schedule.slots:
        say(f"Ready after {schedule.ready_h:g} h of work and cure.")


def _row(one: WeighedTask, why: TaskWhy) -> tuple[str, ...]:
    turn = "" if why.worth_it_from is None else f", from {why.worth_it_from:.0f}"
    return (
        one.task.name,
        "yes" if why.is_chosen else "no",
        f"{one.benefit.worth:.0f}{turn}",
        _hours(why.marginal_hours),
        _hours(why.alone_hours),
        f"{one.benefit.chance:.0%}",
        word(one.benefit.chance_from),
    )


def _hours(value: float | None) -> str:
    return "" if value is None else f"{value:g} h"


def worth_document(weighed: WeighedRedo) -> Document:
    """Return the same as a JSON-ready document."""
    answer = weighed.answer
    why: Mapping[str, TaskWhy] = {one.task: one for one in answer.why}
    schedule = answer.schedule
    return {
        "state": answer.state.value,
        "value": answer.value,
        "labour_hours": answer.labour_hours,
        "money": answer.money,
        "ready_h": schedule.ready_h if schedule else None,
        "conflict": answer.conflict,
        "tasks": [_task(one, why.get(str(one.task.id))) for one in weighed.tasks],
        "schedule": [
            {
                "id": slot.id,
                "kind": slot.kind.value,
                "worker": slot.worker,
                "start_h": slot.start_h,
                "end_h": slot.end_h,
            }
            for slot in (schedule.slots if schedule else ())
        ],
    }


def _task(one: WeighedTask, why: TaskWhy | None) -> Document:
    benefit = one.benefit
    return {
        "id": str(one.task.id),
        "name": one.task.name,
        "chosen": why.is_chosen if why else False,
        "worth": round(benefit.worth, 2),
        "worth_it_from": why.worth_it_from if why else None,
        "alone_hours": why.alone_hours if why else None,
        "marginal_hours": why.marginal_hours if why else None,
        "chance": round(benefit.chance, 4),
        "chance_from": benefit.chance_from.value,
        "about_ids": [str(about) for about in benefit.about_ids],
        "later_hours": benefit.later_hours,
        "later_money": benefit.later_money,
        "mess": benefit.mess,
        "hour_rate": benefit.hour_rate,
    }
