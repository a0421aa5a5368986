"""The command that carries places from one photo file to another."""

from argparse import Namespace
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from leaktrack import bootstrap, places
from leaktrack.cli.printing import ProgressLine, say, say_json, say_table
from leaktrack.cli.tables import Row, read_table
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.model.words import word
from leaktrack.workflows.align_files import CarriedPlaces, carry_points_of_file, readable_file
from leaktrack.workflows.align_photos import CarriedPoint
from leaktrack.workflows.find_features import ReadablePhoto

_STATES = {PlaceState.UNKNOWN: PlaceState.UNCERTAIN}
"""Where aligning failed, no place is known; that is all that uncertain can mean then."""


@dataclass(frozen=True, slots=True)
class _Named:
    name: str
    at: PointPx


def align(args: Namespace) -> int:
    """Tell where places of a reference photo lie in a new one.

    Raises:
        BadInput: The table of points cannot be right.
        UnreadablePhoto: A photo is missing or damaged.
    """
    bootstrap.configure_logging()
    table = read_table(Path(args.points), ("id", "x", "y"))
    reference, new = readable_file(Path(args.reference)), readable_file(Path(args.new))
    points = _points(table, reference)
    with ProgressLine("Aligning") as progress:
        carried = carry_points_of_file(
            reference,
            new,
            [point.at for point in points],
            bootstrap.matcher(),
            places.cache_folder(),
            progress,
            [readable_file(Path(each)) for each in args.through],
        )
    warnings = _warnings(carried, reference, new)
    if args.json:
        say_json(_document(carried, points, new, warnings))
    else:
        _tell(carried, points, reference, new, warnings)
    return 0


def _points(table: Sequence[Row], photo: ReadablePhoto) -> list[_Named]:
    """Return the places of a table, in its order.

    Raises:
        BadInput: One has no number, the name of another, or lies outside the photo.
    """
    width, height = photo.size
    line_of: dict[str, int] = {}
    points = []
    for row in table:
        name, x, y = row.text("id"), row.number("x"), row.number("y")
        if name in line_of:
            raise row.complaint(f"id {name} stands in line {line_of[name]} already")
        # The middle of the top left pixel is 0, 0, so the photo begins half a pixel before it.
        if not (-0.5 <= x <= width - 0.5 and -0.5 <= y <= height - 0.5):
            raise row.complaint(
                f"{x:g}, {y:g} is not in {photo.name}, which is {width} x {height} px seen upright"
            )
        line_of[name] = row.line
        points.append(_Named(name, PointPx(x, y)))
    return points


def _warnings(carried: CarriedPlaces, reference: ReadablePhoto, new: ReadablePhoto) -> list[str]:
    warnings = []
    if reference.sha256 == new.sha256:
        warnings.append("Both photos are the same file.")
    if carried.state == "failed":
        warnings.append(
            f"{new.name} cannot be laid over {reference.name}: too little of one is found again in "
            "the other. Do they show the same place, sharp and from about the same side?"
        )
    if carried.state == "unreliable":
        warnings.append(
            "The photos have little in common; every place may be wrong. Look at each of them."
        )
    states = Counter(point.state for point in carried.points)
    if carried.state != "failed" and states[PlaceState.UNCERTAIN]:
        warnings.append(
            f"Uncertain places: {states[PlaceState.UNCERTAIN]} of {len(carried.points)}. "
            "Look before you use them."
        )
    return warnings


def _document(
    carried: CarriedPlaces, points: Sequence[_Named], new: ReadablePhoto, warnings: list[str]
) -> dict[str, Any]:
    return {
        "format": "leaktrack-align",
        "version": 1,
        "state": carried.state,
        "new_size_px": list(new.size),
        "points": [
            {
                "id": point.name,
                "x": round(place.at.x, 3) if place.at else None,
                "y": round(place.at.y, 3) if place.at else None,
                "sigma_px": None if place.sigma_px is None else round(place.sigma_px, 3),
                "state": _STATES.get(place.state, place.state).value,
            }
            for point, place in zip(points, carried.points, strict=True)
        ],
        "warnings": warnings,
    }


def _tell(
    carried: CarriedPlaces,
    points: Sequence[_Named],
    reference: ReadablePhoto,
    new: ReadablePhoto,
    warnings: list[str],
) -> None:
    say(f"{reference.name} to {new.name}: {carried.state}.")
    for warning in warnings:
        say(warning)
    if carried.state == "failed":
        return
    say_table(
        ("Id", "x", "y", "+- px", "Place"),
        [
            (point.name, *_cells(place), word(place.state))
            for point, place in zip(points, carried.points, strict=True)
        ],
    )
    say(
        f"x and y are pixels of {new.name} seen upright; the middle of its top left pixel is 0, 0. "
        "+- is one standard deviation: about two of three places lie within it, nearly all within "
        "two."
    )


def _cells(place: CarriedPoint) -> tuple[str, str, str]:
    if place.at is None or place.sigma_px is None:
        return "", "", ""
    return f"{place.at.x:.1f}", f"{place.at.y:.1f}", f"{place.sigma_px:.1f}"
