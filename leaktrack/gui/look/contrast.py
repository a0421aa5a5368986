"""How well two colours stand off each other."""

from PySide6.QtGui import QColor


def contrast(a: QColor, b: QColor) -> float:
    """Return the contrast of two colours, 1 to 21.

    Source:
        WCAG 2.2, definitions of contrast ratio and relative luminance.
    """
    high, low = sorted((_luminance(a), _luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _luminance(color: QColor) -> float:
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (color.redF(), color.greenF(), color.blueF())
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
