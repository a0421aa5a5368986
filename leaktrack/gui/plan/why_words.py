"""Why a task is done or left, in sentences: hours, money, and where the choice would turn."""

from functools import partial

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.plan.answer_words import money_words
from leaktrack.gui.plan.schedule_words import hours_words
from leaktrack.model.chance import percent_words
from leaktrack.model.redo_benefit import Benefit, Factor, WeighedTask
from leaktrack.model.redo_plan import RedoDecision
from leaktrack.model.redo_problem import RateSpan
from leaktrack.model.words import word

_tr = partial(QCoreApplication.translate, "why_words")


def hours_sentence(weighed: WeighedTask, *, is_chosen: bool) -> str:
    """Return what it takes now, what as a job of its own, and what that saves."""
    why = weighed.why
    if why is None or why.marginal_hours is None or why.alone_hours is None:
        return ""
    now, alone = hours_words(why.marginal_hours), hours_words(why.alone_hours)
    saved = why.alone_hours - why.marginal_hours
    form = (
        _tr("It takes {now} more now, {alone} as a job of its own: {saved} saved.")
        if is_chosen
        else _tr("It would take {now} more now, {alone} as a job of its own: {saved} saved.")
    )
    return form.format(now=now, alone=alone, saved=hours_words(saved))


def turn_sentence(weighed: WeighedTask, *, is_chosen: bool) -> str:
    """Return what would have to be another for the choice to turn."""
    decision = weighed.task.decision
    said = {
        RedoDecision.MUST: _tr("It must be done, by your word."),
        RedoDecision.NEVER: _tr("It is never done, by your word."),
        RedoDecision.DECIDE: "",
    }[decision]
    sentences = [said, _by_chance(weighed, is_chosen=is_chosen)]
    if weighed.why is not None and weighed.why.rates is not None:
        sentences.append(rate_sentence(weighed.why.rates, is_chosen=is_chosen))
    return " ".join(filter(None, sentences))


def rate_sentence(rates: RateSpan, *, is_chosen: bool) -> str:
    """Return at which hour rates the choice would be another; empty where at none.

    >>> rate_sentence(RateSpan(40.0, None), is_chosen=False)
    'It would be done at an hour rate below 40.'
    """
    sides = []
    if rates.low is not None and rates.low > 0:
        sides.append(_tr("below %s") % money_words(round(rates.low, 2)))
    if rates.high is not None:
        sides.append(_tr("above %s") % money_words(round(rates.high, 2)))
    if not sides:
        return ""
    form = (
        _tr("It would be left at an hour rate %s.")
        if is_chosen
        else _tr("It would be done at an hour rate %s.")
    )
    return form % _tr(" or ").join(sides)


def _by_chance(weighed: WeighedTask, *, is_chosen: bool) -> str:
    turn = weighed.worth_it_chance
    if turn is None:
        return ""
    at = percent_words(turn)
    if weighed.task.decision is RedoDecision.NEVER:
        if turn >= 1:
            return _tr("It would not be worth it at any chance.")
        return (
            _tr("It would be worth it at a chance above %s.") % at
            if turn > 0
            else _tr("It would be worth it at any chance.")
        )
    if is_chosen:
        if turn <= 0:
            return _tr("It is worth it whatever the chance: others pay for the way in.")
        return _tr("It stays chosen as long as the chance is above %s.") % at
    if turn >= 1:
        return _tr("Even if it were certain to come back, it would not be worth it now.")
    return _tr("Not chosen: it would become worth it at a chance above %s.") % at


def worth_sentence(benefit: Benefit) -> str:
    """Return how much doing it now is worth, with how that is reckoned.

    >>> from leaktrack.model.redo_benefit import ChanceFrom
    >>> worth_sentence(Benefit(chance=0.5, chance_from=ChanceFrom.LEAKS, later_hours=10.0,
    ...     later_money=35.0, mess=40.0, hour_rate=80.0))
    'Doing it now is worth 437.5: 50 % of (10 h at 80 + 35 for parts + 40 for the mess).'
    """
    return _tr(
        "Doing it now is worth {worth}: {chance} of ({hours} at {rate} + {parts} for parts + "
        "{mess} for the mess)."
    ).format(
        worth=money_words(round(benefit.worth, 2)),
        chance=percent_words(benefit.chance),
        hours=hours_words(benefit.later_hours),
        rate=money_words(benefit.hour_rate),
        parts=money_words(benefit.later_money),
        mess=money_words(benefit.mess),
    )


def factor_words(factor: Factor) -> tuple[str, str, str]:
    """Return a factor's name, its number with its unit, and where the number comes from."""
    name = factor.name[:1].upper() + factor.name[1:]
    return name, _number(factor), word(factor.standing)


def _number(factor: Factor) -> str:
    if factor.unit == "h":
        return hours_words(factor.value)
    if factor.unit:
        return money_words(factor.value)
    return f"{factor.value:.3g}"
