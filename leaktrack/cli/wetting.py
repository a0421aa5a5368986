"""The command that looks for newly wet areas in photo files."""

from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from leaktrack import bootstrap, places
from leaktrack.cli.printing import ProgressLine, note, say, say_json, say_table
from leaktrack.model.chance import chance_words, percent_words
from leaktrack.model.shapes import area_px2, box_around
from leaktrack.model.wet_search import WetKind, WetRegion, WetSearch
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.find_wet_regions import find_wet_in_files
from leaktrack.workflows.match_wet_regions import worth_a_look
from leaktrack.workflows.write_wet_mask import check_mask_path, write_wet_mask

Document = dict[str, Any]

_KINDS = {WetKind.WET: "wet", WetKind.DRIED: "dried"}  # shorter than the window's, for a table


def wet(args: Namespace) -> int:
    """Tell which areas of a photo became wet since earlier ones.

    Raises:
        BadInput: The mask cannot be written there, or the target's side cannot be.
        UnreadablePhoto: A photo is missing or damaged.
    """
    bootstrap.configure_logging()
    mask = Path(args.mask) if args.mask is not None else None
    if mask is not None:
        check_mask_path(mask)
    before, after = [Path(path) for path in args.before], Path(args.after)
    size_px = readable_file(after).size
    with ProgressLine("Searching") as progress:
        search = find_wet_in_files(
            before[::-1],  # as people name them, the newest is the last
            after,
            bootstrap.matcher(),
            args.target_mm,
            progress,
            places.cache_folder(),
        )
    if mask is not None:
        write_wet_mask(mask, search, size_px)
        note(f"Mask: {mask}")
    warnings = _warnings(search, size_px)
    if args.json:
        say_json(_document(search, args.target_mm, size_px, warnings))
    else:
        _tell(search, after.name, warnings)
    return 0


def _warnings(search: WetSearch, size_px: tuple[int, int]) -> list[str]:
    warnings = []
    if search.state == "failed":
        warnings.append(
            "The photo could not be laid over an earlier one, so nothing was searched. Do they "
            "show the same place, sharp and from about the same side?"
        )
    if search.state == "unreliable":
        warnings.append("The photos fit badly: what is found may be wrong.")
    if search.unassessed:
        share = sum(map(area_px2, search.unassessed)) / (size_px[0] * size_px[1])
        warnings.append(f"About {percent_words(share)} of the photo could not be assessed.")
    if search.scale is not None and search.scale.mm_per_px is None:
        warnings.append(
            "The printed target is too small in the photo or seen too steeply to measure by."
        )
    return warnings


def _document(
    search: WetSearch, target_mm: float, size_px: tuple[int, int], warnings: list[str]
) -> Document:
    scale = search.scale
    return {
        "format": "leaktrack-wet",
        "version": 1,
        "state": search.state,
        "size_px": list(size_px),
        "regions": [_region(one) for one in search.of_kind(WetKind.WET)],
        "dried": [_region(one) for one in search.of_kind(WetKind.DRIED)],
        "unassessed": [_polygon(outline) for outline in search.unassessed],
        "scale": None
        if scale is None
        else {"source": "target", "side_mm": target_mm, "mm_per_px": scale.mm_per_px},
        "warnings": warnings,
    }


def _region(region: WetRegion) -> Document:
    return {
        "kind": region.kind.value,
        "score": round(region.score, 4),
        "area_px": round(region.area_px, 1),
        "area_mm2": _rounded(region.area_mm2),
        "area_sigma_mm2": _rounded(region.area_sigma_mm2),
        "polygon": _polygon(region.outline),
    }


def _polygon(outline: Sequence[Any]) -> list[list[float]]:
    return [[round(corner.x, 2), round(corner.y, 2)] for corner in outline]


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)


def _tell(search: WetSearch, name: str, warnings: Sequence[str]) -> None:
    say(f"{name}: {search.state}.")
    for warning in warnings:
        say(warning)
    if search.state == "failed":
        return
    shown = worth_a_look(search.regions)
    if not any(one.kind is WetKind.WET for one in shown):
        say("Nothing found that looks newly wet; look yourself.")
    if shown:
        say_table(("", "Chance", "Area", "Left, top", "Size"), [_cells(one) for one in shown])
        say("Places are px of the photo seen upright. A chance is no finding: look yourself.")
    if left_out := len(search.regions) - len(shown):
        say(f"Unlikely ones left out: {left_out}; --json lists them all.")


def _cells(region: WetRegion) -> tuple[str, ...]:
    box = box_around(region.outline)
    return (
        _KINDS[region.kind],
        chance_words(region.score),
        _area_words(region),
        f"{box.left:.0f}, {box.top:.0f}",
        f"{box.width:.0f} x {box.height:.0f}",
    )


def _area_words(region: WetRegion) -> str:
    if region.area_mm2 is None:
        return f"{region.area_px:.0f} px"
    if region.area_sigma_mm2 is None:
        return f"{region.area_mm2:.0f} mm2"
    return f"{region.area_mm2:.0f} +- {region.area_sigma_mm2:.0f} mm2"
