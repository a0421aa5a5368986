"""The sums of beads of sealant."""

from argparse import Namespace
from collections.abc import Iterator

from leaktrack.cli.summing import range_document, tell_sum
from leaktrack.model.sealant_words import BEAD_ASSUMES, cure_assumes, range_words
from leaktrack.model.units import figure
from leaktrack.workflows import do_sums


def bead(args: Namespace) -> int:
    """Tell what the given figures of a bead tell."""
    wait = None if args.time_h is None else (args.time_h, args.air_c, args.humidity)
    found = do_sums.bead(
        args.bead_mm, args.gap_mm, args.width_mm, args.length_mm, args.tolerance_mm, wait
    )
    document = {
        "film_mm": range_document(found.film_mm),
        "bead_mm": range_document(found.bead_mm),
        "ml_per_m": range_document(found.ml_per_m),
        "ml": range_document(found.ml),
        "tolerance_as_volume": range_document(found.tolerance),
        "time_h": range_document(found.time_h),
    }
    assumes = [BEAD_ASSUMES] if found.ml_per_m or found.bead_mm else []
    assumes += [cure_assumes()] if found.time_h else []
    sentences = tuple(_sentences(args, found))
    return tell_sum("bead", document, sentences, " ".join(assumes), as_json=args.json)


def _sentences(args: Namespace, found: do_sums.BeadSum) -> Iterator[str]:
    if found.film_mm is not None:
        yield (
            f"A bead of {figure(args.bead_mm, 'mm')} spreads {range_words(found.film_mm, 'mm', 3)} "
            f"wide in a gap of {figure(args.gap_mm, 'mm')}."
        )
    if found.bead_mm is not None:
        yield (
            f"A film {figure(args.width_mm, 'mm')} wide in that gap needs a bead of "
            f"{range_words(found.bead_mm, 'mm', 3)}."
        )
    if found.ml_per_m is not None:
        yield f"It takes {range_words(found.ml_per_m, 'mL/m', 3)} of sealant."
    if found.ml is not None:
        yield f"The whole joint takes {range_words(found.ml, 'mL of it', 3)}."
    if found.tolerance is not None:
        yield (
            f"Within {figure(args.tolerance_mm, 'mm')} either way that is "
            f"{range_words(found.tolerance, 'times', 3)} the sealant."
        )
    if found.time_h is not None:
        yield (
            f"{figure(args.time_h, 'h')} of the maker's are {range_words(found.time_h, 'h')} here, "
            f"likely {figure(found.time_h.likely, 'h', 2)}."
        )
