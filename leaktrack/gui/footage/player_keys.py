"""The keys of a player, while its picture has the focus."""

from collections.abc import Callable
from typing import Any, Protocol
from uuid import UUID

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

_SECOND_MS = 1000
_STEPS = {
    Qt.Key.Key_Comma: -1,
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Period: 1,
    Qt.Key.Key_Right: 1,
}
_ALLOWED = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier


class _Player(Protocol):
    view: Any
    slider: Any
    transport: Any

    @property
    def clip_id(self) -> UUID | None: ...
    def step(self, frames: int) -> None: ...
    def go_on(self, ms: int) -> None: ...
    def go_to_end(self) -> None: ...
    def go_to_span(self, direction: int) -> None: ...
    def toggle_play(self) -> None: ...
    def mark_start(self) -> None: ...
    def mark_end(self) -> None: ...
    def keep_span(self) -> None: ...
    def grab_still(self) -> None: ...


class PlayerKeys(QObject):
    """Takes the keys of the picture, and leaves all others alone."""

    def __init__(self, player: _Player, parent: QObject) -> None:
        super().__init__(parent)
        self._player = player
        self._acts: dict[Qt.Key, Callable[[], object]] = {
            Qt.Key.Key_Home: lambda: player.go_on(-player.slider.maximum()),
            Qt.Key.Key_End: player.go_to_end,
            Qt.Key.Key_PageDown: lambda: player.go_to_span(1),
            Qt.Key.Key_PageUp: lambda: player.go_to_span(-1),
            Qt.Key.Key_Space: player.toggle_play,
            Qt.Key.Key_Minus: lambda: player.transport.change_speed(-1),
            Qt.Key.Key_Plus: lambda: player.transport.change_speed(1),
            Qt.Key.Key_I: player.mark_start,
            Qt.Key.Key_O: player.mark_end,
            Qt.Key.Key_Return: player.keep_span,
            Qt.Key.Key_Enter: player.keep_span,
            Qt.Key.Key_G: player.grab_still,
        }
        player.view.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Act on a key of the player's."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._player.clip_id is not None and self._on_key(event)
        return super().eventFilter(watched, event)

    def _on_key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        if event.modifiers() & ~_ALLOWED:
            return False
        if key in _STEPS:
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                self._player.go_on(_STEPS[key] * _SECOND_MS)
            else:
                self._player.step(_STEPS[key])
            return True
        act = self._acts.get(key)
        if act is not None:
            act()
        return act is not None
