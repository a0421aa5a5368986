"""One-colour icons, drawn from SVG files in whatever colour is wanted at that moment."""

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QIconEngine, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from leaktrack.places import cache_folder, resource


class TintedIcon(QIconEngine):
    """Draws an SVG file in the colour that ``color_of`` gives for the icon's mode."""

    def __init__(self, name: str, color_of: Callable[[QIcon.Mode], QColor]) -> None:
        super().__init__()
        self._name = name
        self._color_of = color_of

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, _state: QIcon.State) -> None:
        """Draw the icon into a rectangle."""
        paint_icon(painter, QRectF(rect), self._name, self._color_of(mode))

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        """Return the icon as a picture of that many device pixels."""
        picture = QPixmap(size)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        self.paint(painter, picture.rect(), mode, state)
        painter.end()
        return picture

    def clone(self) -> QIconEngine:
        """Return another engine for the same icon."""
        return TintedIcon(self._name, self._color_of)


def paint_icon(painter: QPainter, rect: QRectF, name: str, color: QColor) -> None:
    """Draw an icon of ``resources/icons`` into a rectangle."""
    _renderer(name, color.name()).render(painter, rect)


def tinted_file(name: str, color: QColor) -> Path:
    """Return an SVG file of the icon in one fixed colour, for style sheets, which want a file.

    It is kept in the cache folder. Where nothing can be written there, the black drawing has to do.
    """
    drawn = resource("icons", f"{name}.svg")
    tinted = cache_folder() / "icons" / f"{name}-{color.name()[1:]}.svg"
    wanted = _drawing(name, color.name())
    try:
        if not tinted.exists() or tinted.read_text(encoding="utf-8") != wanted:
            tinted.parent.mkdir(parents=True, exist_ok=True)
            tinted.write_text(wanted, encoding="utf-8")
    except OSError:
        return drawn
    return tinted


def _drawing(name: str, hex_color: str) -> str:
    drawing = resource("icons", f"{name}.svg").read_text(encoding="utf-8")
    return drawing.replace("currentColor", hex_color)


@lru_cache(maxsize=512)
def _renderer(name: str, hex_color: str) -> QSvgRenderer:
    return QSvgRenderer(_drawing(name, hex_color).encode())
