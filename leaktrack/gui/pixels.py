"""Turn arrays into Qt images: the only place where the two meet."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage


def to_qimage(rgb: NDArray[np.uint8]) -> QImage:
    """Return a copy of an (rows, cols, 3) RGB array as an image of its own memory."""
    rows, cols = rgb.shape[:2]
    rgb = np.ascontiguousarray(rgb)
    # The stride must be given: Qt otherwise expects rows padded to four bytes.
    shared = QImage(rgb.data, cols, rows, rgb.strides[0], QImage.Format.Format_RGB888)
    return shared.convertToFormat(QImage.Format.Format_RGB32)


def to_rgb(image: QImage) -> NDArray[np.uint8]:
    """Return a copy of a Qt image as an (rows, cols, 3) RGB array."""
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    rows, cols, stride = plain.height(), plain.width(), plain.bytesPerLine()
    flat = np.frombuffer(plain.constBits(), dtype=np.uint8, count=rows * stride)
    return flat.reshape(rows, stride)[:, : cols * 3].reshape(rows, cols, 3).copy()
