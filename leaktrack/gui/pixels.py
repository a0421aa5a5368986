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


def to_words(rgb: NDArray[np.uint8]) -> NDArray[np.uint32]:
    """Return a (rows, cols) array of 0xffRRGGBB words, one per pixel, as Qt's RGB32 has them.

    Made of copies that let other threads run: turning 50 MP into an image any other way holds the
    interpreter for longer than a window may stand still.
    """
    rows, cols = rgb.shape[:2]
    words = np.empty((rows, cols), dtype="<u4")
    by_byte = words.view(np.uint8).reshape(rows, cols, 4)
    by_byte[..., 0] = rgb[..., 2]
    by_byte[..., 1] = rgb[..., 1]
    by_byte[..., 2] = rgb[..., 0]
    by_byte[..., 3] = 255
    return words


def as_qimage(words: NDArray[np.uint32]) -> QImage:
    """Return an image that shares the memory of an array made by ``to_words``: keep the array."""
    rows, cols = words.shape
    return QImage(words.data, cols, rows, words.strides[0], QImage.Format.Format_RGB32)


def from_qimage(image: QImage) -> NDArray[np.uint32]:
    """Return a copy of a Qt image as an array of words, as ``to_words`` makes them."""
    plain = image.convertToFormat(QImage.Format.Format_RGB32)
    rows, cols, stride = plain.height(), plain.width(), plain.bytesPerLine()
    flat = np.frombuffer(plain.constBits(), dtype="<u4", count=rows * stride // 4)
    return flat.reshape(rows, stride // 4)[:, :cols].copy()
