"""The sums of thick and thin oil, and of gaps."""

from argparse import Namespace

from leaktrack.cli.printing import say_table
from leaktrack.cli.summing import Document, range_document, tell_sum
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import GapFlow, Range
from leaktrack.model.heat_words import times_words
from leaktrack.model.sealant_words import range_words
from leaktrack.model.units import figure
from leaktrack.workflows import do_sums

_VISCOSITY_ASSUMES = (
    "By ASTM D341. What a grade of SAE J300 leaves open is in the range; density is that of "
    "mineral oil. So many times as fast: through the same gap under the same pressure."
)
_GAP_ASSUMES = (
    "Steady flow between parallel, smooth walls: an upper bound, since real gaps wind, clog and "
    "wick."
)


def viscosity(args: Namespace) -> int:
    """Tell how thick an oil is at some temperatures."""
    oil = do_sums.the_oil(args.oil, [(each[0], each[1]) for each in args.point])
    found = do_sums.viscosities(oil, args.at_c)
    if not args.json:
        say_table(
            (oil.name, "mm2/s (cSt)", "mPa s", "leaks, times as fast"),
            [
                (
                    figure(one.oil_c, "°C"),
                    range_words(one.cst, "", 3),
                    range_words(one.mpa_s, "", 3),
                    times_words(one.faster) if one.faster is not None else "",
                )
                for one in found
            ],
        )
    document: Document = {
        "oil": oil.name,
        "temperatures": [
            {
                "oil_c": one.oil_c,
                "cst": range_document(one.cst),
                "mpa_s": range_document(one.mpa_s),
                "times_as_fast": range_document(one.faster),
            }
            for one in found
        ],
    }
    return tell_sum("viscosity", document, (), _VISCOSITY_ASSUMES, as_json=args.json)


def index(args: Namespace) -> int:
    """Tell an oil's viscosity index."""
    found = do_sums.index(args.cold, args.hot, args.low, args.high)
    document: Document = {"viscosity_index": found}
    told = (f"The viscosity index is {found:.0f}.",)
    return tell_sum("index", document, told, "By ASTM D2270.", as_json=args.json)


def gap(args: Namespace) -> int:
    """Tell the flow through a gap, or the gap of a flow."""
    if (args.gap_mm is None) == (args.ml_per_day is None):
        raise BadInput("Give either the gap or what flows a day. Nothing was worked out.")
    passage = do_sums.passage_of(
        args.width_mm, args.shaft_mm, args.length_mm, args.off_centre or 0.0
    )
    pressure = do_sums.pressure_of(args.pressure_kpa, args.head_mm, args.at_c)
    mpa_s = _viscosity_of(args)
    if args.gap_mm is not None:
        found = do_sums.flows(passage, args.gap_mm, pressure, mpa_s)
        flow = Range(found.least.ml_per_day, found.likely.ml_per_day, found.most.ml_per_day)
        told = (
            f"A gap of {figure(args.gap_mm, 'mm')} lets {range_words(flow, 'mL/day', 3)} through "
            f"at {figure(pressure / 1000, 'kPa')}."
        )
    else:
        found = do_sums.gaps(passage, args.ml_per_day, pressure, mpa_s)
        width = Range(found.least.gap_mm, found.likely.gap_mm, found.most.gap_mm)
        told = (
            f"{figure(args.ml_per_day, 'mL/day')} at {figure(pressure / 1000, 'kPa')} need a gap "
            f"of {range_words(width, 'mm', 3)}."
        )
    document: Document = {
        "pressure_pa": pressure,
        "mpa_s": range_document(mpa_s),
        "least": _flow(found.least),
        "likely": _flow(found.likely),
        "most": _flow(found.most),
        "may_only_wick": found.likely.may_only_wick,
    }
    return tell_sum("gap", document, (told, *_wicks(found.likely)), _GAP_ASSUMES, as_json=args.json)


def _viscosity_of(args: Namespace) -> Range:
    if args.mpa_s is not None:
        if args.oil is not None or args.point:
            raise BadInput("Give either the viscosity or an oil. Nothing was worked out.")
        return Range.exactly(args.mpa_s)
    oil = do_sums.the_oil(args.oil, [(each[0], each[1]) for each in args.point])
    if args.at_c is None:
        raise BadInput(f"How thick {oil.name} is depends on --at-c. Nothing was worked out.")
    return oil.mpa_s(args.at_c)


def _wicks(found: GapFlow) -> tuple[str, ...]:
    if not found.may_only_wick:
        return ()
    held, driving = (
        figure(found.capillary_pa / 1000, "kPa"),
        figure(found.pressure_pa / 1000, "kPa"),
    )
    return (
        f"The oil's surface holds it back with {held} in so narrow a gap, against {driving} that "
        "drive it: it may stay damp and not flow at all.",
    )


def _flow(found: GapFlow) -> Document:
    return {
        "gap_mm": found.gap_mm,
        "ml_per_day": found.ml_per_day,
        "capillary_pa": found.capillary_pa,
        "reynolds": found.reynolds,
    }
