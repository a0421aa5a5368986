"""The command that measures a bead of sealant along a path in a photo file."""

from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from leaktrack import bootstrap
from leaktrack.cli.printing import ProgressLine, say, say_json, say_table
from leaktrack.cli.tables import Row, read_table
from leaktrack.model.bead_audit import BeadDefect, BeadPoint, BeadVerdict, HolePassing
from leaktrack.model.chance import chance_words
from leaktrack.model.shapes import PointPx
from leaktrack.model.words import word
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.audit_bead_file import FileAudit, PathPoint, Tolerance, audit_bead_in_file
from leaktrack.workflows.find_features import ReadablePhoto
from leaktrack.workflows.pass_bolts import USUAL_HOLE_RADIUS_MM, Hole, holes_passed

Document = dict[str, Any]


def bead(args: Namespace) -> int:
    """Tell how wide a bead is along a path, and where it is broken.

    Raises:
        BadInput: The table of the path cannot be right, or a width cannot be.
        UnreadablePhoto: The photo is missing or damaged.
    """
    bootstrap.configure_logging()
    table = read_table(Path(args.path), ("x", "y"))
    photo = readable_file(Path(args.photo))
    points = [_point(row, photo) for row in table]
    with ProgressLine("Measuring") as progress:
        found = audit_bead_in_file(
            photo.path,
            points,
            Tolerance(nominal_mm=args.bead_mm),
            args.target_mm,
            progress,
            is_followed=args.follow,
        )
    is_left = None if args.inside is None else args.inside == "left"
    passed = holes_passed(found.audit, _holes(args.holes, found), is_left) if args.holes else None
    if args.json:
        say_json(_document(found) | _holes_document(passed, found.audit.unit))
    else:
        _tell(found, photo.name)
        _tell_holes(passed or (), found.audit.unit)
    return 0


def _holes(path: str, found: FileAudit) -> list[Hole]:
    """Return the holes of a table; a radius that is not told is that of an M6 bolt's hole.

    Raises:
        BadInput: The table cannot be right.
    """
    usual = USUAL_HOLE_RADIUS_MM if found.audit.unit == "mm" else 0.0
    return [
        Hole(
            row.cells.get("id") or str(number),
            PointPx(row.number("x"), row.number("y")),
            row.number("radius") if row.cells.get("radius") else usual,
        )
        for number, row in enumerate(read_table(Path(path), ("x", "y")), 1)
    ]


def _holes_document(passed: Sequence[HolePassing] | None, unit: str) -> Document:
    if passed is None:
        return {}
    return {
        "holes": [
            {
                "id": each.name,
                "side": None if each.side is None else each.side.value,
                f"s_{unit}": _rounded(each.along),
                f"clearance_{unit}": _rounded(each.clearance),
            }
            for each in passed
        ]
    }


def _tell_holes(passed: Sequence[HolePassing], unit: str) -> None:
    if not passed:
        return
    say_table(
        ("Hole", "The bead runs", "At", "Clear of its rim"),
        [
            (
                each.name,
                "not read there" if each.side is None else word(each.side),
                f"{each.along:.1f} {unit}",
                "" if each.clearance is None else f"{each.clearance:.1f} {unit}",
            )
            for each in passed
        ],
    )


def _point(row: Row, photo: ReadablePhoto) -> PathPoint:
    """Return a point of the path; it may lie outside of the photo, as a joint may.

    Raises:
        BadInput: A number is missing or none, or the point is far outside.
    """
    x, y = row.number("x"), row.number("y")
    width, height = photo.size
    if not (-width <= x <= 2 * width and -height <= y <= 2 * height):
        raise row.complaint(
            f"{x:g}, {y:g} is far outside of {photo.name}, which is {width} x {height} px seen "
            "upright"
        )
    along = row.number("s_mm") if row.cells.get("s_mm") else None
    return PathPoint(PointPx(x, y), along)


def _document(found: FileAudit) -> Document:
    audit = found.audit
    unit = audit.unit
    return {
        "format": "leaktrack-bead",
        "version": 1,
        "state": "unreadable" if audit.verdict is BeadVerdict.UNREADABLE else "read",
        "verdict": audit.verdict.value,
        "scale": None
        if audit.mm_per_px is None
        else {"source": found.scale_source, "mm_per_px": round(audit.mm_per_px, 5)},
        f"typical_width_{unit}": _rounded(found.width),
        f"nominal_{unit}": _rounded(audit.nominal),
        f"narrowest_{unit}": _rounded(audit.narrowest),
        f"widest_{unit}": _rounded(audit.widest),
        "tolerance_source": audit.tolerance_source,
        "profile": [_profile_point(point, unit) for point in audit.points if point.is_read],
        "defects": [_defect(defect, unit) for defect in audit.defects],
        "unread": [
            {
                f"start_{unit}": _rounded(stretch.start),
                f"end_{unit}": _rounded(stretch.end),
                "reason": stretch.reason,
            }
            for stretch in audit.unread
        ],
        "warnings": list(found.warnings),
    }


def _profile_point(point: BeadPoint, unit: str) -> Document:
    return {
        f"s_{unit}": _rounded(point.along),
        f"width_{unit}": _rounded(point.width),
        f"offset_{unit}": _rounded(point.offset),
        "x": round(point.at_px.x, 2),
        "y": round(point.at_px.y, 2),
    }


def _defect(defect: BeadDefect, unit: str) -> Document:
    return {
        "kind": defect.kind.value,
        f"start_{unit}": _rounded(defect.start),
        f"end_{unit}": _rounded(defect.end),
        f"min_width_{unit}": _rounded(defect.least_width),
        "score": defect.score,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def _tell(found: FileAudit, name: str) -> None:
    audit, unit = found.audit, found.audit.unit
    say(f"{name}: {word(audit.verdict)}.")
    for warning in found.warnings:
        say(warning)
    if found.width is not None:
        allowed = f"{audit.narrowest:.1f} to {audit.widest:.1f} {unit}"
        say(f"Typically {found.width:.1f} {unit} wide.")
        say(f"Allowed: {allowed} ({audit.tolerance_source}).")
    if audit.defects:
        say_table(
            ("", "From", "To", "Width", "Chance"),
            [
                (
                    word(defect.kind),
                    f"{defect.start:.1f} {unit}",
                    f"{defect.end:.1f} {unit}",
                    f"{defect.least_width:.1f} {unit}",
                    chance_words(defect.score),
                )
                for defect in audit.defects
            ],
        )
    for stretch in audit.unread:
        say(
            f"Cannot be judged from {stretch.start:.1f} to {stretch.end:.1f} {unit}: "
            f"{stretch.reason}. Look yourself."
        )
    if found.width is not None:
        say("Widths are what is seen from above; a photo does not tell how high a bead is.")
