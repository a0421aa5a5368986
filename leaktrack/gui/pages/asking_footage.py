"""Ask the footage for what a page shows."""

from functools import partial

from leaktrack.gui.pages.marking import Marking
from leaktrack.gui.session import Session
from leaktrack.model.bead_audit import BeadAudit
from leaktrack.workflows.ask_footage import ask_for_bead, ask_for_mark, ask_for_photo


def ask_from_marking(session: Session, marking: Marking) -> None:
    """Let the photo's command ask for the selected mark, or for the whole photo."""

    def ask() -> None:
        pair, photo_id = marking.editor.mark, marking.photo_pane.view.photo_id
        if pair is not None:
            session.footage_asked.emit(partial(ask_for_mark, mark_id=pair[0].id))
        elif photo_id is not None:
            session.footage_asked.emit(partial(ask_for_photo, photo_id=photo_id))

    marking.photo_pane.footage_wanted.connect(ask)


def ask_for_audit(session: Session, audit: BeadAudit | None, along: float | None) -> None:
    """Ask for a measured bead, or for a place along it."""
    if audit is not None:
        session.footage_asked.emit(partial(ask_for_bead, audit=audit, along=along))
