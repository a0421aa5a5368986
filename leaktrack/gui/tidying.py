"""Collect garbage on the window's thread alone."""

import gc

from PySide6.QtCore import QObject, QTimer

_EVERY_MS = 500


class Tidying(QObject):
    """Keeps Python's collector off the threads of background work while it lives.

    Python collects wherever the allocation happens that makes it due. A widget that is part of a
    circle would then be freed on a thread of its own while the window's is at work with it, which
    ends the program now and then. Here it is due as often as before, but at a moment between two
    events of the window.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        gc.disable()
        gc.freeze()  # what is there by now stays until the end; walking through it takes time
        self._timer = QTimer(self, interval=_EVERY_MS)
        self._timer.timeout.connect(collect_if_due)
        self._timer.start()

    def stop(self) -> None:
        """Let Python collect again where it likes."""
        self._timer.stop()
        gc.unfreeze()
        gc.enable()


def collect_if_due() -> None:
    """Collect the oldest generation that is due, as Python itself would."""
    counts, limits = gc.get_count(), gc.get_threshold()
    due = [
        age
        for age, (count, limit) in enumerate(zip(counts, limits, strict=True))
        if count > limit > 0
    ]
    if due:
        gc.collect(due[-1])
