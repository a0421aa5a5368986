"""Commands that work out a ring in its gland and the set of a removed seal."""

from argparse import Namespace
from dataclasses import replace
from math import isfinite
from typing import Any

from leaktrack import places
from leaktrack.cli.printing import say, say_json
from leaktrack.model.errors import BadInput
from leaktrack.model.figure import Figure
from leaktrack.model.identity import new_id
from leaktrack.model.ring import RingFigures, RingFit
from leaktrack.model.ring_words import (
    RING_ASSUMES,
    SET_ASSUMES,
    SET_LIMITS,
    finding_sentence,
    ring_lines,
    set_lines,
)
from leaktrack.workflows.examine_seal import measured_set
from leaktrack.workflows.fit_ring import figures_of, size_named, with_size

Document = dict[str, Any]

_FIELDS = {"inner": "inner", "cord": "section", "seat": "seat", "depth": "depth", "width": "width"}


def ring(args: Namespace) -> int:
    """Tell squeeze, stretch and fill of a ring in its gland.

    Raises:
        BadInput: A size is out of reason, there is no such standard size, or nothing can be told.
    """
    fit = _fit(args)
    figures = figures_of(fit)
    if not ring_lines(figures):
        raise BadInput(
            "Squeeze needs the cord (or a standard size) and the gland's depth; stretch needs "
            "inner diameter and seat. Give these too."
        )
    if args.json:
        say_json(_ring_document(fit, figures))
    else:
        _tell_ring(fit, figures)
    return 0


def _fit(args: Namespace) -> RingFit:
    """Return the ring and its gland as typed, on top of the standard size."""
    fit = RingFit(sealing_job_id=new_id(), is_dynamic=args.moves)
    if args.size is not None:
        fit = with_size(fit, size_named(places.resource(), args.size))
    typed = {
        field: getattr(args, f"{option}_{ending}")
        for option, name in _FIELDS.items()
        for ending, field in (("mm", f"{name}_mm"), ("tol_mm", f"{name}_tolerance_mm"))
    }
    return replace(fit, **{name: value for name, value in typed.items() if value is not None})


def _ring_document(fit: RingFit, figures: RingFigures) -> Document:
    return {
        "format": "leaktrack-ring",
        "version": 1,
        "size": fit.size,
        "squeeze_percent": figure_document(figures.squeeze),
        "squeeze_mm": figure_document(figures.squeeze_mm),
        "stretch_percent": figure_document(figures.stretch),
        "stretched_cord_mm": figure_document(figures.section),
        "fill_percent": figure_document(figures.fill),
        "findings": [
            {
                "kind": one.worry.value,
                "sure": one.is_sure,
                "limit_percent": one.limit,
                "says": finding_sentence(one),
            }
            for one in figures.findings
        ],
        "without_tolerance": list(figures.missing_tolerances),
        "assumes": RING_ASSUMES,
    }


def _tell_ring(fit: RingFit, figures: RingFigures) -> None:
    if fit.size:
        say(
            f"Ring {fit.size}: {fit.inner_mm:g} x {fit.section_mm:g} mm, off by up to "
            f"{fit.inner_tolerance_mm:g} and {fit.section_tolerance_mm:g} mm."
        )
    for line in (*ring_lines(figures), *(finding_sentence(one) for one in figures.findings)):
        say(f"{line[0].upper()}{line[1:]}.")
    if figures.missing_tolerances:
        say(f"No tolerance given, taken as exact: {', '.join(figures.missing_tolerances)}.")
    say(RING_ASSUMES)


def compression_set(args: Namespace) -> int:
    """Tell how much of its squeeze a removed seal has kept.

    Raises:
        BadInput: A thickness is out of reason, or the seal was not squeezed.
    """
    found = measured_set(args.new_mm, args.recovered_mm, args.squeezed_mm, args.caliper_mm)
    if args.json:
        say_json(
            {
                "format": "leaktrack-compression-set",
                "version": 1,
                "method_a_percent": figure_document(found.of_thickness),
                "method_b_percent": figure_document(found.of_squeeze),
                "limits": SET_LIMITS,
                "assumes": SET_ASSUMES,
            }
        )
        return 0
    for line in set_lines(found):
        say(f"{line[0].upper()}{line[1:]}.")
    say(SET_LIMITS)
    say(SET_ASSUMES)
    return 0


def figure_document(figure: Figure | None, digits: int = 4) -> Document | None:
    """Return a figure with its bounds; a bound without end is null."""
    if figure is None:
        return None
    values = {"value": figure.value, "low": figure.low, "high": figure.high}
    return {
        name: round(value, digits) if isfinite(value) else None for name, value in values.items()
    }
