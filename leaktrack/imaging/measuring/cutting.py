"""Was a photo cut? Then its camera did not look along its middle, and what was cut is not known."""

import math
from dataclasses import dataclass

# Sensors of cameras and phones; what these make of them by themselves (square, wide) is cut evenly
# on both sides, so that the camera still looks along the middle. Common practice, no source.
_SENSORS = (4 / 3, 3 / 2)
_EVENLY_CUT = (1.0, 16 / 9, 2.0, 20 / 9)
_ALIKE = 0.012  # of the sides' ratio: rounding to whole blocks of 16 px changes it by so much

_LEAST_SHARE = 0.05
"""Of the longest side: what has been cut of a photo of which only the shape tells it, at the least;
own judgement."""


@dataclass(frozen=True, slots=True)
class Cut:
    """What was probably cut off a photo.

    Attributes:
        whole_px: Width and height of the whole photo, in px of what is left.
        off_px: How far the camera's middle may lie from the photo's, across and down; one standard
            deviation.
        is_told: Whether the camera told the whole size; else it is the least that fits.
    """

    whole_px: tuple[float, float]
    off_px: tuple[float, float]
    is_told: bool


def cut_of(size_px: tuple[int, int], told_px: tuple[int, int] | None = None) -> Cut | None:
    """Return what was cut off a photo; None where nothing speaks for it.

    A photo that was cut to the shape it had before, and that keeps no note of its former size,
    cannot be told from one that was made smaller.

    Args:
        size_px: Width and height of the upright photo.
        told_px: The same as the camera told it, where it did.
    """
    if told_px is not None:
        on_side = (told_px[1], told_px[0])  # some programs turn a photo and leave the note
        if _are_alike(size_px, told_px) or _are_alike(size_px, on_side):
            return None
        if told_px[0] >= size_px[0] and told_px[1] >= size_px[1]:
            return _cut(size_px, (float(told_px[0]), float(told_px[1])), is_told=True)
    ratio = max(size_px) / min(size_px)
    if any(abs(ratio / usual - 1) <= _ALIKE for usual in (*_SENSORS, *_EVENLY_CUT)):
        return None
    whole = min((_grown(size_px, sensor) for sensor in _SENSORS), key=math.prod)
    return _cut(size_px, whole, is_told=False)


def _cut(size_px: tuple[int, int], whole: tuple[float, float], *, is_told: bool) -> Cut:
    least = 0.0 if is_told else _LEAST_SHARE * max(size_px)
    # What is left may lie anywhere in the whole: an even distribution over what was cut.
    across, down = (
        max(large - small, least) / math.sqrt(12)
        for large, small in zip(whole, size_px, strict=True)
    )
    return Cut(whole, (across, down), is_told)


def _are_alike(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return abs(one[0] * other[1] / (one[1] * other[0]) - 1) <= _ALIKE


def _grown(size_px: tuple[int, int], ratio: float) -> tuple[float, float]:
    """Return the smallest size of that ratio that holds a photo, lying as it lies."""
    long, short = float(max(size_px)), float(min(size_px))
    long, short = max(long, short * ratio), max(short, long / ratio)
    return (long, short) if size_px[0] >= size_px[1] else (short, long)
