"""How well the station of a place is told, and whether its doubt holds.

A person is imagined who draws each joint in one photo, corner by corner and bolt by bolt, with
clicks that are a little off. Told are the joint's true corners: in that photo, where all bolts are
on the line and where only every third is, with and without laying the flange flat; in the zone's
other photos, whose lines are carried over; and in close photos cut out between two bolts. Errors
are in mm along the joint; the places that are asked for are exact, so only the line is to blame.
"""

import tempfile
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.analysis.doubting import CLICKED
from leaktrack.analysis.leaning import STRAIGHT, laid_flat
from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.engine import Bolt, Joint, JointLine, LinePoint, SealKind, Zone
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Photo
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx
from leaktrack.places import resource
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.draw_joint_line import draw_joint_line
from leaktrack.workflows.find_stations import StationLine, station_line
from leaktrack.workflows.project import Project, create_project
from tests.accuracy.truth import TruePhoto, TrueZone
from tests.builders import a_face, a_zone, an_engine
from tests.pictures import write_photo

Floats = NDArray[np.float64]
_CORNER_MM = 14.0  # a person clicks a corner of a curved joint about so often
_EVERY_THIRD = 3
_FEWEST_BOLTS = 2
_MARGIN = 0.3  # half of a close photo's height, as a share of its photo's
_CLOSER = 2  # by so much a close photo is enlarged


@dataclass(frozen=True)
class TrueJoint:
    """A joint whose corners and bolts are known in mm along it."""

    name: str
    is_closed: bool
    along_mm: Floats
    bolts_mm: tuple[float, ...]

    @property
    def length_mm(self) -> float:
        step = float(self.along_mm[-1] - self.along_mm[-2]) if self.is_closed else 0.0
        return float(self.along_mm[-1]) + step

    def at(self, photo: TruePhoto, along_mm: float) -> tuple[PointPx, bool]:
        """Where a photo shows a place along the joint, and whether it can be seen there."""
        seen = photo.facts["joints_px"][self.name]
        xy = np.array(seen["px"], float)
        place = int(np.abs(self.along_mm - along_mm).argmin())
        x, y = (np.interp(along_mm, self.along_mm, xy[:, axis]) for axis in (0, 1))
        return PointPx(float(x), float(y)), bool(seen["visible"][place])


Told = list[tuple[float, float]]
"""Errors and their doubts, in mm."""


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print errors and doubts, zone by zone and for all."""
    rng = np.random.default_rng(3)
    told: dict[str, Told] = defaultdict(list)
    for zone in zones:
        for joint in _joints(zone):
            for kind, errors in _measured(zone, joint, rng, every):
                told[kind] += errors
                print(f"{zone.name:22} {joint.name:15} {kind:34} {_figures(errors)}", flush=True)
    print()
    for kind, errors in told.items():
        print(f"{'all':38} {kind:34} {_figures(errors)}")


def _joints(zone: TrueZone) -> Iterator[TrueJoint]:
    for name, facts in zone.facts["joints"].items():
        along = np.array(facts["arclength_mm"], float)
        if name == "cover_joint":
            bolts = [bolt["joint_arclength_mm"] for bolt in zone.facts["bolts"]]
        else:  # beside the nearest corner
            corners = np.array(facts["xyz_mm"], float)
            seats = [bolt["seat_xyz_mm"] for bolt in zone.facts.get("solenoid_bolts") or ()]
            bolts = [
                float(along[np.linalg.norm(corners - np.array(seat), axis=1).argmin()])
                for seat in seats
            ]
        yield TrueJoint(name, facts["closed"], along, tuple(sorted(bolts)))


def _measured(
    zone: TrueZone, joint: TrueJoint, rng: np.random.Generator, every: int
) -> Iterator[tuple[str, Told]]:
    shown = {photo.name: _bolts_shown(joint, photo) for photo in zone.photos}
    reference = max(zone.photos, key=lambda photo: len(shown[photo.name]))
    if len(shown[reference.name]) < _FEWEST_BOLTS:
        return
    points = _drawn(joint, reference, shown[reference.name], rng)
    for what, is_few, is_measured in (
        ("own line, bolts measured", False, True),
        ("own line, every third bolt measured", True, True),
        ("own line, bolts not measured", False, False),
    ):
        kept = _with_few_bolts(points) if is_few else points
        numbers = [point.bolt_number for point in kept if point.bolt_number]
        if len(numbers) < _FEWEST_BOLTS:
            continue
        line = JointLine(joint_id=new_id(), photo_id=new_id(), points=tuple(kept))
        bolts = _bolts(joint, line.joint_id, is_measured=is_measured)
        ruled = ruled_line(
            line, bolts, is_closed=joint.is_closed, length_mm=round(joint.length_mm, 1)
        )
        sigma_px = CLICKED * max(reference.size_px)
        known = StationLine(ruled, (sigma_px,) * len(ruled.knots_px))
        yield what, list(_errors(joint, reference, known))
        if is_few:
            flat = laid_flat(ruled.path, STRAIGHT, is_closed=ruled.is_loop)
            plain = replace(ruled, flat=flat, lean=STRAIGHT)
            yield (
                "  the same, not laid flat",
                list(_errors(joint, reference, replace(known, ruled=plain))),
            )
    with tempfile.TemporaryDirectory() as place:
        yield from _carried(zone, joint, reference, points, Path(place), every)


def _carried(
    zone: TrueZone,
    joint: TrueJoint,
    reference: TruePhoto,
    points: Sequence[LinePoint],
    place: Path,
    every: int,
) -> Iterator[tuple[str, Told]]:
    with create_project(place / "p", place / "cache", resource("models").parent) as project:
        zone_id, joint_id = _set_up(project, joint)
        first = _taken_in(project, reference.path, zone_id)
        project.apply(draw_joint_line(project, joint_id, first.id, points))
        others = [photo for photo in zone.photos if photo is not reference]
        for photo in others[::every]:
            there = _taken_in(project, photo.path, zone_id)
            line = station_line(project, joint_id, there.id)
            yield "carried line", [] if line is None else list(_errors(joint, photo, line))
            for number, (left, top, close) in enumerate(_close_photos(joint, photo)):
                path = write_photo(place / f"{photo.name}_{number}.jpg", close, quality=92)
                cut = _taken_in(project, path, zone_id)
                line = station_line(project, joint_id, cut.id)
                if line is not None:
                    size = (close.shape[1], close.shape[0])
                    yield "close photo", list(_errors(joint, photo, line, (left, top), size))
                else:
                    yield "close photo, cannot tell", []


def _set_up(project: Project, joint: TrueJoint) -> tuple[object, object]:
    engine = an_engine()
    face = a_face(engine.id)
    zone: Zone = a_zone(face.id)
    record = Joint(
        zone_id=zone.id,
        name=joint.name,
        seal_kind=SealKind.LIQUID_GASKET,
        is_closed=joint.is_closed,
        length_mm=round(joint.length_mm, 1),
    )
    project.apply(added(engine, face, zone, record, *_bolts(joint, record.id, is_measured=True)))
    return zone.id, record.id


def _taken_in(project: Project, path: Path, zone_id: object) -> Photo:
    outcome = add_photos(project, [path], zone_id=zone_id)
    project.apply(outcome.edit)
    return outcome.results[0].photo


def _bolts(joint: TrueJoint, joint_id: object, *, is_measured: bool) -> tuple[Bolt, ...]:
    """Bolts as somebody measures them with a tape: to a millimetre."""
    return tuple(
        Bolt(joint_id=joint_id, number=number, station_mm=round(place) if is_measured else None)
        for number, place in enumerate(joint.bolts_mm, start=1)
    )


def _bolts_shown(joint: TrueJoint, photo: TruePhoto) -> list[int]:
    """Numbers of the bolts beside which the photo shows the joint."""
    if joint.name not in photo.facts["joints_px"]:
        return []
    return [
        number for number, place in enumerate(joint.bolts_mm, start=1) if joint.at(photo, place)[1]
    ]


def _drawn(
    joint: TrueJoint, photo: TruePhoto, shown: Sequence[int], rng: np.random.Generator
) -> list[LinePoint]:
    """The line a person draws in a photo: its bolts, and corners where it is curved."""
    numbers = {joint.bolts_mm[number - 1]: number for number in shown}
    corners = np.arange(0.0, joint.along_mm[-1], _CORNER_MM) if joint.is_closed else ()
    along = sorted({*numbers, *(float(each) for each in corners)})
    sigma = CLICKED * max(photo.size_px)
    points = []
    for each in along:
        at, is_seen = joint.at(photo, each)
        width, height = photo.size_px
        if (is_seen or joint.is_closed) and 0 <= at.x < width and 0 <= at.y < height:
            off = rng.normal(0, sigma, 2)
            off_at = PointPx(at.x + float(off[0]), at.y + float(off[1]))
            points.append(LinePoint(off_at, numbers.get(each)))
    return points


def _with_few_bolts(points: Sequence[LinePoint]) -> list[LinePoint]:
    bolts = [point for point in points if point.bolt_number]
    kept = {point.bolt_number for point in (*bolts[::_EVERY_THIRD], bolts[-1])}
    return [
        point if point.bolt_number in kept else replace(point, bolt_number=None)
        for point in points
        if point.bolt_number is None or point.bolt_number in kept
    ]


def _close_photos(
    joint: TrueJoint, photo: TruePhoto
) -> Iterator[tuple[int, int, NDArray[np.uint8]]]:
    """Pieces of a photo between two bolts, with their place in it."""
    rgb = photo.rgb()
    for start, end in list(zip(joint.bolts_mm, joint.bolts_mm[1:], strict=False))[::2]:
        (one, is_one), (other, is_other) = joint.at(photo, start), joint.at(photo, end)
        if not (is_one and is_other):
            continue
        margin = (other.x - one.x) * 0.12
        half = _MARGIN * photo.size_px[1]
        left, right = round(one.x + margin), round(other.x - margin)
        top, bottom = round((one.y + other.y) / 2 - half), round((one.y + other.y) / 2 + half)
        if left < 0 or top < 0 or bottom > rgb.shape[0] or right > rgb.shape[1]:
            continue
        piece = np.ascontiguousarray(rgb[top:bottom, left:right])
        size = (piece.shape[1] * _CLOSER, piece.shape[0] * _CLOSER)
        yield left, top, cv2.resize(piece, size, interpolation=cv2.INTER_CUBIC)


def _errors(
    joint: TrueJoint,
    photo: TruePhoto,
    line: StationLine,
    corner_px: tuple[int, int] = (0, 0),
    size_px: tuple[int, int] | None = None,
) -> Iterator[tuple[float, float]]:
    """Yield error and doubt of each corner of the joint that the photo shows."""
    width, height = size_px or photo.size_px
    left, top = corner_px
    shown = np.array([*joint.bolts_mm, joint.bolts_mm[0] + joint.length_mm])
    ruler = np.arange(1, len(shown) + 1)
    for along_mm in joint.along_mm:
        at, is_seen = joint.at(photo, float(along_mm))
        closer = 1 if size_px is None else _CLOSER
        here = PointPx(*((each + 0.5) * closer - 0.5 for each in (at.x - left, at.y - top)))
        if not is_seen or not (0 <= here.x < width and 0 <= here.y < height):
            continue
        placed = line.placed(here, sigma_px=0.0)
        if placed is None or line.past_end_px(here) > 0:
            continue
        # By the true places of the bolts, so that the tape is not to blame, where bolts are.
        is_between = joint.is_closed or shown[0] < along_mm < shown[-2]
        by_bolts = float(np.interp(placed.station, ruler, shown))
        told_mm = by_bolts if is_between else placed.mm
        if told_mm is None:
            continue
        off = told_mm - float(along_mm)
        if joint.is_closed:
            off = (off + joint.length_mm / 2) % joint.length_mm - joint.length_mm / 2
        step = joint.length_mm / (len(joint.bolts_mm) + (0 if joint.is_closed else 1))
        yield off, placed.sigma_mm or placed.sigma * step


def _figures(errors: Told) -> str:
    if not errors:
        return "nothing told"
    off, sigma = np.abs(np.array(errors)).T
    return (
        f"{len(off):5}  median {np.median(off):5.2f}  95 % {np.percentile(off, 95):5.2f} mm  "
        f"sigma {np.median(sigma):5.2f}  within 1: {np.mean(off < sigma):4.0%}  "
        f"2: {np.mean(off < 2 * sigma):4.0%}"
    )
