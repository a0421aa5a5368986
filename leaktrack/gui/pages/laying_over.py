"""Fetch two photos laid over each other off the window's thread, ready to be drawn."""

from dataclasses import dataclass
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from leaktrack.gui.pages.change_picture import STRIPES_APART_PX, heat, stripes, to_image
from leaktrack.gui.pixels import to_words
from leaktrack.gui.session import Session
from leaktrack.model.errors import Cancelled, LeakTrackError
from leaktrack.workflows.follow_places import PlaceMesh
from leaktrack.workflows.lay_over import lay_over
from leaktrack.workflows.project import Progress, Project

LONGEST_PX = 1600


@dataclass(frozen=True, slots=True)
class LaidOver:
    """The earlier photo in the frame of the later one.

    Attributes:
        earlier: See-through where the earlier photo does not show the place.
        hatching: Stripes over the places where nothing can be told; None where there are none.
        state: "aligned", "unreliable" or "failed".
        unseen_share: Share of the later photo where nothing can be told.
        heat: Colours where the later photo is darker or lighter; see-through elsewhere.
        heat_hatching: Stripes where change cannot be told, which is more than not shown.
        untold_share: Share of the later photo where change cannot be told.
        mesh: Where places of the later photo lie in the earlier one.
        problem: Why it failed, where that is known.
    """

    state: str
    earlier: QImage | None
    hatching: QImage | None
    unseen_share: float
    problem: str = ""
    heat: QImage | None = None
    heat_hatching: QImage | None = None
    untold_share: float = 0.0
    mesh: PlaceMesh | None = None


class OverlayLoader(QObject):
    """Lays photos over each other; only the latest wish is answered.

    One pair at a time, since it keeps a thread busy for seconds that photos are waiting for too.
    """

    loaded = Signal(object)
    """Here it is (LaidOver)."""
    failed = Signal(object)
    """It cannot be had (LeakTrackError)."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._wish: tuple[UUID, UUID] | None = None
        self._under_way: tuple[UUID, UUID] | None = None

    def load(self, pair: tuple[UUID, UUID] | None) -> None:
        """Ask for a pair of photos, earlier first; None forgets the last wish."""
        self._wish = pair
        if self._under_way is None:
            self._start()

    def _start(self) -> None:
        pair = self._under_way = self._wish
        if pair is None:
            return
        self._session.background.run(
            partial(self._work, pair), then=self._on_loaded, failed=self._on_failed, owner=self
        )

    def _work(self, pair: tuple[UUID, UUID]) -> LaidOver | None:
        """Return the pair laid over each other; None where another one is wanted meanwhile."""

        def go_on(_done: int, _total: int, what: str) -> None:
            if pair != self._wish:
                raise Cancelled(what)

        try:
            return _laid(self._session.project, *pair, go_on)
        except Cancelled:
            return None

    def _on_loaded(self, laid: LaidOver | None) -> None:
        if laid is None:  # it was dropped, but may be wanted again by now
            self._under_way = None
            self._start()
        elif self._has_ended():
            self.loaded.emit(laid)

    def _on_failed(self, error: LeakTrackError) -> None:
        if self._has_ended():
            self.failed.emit(error)

    def _has_ended(self) -> bool:
        """Begin with what is wanted now; return whether that was it already."""
        was_wanted = self._under_way == self._wish
        self._under_way = None
        if not was_wanted:
            self._start()
        return was_wanted


def _laid(project: Project, before_id: UUID, after_id: UUID, progress: Progress) -> LaidOver:
    overlay = lay_over(project, before_id, after_id, LONGEST_PX, progress)
    if overlay.state == "failed":
        return LaidOver("failed", None, None, 1.0)
    is_valid = overlay.is_valid
    words = to_words(overlay.before_rgb)
    words[~is_valid] = 0
    progress(0, 0, "drawing")
    heat_image, heat_hatching, untold_share = None, None, 0.0
    if overlay.darkening is not None and overlay.can_tell is not None:
        heat_image = heat(overlay.darkening, overlay.can_tell)
        progress(0, 0, "drawing")
        heat_hatching = stripes(overlay.can_tell, 2 * STRIPES_APART_PX)
        untold_share = 1.0 - float(overlay.can_tell.mean())
    return LaidOver(
        overlay.state,
        to_image(words),
        stripes(is_valid),
        unseen_share=1.0 - float(is_valid.mean()),
        heat=heat_image,
        heat_hatching=heat_hatching,
        untold_share=untold_share,
        mesh=overlay.mesh,
    )
