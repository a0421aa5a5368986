"""What is said about a joint's line in a photo."""

from functools import partial

from PySide6.QtCore import QCoreApplication

from leaktrack.model.engine import JointLine
from leaktrack.workflows.carry_joint_lines import LineProposal

_tr = partial(QCoreApplication.translate, "line_words")


def drawing_words(proposal: LineProposal | None) -> str:
    """Return what to do while a line is being drawn, or a carried one looked at."""
    if proposal is None:
        return _tr(
            "Click where the joint passes each bolt, then drag points or add bends (Shift and "
            "click) until the line lies on the seam. With the keyboard: arrows and Enter."
        )
    look = _tr("Look along all of it, drag what is off the seam, then say it is done.")
    along = _tr("What you drag takes its neighbours along, until you drag them too.")
    if proposal.is_sure:
        sure = _tr("This line was carried over by the photos themselves.")
        return f"{sure} {look} {along}"
    unsure = _tr("This line was carried over and is unsure, by some %d px.")
    words = [unsure % round(proposal.sigma_px), _unsure_words(proposal), look, along]
    return " ".join(each for each in words if each)


def _unsure_words(proposal: LineProposal) -> str:
    """Return beside which bolts it is unsure; nothing where there are none."""
    points = [proposal.line.points[place] for place in proposal.unsure]
    numbers = [str(point.bolt_number) for point in points if point.bolt_number is not None]
    return _tr("Unsure at bolts: %s.") % ", ".join(numbers) if numbers else ""


def line_state_words(line: JointLine | None) -> str:
    """Return whether a line is there, and how well what was carried of it is known."""
    if line is None:
        return _tr("The line of this joint is not drawn in this photo yet.")
    bolts = sum(1 for point in line.points if point.bolt_number is not None)
    words: str = _tr("The line is drawn, with %d bolts.") % bolts
    if line.sigma_px is None:
        return words
    carried = sum(1 for point in line.points if point.sigma_px is not None)
    told = _tr(
        "{carried} of its {count} points were carried here and accepted, known to ± {sigma} px at "
        "the worst (one standard deviation); drag one and it counts as yours."
    )
    numbers = told.format(carried=carried, count=len(line.points), sigma=f"{line.sigma_px:.1f}")
    return f"{words} {numbers}"


def photo_words(*, is_reference: bool, has_line: bool) -> str:
    """Return what a photo means for the lines of its zone."""
    words = [_tr("reference")] if is_reference else []
    return ", ".join([*words, _tr("line drawn")] if has_line else words)
