"""Keep the cache folder below the bound of the settings, off the window's thread."""

from functools import partial

from PySide6.QtCore import QObject, QTimer

from leaktrack.gui.session import Session
from leaktrack.places import cache_folder
from leaktrack.workflows.bound_cache import bound_cache_if_due

FIRST_AFTER_MS = 20_000
"""The window stands and shows its pictures by then."""

AGAIN_AFTER_MS = 600_000


class CacheKeeper(QObject):
    """Looks after the cache a little after a project was opened, and every few minutes then."""

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.look_after)
        self._timer.start(FIRST_AFTER_MS)

    def look_after(self) -> None:
        """Bound the cache, unless that was done a few minutes ago."""
        self._timer.setInterval(AGAIN_AFTER_MS)
        most_bytes = self._session.settings.cache_mb * 1_000_000
        self._session.background.run(
            partial(bound_cache_if_due, cache_folder(), most_bytes),
            then=lambda _gone: None,
            owner=self,
        )
