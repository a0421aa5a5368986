"""How a ring lies in its gland: squeeze, stretch and fill, with the bounds of all tolerances."""

from collections.abc import Callable, Iterator
from itertools import product
from math import pi, sqrt

from leaktrack.analysis.requiring import require
from leaktrack.model.errors import BadInput
from leaktrack.model.figure import Figure
from leaktrack.model.ring import RingFigures, RingFinding, RingFit, RingWorry

# Sizes that a ring of an engine can have, in mm; own judgement, AS568 ends at 660 x 7.
_SECTION = (0.5, 30.0)
_INNER = (0.5, 2000.0)
_GROOVE = (0.1, 100.0)

# Squeeze in percent. Static, most: Mechanical Engineers' Handbook, volume 3; least in the worst
# case, and moving parts: seal makers' published practice.
STATIC_SQUEEZE = (10.0, 30.0)
DYNAMIC_SQUEEZE = (12.0, 18.0)
# Stretch in percent: seal makers' published practice.
STRETCH_WARNED, STRETCH_CRITICAL = 5.0, 10.0
# Fill in percent: the same.
FILL_RECOMMENDED, FILL_CRITICAL = 85.0, 90.0

_NAMES = ("inner", "section", "seat", "depth", "width")
_WORDS = {
    "inner": "inner diameter",
    "section": "cord",
    "seat": "seat",
    "depth": "gland depth",
    "width": "groove width",
}

Sizes = dict[str, float]


def stretched_section(section_mm: float, inner_mm: float, seat_mm: float) -> float:
    """Return the cord's diameter on its seat, in mm: CS sqrt((ID + CS) / (seat + CS)).

    The cord keeps its volume, so it gets thinner as its middle line gets longer.

    >>> round(stretched_section(3.53, 24.99, 25.40), 3)
    3.505
    """
    return section_mm * sqrt((inner_mm + section_mm) / (seat_mm + section_mm))


def ring_figures(fit: RingFit) -> RingFigures:
    """Return squeeze, stretch and fill of a ring in its gland.

    Squeeze = 100 (CS - depth) / CS, stretch = 100 (seat - ID) / ID, fill = 100 area of the cord /
    (depth x width), with CS the cord as stretched on its seat. Bounds are worst cases over all
    tolerances; each figure rises or falls with each size all the way, so the corners hold them.

    Raises:
        BadInput: A size is negative, not a number or out of reason, or a tolerance as large as
            its size.
    """
    given = _given(fit)
    tolerances = {name: _tolerance(fit, name, given[name]) for name in given}
    stretch = _figure(given, tolerances, ("inner", "seat"), _stretch)
    section = _figure(given, tolerances, ("section",), _section)
    squeeze_mm = _figure(given, tolerances, ("section", "depth"), _squeeze_mm)
    squeeze = _figure(given, tolerances, ("section", "depth"), _squeeze)
    fill = _figure(given, tolerances, ("section", "depth", "width"), _fill)
    return RingFigures(
        section=section,
        squeeze_mm=squeeze_mm,
        squeeze=squeeze,
        stretch=stretch,
        fill=fill,
        findings=tuple(_findings(squeeze, stretch, fill, is_dynamic=fit.is_dynamic)),
        missing_tolerances=tuple(
            _WORDS[name] for name in given if getattr(fit, f"{name}_tolerance_mm") is None
        ),
    )


def _given(fit: RingFit) -> Sizes:
    limits = {"section": _SECTION, "inner": _INNER, "seat": _INNER}
    values = {name: getattr(fit, f"{name}_mm") for name in _NAMES}
    return {
        name: require(value, _WORDS[name], *limits.get(name, _GROOVE))
        for name, value in values.items()
        if value is not None
    }


def _tolerance(fit: RingFit, name: str, size: float) -> float:
    tolerance = getattr(fit, f"{name}_tolerance_mm")
    if tolerance is None:
        return 0.0
    require(tolerance, f"tolerance of the {_WORDS[name]}", 0.0, 100.0)
    if tolerance >= size:
        raise BadInput(
            f"The tolerance of the {_WORDS[name]}, {tolerance:g} mm, is as large as the size "
            f"itself, {size:g} mm. Correct one of the two; nothing was worked out."
        )
    return float(tolerance)


def _figure(
    given: Sizes, tolerances: Sizes, needed: tuple[str, ...], work_out: Callable[[Sizes], float]
) -> Figure | None:
    if any(name not in given for name in needed):
        return None
    values = [work_out(corner) for corner in _corners(given, tolerances)]
    return Figure(work_out(given), min(values), max(values))


def _corners(given: Sizes, tolerances: Sizes) -> Iterator[Sizes]:
    names = tuple(given)
    for signs in product((-1, 1), repeat=len(names)):
        yield {
            name: given[name] + sign * tolerances[name]
            for name, sign in zip(names, signs, strict=True)
        }


def _section(sizes: Sizes) -> float:
    if "inner" in sizes and "seat" in sizes:
        return stretched_section(sizes["section"], sizes["inner"], sizes["seat"])
    return sizes["section"]


def _stretch(sizes: Sizes) -> float:
    return 100 * (sizes["seat"] - sizes["inner"]) / sizes["inner"]


def _squeeze_mm(sizes: Sizes) -> float:
    return _section(sizes) - sizes["depth"]


def _squeeze(sizes: Sizes) -> float:
    return 100 * _squeeze_mm(sizes) / _section(sizes)


def _fill(sizes: Sizes) -> float:
    return 100 * pi / 4 * _section(sizes) ** 2 / (sizes["depth"] * sizes["width"])


def _findings(
    squeeze: Figure | None, stretch: Figure | None, fill: Figure | None, *, is_dynamic: bool
) -> Iterator[RingFinding]:
    if squeeze:
        least, most = DYNAMIC_SQUEEZE if is_dynamic else STATIC_SQUEEZE
        below = [(RingWorry.NO_SQUEEZE, 0.0), (RingWorry.LITTLE_SQUEEZE, least)]
        yield from _below(squeeze, below)
        yield from _above(squeeze, [(RingWorry.MUCH_SQUEEZE, most)])
    if stretch:
        yield from _below(stretch, [(RingWorry.LOOSE, 0.0)])
        over = [
            (RingWorry.OVERSTRETCHED, STRETCH_CRITICAL),
            (RingWorry.STRETCHED, STRETCH_WARNED),
        ]
        yield from _above(stretch, over)
    if fill:
        over = [(RingWorry.OVERFULL, FILL_CRITICAL), (RingWorry.FULL, FILL_RECOMMENDED)]
        yield from _above(fill, over)


def _below(figure: Figure, limits: list[tuple[RingWorry, float]]) -> Iterator[RingFinding]:
    """Yield the gravest worry that the figure itself gives, else the gravest that it may give."""
    for is_sure, value in ((True, figure.value), (False, figure.low)):
        for worry, limit in limits:
            if value < limit:
                yield RingFinding(worry, figure, limit, is_sure)
                return


def _above(figure: Figure, limits: list[tuple[RingWorry, float]]) -> Iterator[RingFinding]:
    for is_sure, value in ((True, figure.value), (False, figure.high)):
        for worry, limit in limits:
            if value > limit:
                yield RingFinding(worry, figure, limit, is_sure)
                return
