"""Sentences about how long seals last, and how well two people agree."""

from math import inf

from leaktrack.model.agreement import Agreement, Kappa
from leaktrack.model.debris import CrumbSource, DrainChange, DrainRow
from leaktrack.model.figure import Figure
from leaktrack.model.seal_life import GroupLife, SealHistoryReport

FEW_PAIRS = 20
"""With fewer places graded twice, kappa says little; own judgement."""

FEW_LEAKS, FEW_JOBS = 3, 5
"""With fewer leaks or jobs, how long seals last cannot be told; own judgement."""

_MOST_JOINTS = 5
"""So many joints are named for one colour."""

LIFE_ASSUMES = (
    "Hours run since the joint was sealed. A leak began somewhere between the last look that saw "
    "the place dry and the first that saw it wet; a joint that was not looked at says nothing. "
    "Assumes that looks do not depend on leaks, and that engines of one record are alike."
)
AGREEMENT_ASSUMES = (
    "Kappa is agreement beyond chance: 1 is always, 0 as often as by chance. With quadratic "
    "weights, grades far apart count much more. The interval is for many places; for few it is "
    "too narrow."
)
CRUMBS_ASSUME = (
    "By colour alone, as a photo shows it in its light: a hint, never proof. Dark clumps may be "
    "black sealant too."
)


def percent_words(share: Figure | None) -> str:
    """Return a share with its interval in percent.

    >>> percent_words(Figure(0.761, 0.63, 0.879)), percent_words(None)
    ('76 % (63 to 88)', 'not known')
    """
    if share is None:
        return "not known"
    low, high = 100 * share.low, 100 * share.high
    return f"{100 * share.value:.0f} % ({low:.0f} to {high:.0f})"


def hours_figure_words(figure: Figure) -> str:
    """Return hours with their interval, with no more digits than they deserve.

    >>> hours_figure_words(Figure(41.48, 28.04, 61.37))
    '41 h (28 to 61)'
    """
    numbers = [_short(value) for value in (figure.value, figure.low, figure.high)]
    return f"{numbers[0]} h ({numbers[1]} to {numbers[2]})"


def _short(value: float) -> str:
    if value >= 1e5:
        return "over 100 000"
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}"


def group_sentence(group: GroupLife) -> str:
    """Return in one sentence how long the seals of a group stay dry, or why nobody can say."""
    head = f"{group.name}: {group.leaked} of {group.jobs} leaked"
    if group.jobs < FEW_JOBS or group.leaked < FEW_LEAKS:
        seen = f"within {group.last_h:.2g} h looked at" if group.last_h else "looked at once"
        return f"{head} {seen}. Too few to say how long they last."
    if group.law is None:
        return f"{head}. Too few leaks for a law; the steps tell all there is."
    shape = group.law.shape
    if shape.high < 1:
        why = "They leak early, as from bad work rather than wear."
    elif shape.low > 1:
        why = "They leak the sooner the longer they ran, as from wear."
    else:
        why = "Whether they leak early or from wear, the data cannot say."
    beyond = " That is beyond the last look." if group.law.median_h.value > group.last_h else ""
    return f"{head}. Half of them within {hours_figure_words(group.law.median_h)}.{beyond} {why}"


def rule_sentence(report: SealHistoryReport) -> str:
    """Return in one sentence what leaving a rule did, or that nobody can say."""
    ratio = report.hazard_ratio
    if ratio is None:
        return (
            "Whether jobs that left their rule leak sooner cannot be told: too few of both kinds "
            "have leaked."
        )
    span = f"{ratio.value:.2g} times as fast ({ratio.low:.2g} to {ratio.high:.2g})"
    if ratio.low > 1:
        return f"Jobs that left their rule began to leak {span} as those that kept it."
    if ratio.high < 1:
        return f"Jobs that left their rule began to leak more slowly, {span}, than the others."
    return (
        f"Jobs that left their rule began to leak {span}; that may be chance, so it says nothing."
    )


def kappa_words(kappa: Kappa) -> str:
    """Return kappa with its interval.

    >>> kappa_words(Kappa(figure=None))
    'undefined: all grades are the same'
    """
    if kappa.figure is None:
        return "undefined: all grades are the same"
    return kappa.figure.words(decimals=2)


def agreement_sentence(one: Agreement) -> str:
    """Return in plain words how well two people agree."""
    head = (
        f"{one.first} and {one.second} gave {one.same} of {one.count} places the same grade, "
        f"{one.near} more were one apart."
    )
    lean = ""
    if one.higher != one.lower:
        who = one.second if one.higher > one.lower else one.first
        more, less = max(one.higher, one.lower), min(one.higher, one.lower)
        lean = f" {who} graded higher {more} times, and lower {less} times."
    return f"{head}{lean} {_verdict(one)}"


def _verdict(one: Agreement) -> str:
    figure = one.quadratic.figure
    if figure is None:
        return "All were given one single grade, so nothing can be said of how well they agree."
    if one.count < FEW_PAIRS:
        return f"With fewer than {FEW_PAIRS} places, that says little; grade more of them."
    # 0.75 and 0.40: manuals of measurement-system analysis, from memory.
    if figure.low > 0.75:
        return "Good agreement: it does not matter which of them grades."
    if figure.high < 0.40:
        return "Poor agreement: let one person grade, or agree first on what each grade means."
    if figure.low > 0.40:
        return "Fair agreement: growth by one grade may be only another person's eye."
    return "The interval is too wide to say more; grade more places."


def change_words(row: DrainRow) -> str:
    """Return how a row of two drains changed, with its ratio."""
    if row.ratio is None:
        return ""
    words = {
        DrainChange.MORE: "more",
        DrainChange.FEWER: "fewer",
        DrainChange.CANNOT_SAY: "may be chance",
    }[row.change]
    high = "any" if row.ratio.high == inf else f"{row.ratio.high:.3g}"
    value = "none before" if row.ratio.value == inf else f"{row.ratio.value:.2g} times"
    return f"{words}: {value} ({row.ratio.low:.2g} to {high})"


def row_name(row: DrainRow, kind_word: str) -> str:
    """Return what a row is about.

    >>> from leaktrack.model.debris import ParticleKind
    >>> row_name(DrainRow(kind=None, size="", before=1, after=2, before_mm2=0, after_mm2=0,
    ...     ratio=None, change=DrainChange.CANNOT_SAY), "")
    'all'
    """
    if row.kind is None:
        return "all"
    return f"{kind_word}, {row.size}" if row.size else kind_word


def crumbs_sentence(source: CrumbSource) -> str:
    """Return which joints crumbs of one colour may come from."""
    what = "crumb" if source.crumbs == 1 else "crumbs"
    head = f"{source.crumbs} {source.colour} {what}"
    if not source.joints:
        return f"{head}: no joint is recorded as sealed with that colour."
    names = list(source.joints[:_MOST_JOINTS])
    more = len(source.joints) - len(names)
    rest = f" and {more} more joints" if more else ""
    return f"{head}: that colour sealed {', '.join(names)}{rest}."
