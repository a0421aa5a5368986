"""How a place on a joint strip is read out: what the eye sees there, in words."""

from leaktrack.gui.panels.joint_strip_layout import (
    faults_at,
    is_seen,
    mark_at,
    reach,
    unread_at,
)
from leaktrack.model.joint_strip import JointStrip, StripBead, StripMark, StripRow
from leaktrack.model.strip_words import (
    cure_words,
    doubt_words,
    fault_words,
    place_of_words,
    tolerance_words,
    untightened_words,
)
from leaktrack.model.units import rough
from leaktrack.model.words import deviation_sentence, grade_words, word


def row_name(row: StripRow) -> str:
    """Return what a row is called at the left of the chart."""
    day = row.at.astimezone()
    date = f"{day.day} {day:%b}"
    if row.inspection is None:
        return f"{date}  sealed"
    return f"{date}  {row.inspection.title or word_of_inspection()}"


def row_detail(row: StripRow) -> str:
    """Return what stands below a seal's name: how long it cured."""
    return cure_words(row.cured_h)


def word_of_inspection() -> str:
    """Return what an inspection without a title is called."""
    return "inspection"


def place_words(strip: JointStrip, row_place: int, station: float, slack: float) -> str:
    """Return what the chart shows at a place, in words.

    Args:
        strip: The chart.
        row_place: Which of its rows.
        station: Where along the joint.
        slack: How far beside a thing still means it, in bolt coordinates.
    """
    row = strip.rows[row_place]
    above = strip.job_row_above(row_place)
    job_row = None if above is None else strip.rows[above]
    if row.inspection is None:
        return _seal_words(strip, row, station, slack)
    mark = mark_at(strip, row, station, slack)
    title = row.inspection.title or word_of_inspection()
    where = _where(strip, station)
    if mark is not None:
        return _mark_words(strip, mark, where, title, job_row, slack)
    bead = _bead_there(strip, job_row, station, slack)
    state = "no mark" if is_seen(row, station) else "not seen"
    return f"{where}, {title}: {state}{bead}"


def _mark_words(
    strip: JointStrip,
    mark: StripMark,
    where: str,
    title: str,
    job_row: StripRow | None,
    slack: float,
) -> str:
    wet = ""
    if mark.wet_to > mark.wet_from:
        low, high = (
            _where(strip, strip.wrapped(end)).lower() for end in (mark.wet_from, mark.wet_to)
        )
        wet = f", wet from {low} to {high.removeprefix('bolt ')}"
    doubt = doubt_words(mark)
    source = (
        f", starts at {_where(strip, strip.wrapped(mark.station)).lower()} {doubt}" if doubt else ""
    )
    bead = _bead_there(strip, job_row, strip.wrapped(mark.station), reach(mark, slack))
    return (
        f"{where}, {title}: leak {mark.leak_number}, {grade_words(mark.grade)}{wet}{source}{bead}"
    )


def _bead_there(strip: JointStrip, job_row: StripRow | None, station: float, slack: float) -> str:
    """Return what is wrong with the bead in force there; empty where nothing is known to be."""
    told = [
        fault_words(fault, bead.unit) for bead, fault in faults_at(strip, job_row, station, slack)
    ]
    return f". The bead there: {'; '.join(dict.fromkeys(told))}" if told else ""


def _seal_words(strip: JointStrip, row: StripRow, station: float, slack: float) -> str:
    """Return what is known of a seal at a place, then of the seal as a whole."""
    date = f"{row.at.astimezone():%Y-%m-%d}"
    told = [
        f"{_where(strip, station)}, sealed on {date}: {_bead_words(strip, row, station, slack)}"
    ]
    whole = [cure_words(row.cured_h), untightened_words(row)]
    if row.deviations:
        departs = "; ".join(deviation_sentence(each) for each in row.deviations)
        whole.append(f"departs from its rule: {departs}")
    told += [text[:1].upper() + text[1:] for text in whole if text]
    return ". ".join(told)


def _bead_words(strip: JointStrip, row: StripRow, station: float, slack: float) -> str:
    if not row.beads:
        return "no bead was measured"
    told = [fault_words(fault, bead.unit) for bead, fault in faults_at(strip, row, station, slack)]
    told = told or [text for bead in row.beads if (text := _width_words(strip, bead, station))]
    return "; ".join(dict.fromkeys(told)) or "no photo shows the bead here"


def _width_words(strip: JointStrip, bead: StripBead, station: float) -> str:
    unread = unread_at(strip, bead, station)
    if unread is not None:
        return f"the bead cannot be read here, {unread.reason}"
    for turn in strip.turns(station):
        if (width := bead.width_at(turn)) is None:
            continue
        if not width.is_read:
            return "the bead cannot be read here"
        allowed = tolerance_words(bead)
        return f"bead {rough(width.width, bead.unit, 1)} wide" + (
            f", allowed {allowed}" if allowed else ""
        )
    return ""


def _where(strip: JointStrip, station: float) -> str:
    words = place_of_words(station, has_bolts=bool(strip.bolts))
    return words[:1].upper() + words[1:]


def bead_summary(row: StripRow) -> str:
    """Return the verdict of a seal's bead in a word or two; empty where none was measured."""
    verdicts = list(dict.fromkeys(word(bead.verdict) for bead in row.beads))
    return ", ".join(verdicts)
