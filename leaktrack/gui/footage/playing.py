"""The clock of a player that plays."""

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

TICK_MS = 40


class Playing(QObject):
    """Tells again and again which time should be shown now."""

    at = Signal(int)
    """Show this time, in ms."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._tick = QTimer(self)
        self._clock = QElapsedTimer()
        self._from_ms = 0
        self._speed = 1.0
        self._tick.setInterval(TICK_MS)
        self._tick.timeout.connect(lambda: self.at.emit(self._now_ms()))

    @property
    def is_on(self) -> bool:
        """Whether it plays."""
        return self._tick.isActive()

    def start(self, from_ms: int) -> None:
        """Play on from a time."""
        self._from_ms = from_ms
        self._clock.start()
        self._tick.start()

    def stop(self) -> None:
        """Stop playing."""
        self._tick.stop()

    def set_speed(self, speed: float) -> None:
        """Play so many times as fast from now on."""
        if self.is_on:
            self.start(self._now_ms())
        self._speed = speed

    def _now_ms(self) -> int:
        return self._from_ms + round(self._clock.elapsed() * self._speed)
