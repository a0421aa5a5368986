"""Tell which open tasks are worth doing in one teardown, in words and as a document."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from leaktrack.cli.printing import say, say_table
from leaktrack.model.redo_benefit import Factor, Replan, WeighedRedo, WeighedTask
from leaktrack.model.redo_plan import RedoDecision, RedoTask
from leaktrack.model.redo_problem import SolvedState, TaskWhy, WorkKind
from leaktrack.model.redo_sentences import estimate_words, turns
from leaktrack.model.redo_terms import WorkEstimate
from leaktrack.model.words import word

Document = dict[str, Any]


def tell_worth(weighed: WeighedRedo) -> None:
    """Print what is worth doing, and what would change that."""
    answer = weighed.answer
    if not weighed.tasks:
        return
    say()
    say("Weighed against what it costs in one teardown:")
    if answer.state is SolvedState.INFEASIBLE:
        say(f"{word(answer.state).capitalize()}. {answer.conflict}")
        return
    say_table(
        ("Task", "Do it", "Worth", "Hours now", "Alone later", "Saved", "Chance", "By"),
        [_row(one, one.why) for one in weighed.tasks if one.why is not None],
    )
    say("A worth is the chance that it asks for work later, times a teardown of its own then.")
    for one in weighed.tasks:
        told = "; ".join(turns(one))
        if told:
            say(f"{one.task.name}: {told}.", indent="  ")
    for said in _recorded(weighed):
        say(said, indent="  ")
    say(
        f"All that is worth it: {answer.labour_hours:g} h of labour and {answer.money:g} for "
        f"parts, {answer.value:.0f} better than leaving it."
    )
    schedule = answer.schedule
    if schedule is not None and schedule.slots:
        say(f"Ready after {schedule.ready_h:g} h of work and cure.")


def tell_factors(weighed: WeighedRedo) -> None:
    """Print each number behind each worth, and where it comes from."""
    for one in weighed.tasks:
        say()
        say(f"{one.task.name}: worth {one.benefit.worth:.2f}")
        say_table(
            ("Factor", "Value", "From"),
            [(each.name, _value(each), word(each.standing)) for each in one.benefit.factors],
        )


def tell_since(again: Replan) -> None:
    """Print what became of the plan that was kept last."""
    if again.since is None:
        return
    say()
    say(f"Since the plan of {again.since.made_at.astimezone():%Y-%m-%d}:")
    for what, tasks in (
        ("done", again.done),
        ("still to do", again.still),
        ("not worth it any more", again.dropped),
        ("come in since", again.found),
    ):
        if tasks:
            say(f"{what}: {'; '.join(task.name for task in tasks)}", indent="  ")


def _value(factor: Factor) -> str:
    if factor.unit:
        return f"{factor.value:g} {factor.unit}"
    return f"{factor.value:.3g}"


def _recorded(weighed: WeighedRedo) -> Iterator[str]:
    """Yield where recorded times stand in for what was written down."""
    names = weighed.name_of
    for (record_id, kind), estimate in weighed.estimates.items():
        if estimate.count and str(record_id) in names:
            what = "" if kind is WorkKind.TASK else f" ({word(kind)})"
            written = f"{estimate.written_hours:g} h written down"
            yield f"{names[str(record_id)]}{what}: {estimate_words(estimate)}; {written}"


def _row(one: WeighedTask, why: TaskWhy) -> tuple[str, ...]:
    is_settled = one.task.decision is not RedoDecision.DECIDE
    decided = word(one.task.decision) if is_settled else "yes" if why.is_chosen else "no"
    return (
        one.task.name,
        decided,
        f"{one.benefit.worth:.0f}",
        _hours(why.marginal_hours),
        _hours(one.benefit.later_hours),
        _hours(one.saved_hours),
        f"{one.benefit.chance:.0%}",
        word(one.benefit.chance_from),
    )


def _hours(value: float | None) -> str:
    return "" if value is None else f"{round(value, 2):g} h"


def worth_document(again: Replan) -> Document:
    """Return the same as a JSON-ready document."""
    weighed = again.weighed
    answer = weighed.answer
    schedule = answer.schedule
    terms = weighed.terms
    return {
        "state": answer.state.value,
        "value": answer.value,
        "labour_hours": answer.labour_hours,
        "money": answer.money,
        "ready_h": schedule.ready_h if schedule else None,
        "conflict": answer.conflict,
        "terms": {
            "hour_rate": terms.hour_rate,
            "mess": terms.mess,
            "workers": terms.workers,
            "day_hours": terms.day_hours,
            "hours_budget": terms.hours_budget,
            "money_budget": terms.money_budget,
        },
        "tasks": [_task(one, weighed) for one in weighed.tasks],
        "steps": list(answer.steps),
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
        "since": _since(again),
    }


def _since(again: Replan) -> Document | None:
    if again.since is None:
        return None
    return {
        "made_at": again.since.made_at.isoformat(),
        "done": _ids(again.done),
        "still": _ids(again.still),
        "dropped": _ids(again.dropped),
        "found": _ids(again.found),
    }


def _ids(tasks: Sequence[RedoTask]) -> list[str]:
    return [str(task.id) for task in tasks]


def _task(one: WeighedTask, weighed: WeighedRedo) -> Document:
    benefit, why = one.benefit, one.why
    estimates: Mapping[tuple[Any, WorkKind], WorkEstimate] = weighed.estimates
    estimate = estimates[one.task.id, WorkKind.TASK]
    return {
        "id": str(one.task.id),
        "name": one.task.name,
        "decision": one.task.decision.value,
        "chosen": one.is_chosen,
        "worth": round(benefit.worth, 2),
        "worth_it_from": why.worth_it_from if why else None,
        "worth_it_chance": one.worth_it_chance,
        "rate_from": why.rates.low if why and why.rates else None,
        "rate_to": why.rates.high if why and why.rates else None,
        "reason": why.reason if why else "",
        "hours": one.task.hours,
        "written_hours": estimate.written_hours,
        "recorded": estimate.count,
        "alone_hours": why.alone_hours if why else None,
        "marginal_hours": why.marginal_hours if why else None,
        "saved_hours": one.saved_hours,
        "chance": round(benefit.chance, 4),
        "chance_from": benefit.chance_from.value,
        "about_ids": [str(about) for about in benefit.about_ids],
        "later_hours": benefit.later_hours,
        "later_money": benefit.later_money,
        "mess": benefit.mess,
        "hour_rate": benefit.hour_rate,
        "factors": [
            {
                "name": each.name,
                "value": each.value,
                "unit": each.unit,
                "standing": each.standing.value,
            }
            for each in benefit.factors
        ],
    }
