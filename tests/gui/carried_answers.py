"""Stands in for the workflow that carries leaks: it answers when a test says so."""

import time
from dataclasses import replace
from threading import Event

from leaktrack.gui.pages import carried_marks
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.propose_marks import MarkProposal

FIRST, LATER = PointPx(420, 440), PointPx(500, 520)
"""Where two photos put the first leak, and where all do."""
SECOND_AT_FIRST, SECOND_LATER = PointPx(700, 300), PointPx(710, 310)
LONG_S = 10


class CarriedAnswers:
    """Carries two leaks to one photo; more photos are asked until ``said_more`` is set.

    Attributes:
        more_asked: The photos that more were asked about.
        is_heedless: It goes on when it is to stop.
        error: Raised instead of what all photos say.
    """

    def __init__(self, photo_id, leaks, monkeypatch):
        self.photo_id = photo_id
        self.leaks = leaks
        self.more_asked = []
        self.said_more = Event()
        self.is_heedless = False
        self.error = None
        monkeypatch.setattr(carried_marks, "propose_at_first", self._at_first)
        monkeypatch.setattr(carried_marks, "propose_marks", self._of_all)

    def _at_first(self, _project, photo_id, _progress):
        if photo_id != self.photo_id:
            return ()
        return tuple(
            MarkProposal(photo_id, leak, PlaceState.UNCERTAIN, source_px=at, may_move=True)
            for leak, at in zip(self.leaks, (FIRST, SECOND_AT_FIRST), strict=True)
        )

    def _of_all(self, project, photo_id, progress):
        self.more_asked.append(photo_id)
        began = time.monotonic()
        progress(2, 8, "cover_3.jpg")
        while not self.said_more.wait(0.005) and time.monotonic() < began + LONG_S:
            if not self.is_heedless:
                progress(2, 8, "cover_3.jpg")
        if self.error is not None:
            raise self.error
        return tuple(
            replace(each, source_px=at, state=PlaceState.CARRIED, may_move=False)
            for each, at in zip(
                self._at_first(project, photo_id, progress), (LATER, SECOND_LATER), strict=True
            )
        )
