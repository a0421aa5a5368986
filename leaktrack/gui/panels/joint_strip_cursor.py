"""Where the cursor of a joint strip stands, and how the keyboard moves it."""

from collections.abc import Callable

from PySide6.QtCore import Qt

from leaktrack.gui.panels.joint_strip_layout import findings, next_station, stops
from leaktrack.model.joint_strip import JointStrip, StripRow

_FINE_STEP = 0.1


class StripCursor:
    """A row of a strip and a station on it.

    Attributes:
        row: Which row; 0 on an empty strip.
        station: Where along the joint.
    """

    def __init__(self) -> None:
        self._strip: JointStrip | None = None
        self.row = 0
        self.station = 0.0

    @property
    def rows(self) -> tuple[StripRow, ...]:
        """All rows."""
        return self._strip.rows if self._strip is not None else ()

    def set_strip(self, strip: JointStrip | None, *, is_same: bool) -> None:
        """Go to the newest row of another joint, to its first finding; else stay where it is."""
        self._strip = strip
        if not is_same and strip is not None and strip.rows:
            self.row = len(strip.rows) - 1
            self.station = next(iter(findings(strip, strip.rows[-1])), strip.first)
        self.row = max(0, min(self.row, len(self.rows) - 1))

    def move_to(self, row: int, station: float) -> None:
        """Go to a place, or to the nearest one that there is."""
        if self._strip is None:
            return
        self.row = min(max(row, 0), len(self.rows) - 1)
        self.station = min(max(station, self._strip.first), self._strip.last)

    def move_by_key(self, key: Qt.Key, held: Qt.KeyboardModifier) -> bool:
        """Move as a key asks; return whether it was one of the cursor's keys."""
        strip = self._strip
        if strip is None or not self.rows:
            return False
        moves: dict[Qt.Key, Callable[[], None]] = {
            Qt.Key.Key_Left: lambda: self._move_along(strip, -1, held),
            Qt.Key.Key_Right: lambda: self._move_along(strip, 1, held),
            Qt.Key.Key_Up: lambda: self.move_to(self.row - 1, self.station),
            Qt.Key.Key_Down: lambda: self.move_to(self.row + 1, self.station),
            Qt.Key.Key_Home: lambda: self.move_to(self.row, strip.first),
            Qt.Key.Key_End: lambda: self.move_to(self.row, strip.last),
        }
        move = moves.get(key)
        if move is None:
            return False
        move()
        return True

    def _move_along(self, strip: JointStrip, direction: int, held: Qt.KeyboardModifier) -> None:
        """Go to the next thing; with Ctrl to the next finding, with Shift a little way."""
        if held & Qt.KeyboardModifier.ShiftModifier:
            step = _FINE_STEP if strip.bolts else _FINE_STEP / 10
            self.move_to(self.row, self.station + direction * step)
            return
        is_jump = held & Qt.KeyboardModifier.ControlModifier
        through = (findings if is_jump else stops)(strip, self.rows[self.row])
        station = next_station(through, self.station, direction)
        if station is not None:
            self.move_to(self.row, station)
