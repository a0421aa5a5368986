"""Find the stations of places in a photo: by the joint's line there, else by one carried over."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from uuid import UUID

from leaktrack.analysis.doubting import CARRIED, CLICKED, SOURCE, station_doubt
from leaktrack.analysis.stationing import RuledLine, ruled_line
from leaktrack.model.engine import Bolt, Joint, JointLine, Zone
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx, nearest_on_path
from leaktrack.workflows.carry_joint_lines import carry_joint_line
from leaktrack.workflows.carry_stations import carry_stations
from leaktrack.workflows.project import Progress, Project, silent


@dataclass(frozen=True, slots=True)
class PlacedStation:
    """A place of a photo along a joint.

    Attributes:
        station: Bolt coordinate; a fraction of the line where the joint has no bolts.
        sigma: One standard deviation of it.
        sigma_mm: The same in mm; None where neither bolts nor photo have a scale.
        mm: Place along the joint, where all its bolts are measured.
        at_px: The place on the joint's line.
        distance_px: From there to the place that was asked for.
    """

    station: float
    sigma: float
    sigma_mm: float | None
    mm: float | None
    at_px: PointPx
    distance_px: float


@dataclass(frozen=True, slots=True)
class StationLine:
    """A joint's line in a photo with its stations, and how well it is known.

    Attributes:
        knots_px: One standard deviation of each knot of the line, in px along it.
        is_carried: The photo has no line of its own that tells stations.
        are_alike: Its knots lie so close together that they are off by the same.
    """

    ruled: RuledLine
    knots_px: tuple[float, ...]
    is_carried: bool = False
    are_alike: bool = False

    def placed(
        self, point: PointPx, *, sigma_px: float, mm_per_px: float | None = None
    ) -> PlacedStation | None:
        """Return the station nearest to a point; None where the line cannot tell."""
        fix = self.ruled.station_at(point)
        if fix.station is None:
            return None
        path = self.ruled.path
        foot = nearest_on_path(path, point, is_closed=self.ruled.is_loop)
        doubt = station_doubt(
            self.ruled,
            foot.along_px,
            place_px=sigma_px,
            knots_px=self.knots_px,
            are_alike=self.are_alike,
            off_line_px=foot.distance_px,
            past_end_px=self.past_end_px(point),
            mm_per_px=mm_per_px,
        )
        mm = self.ruled.ruler.value(fix.station) if self.ruled.ruler.is_measured else None
        return PlacedStation(fix.station, doubt.stations, doubt.mm, mm, fix.at_px, fix.distance_px)

    def past_end_px(self, point: PointPx) -> float:
        """Return how far a point lies past an end of the line, along the way it runs there."""
        path, is_loop = self.ruled.path, self.ruled.is_loop
        foot = nearest_on_path(path, point, is_closed=is_loop)
        if is_loop or 0 < foot.along_px < self.ruled.total_px * (1 - 1e-9):
            return 0.0
        start, end = path[foot.segment], path[foot.segment + 1]
        along = (point.x - foot.at.x) * (end.x - start.x) + (point.y - foot.at.y) * (
            end.y - start.y
        )
        return abs(along) / max(start.distance_px(end), 1e-9)


def drawn_station_line(
    ruled: RuledLine, line: JointLine, photo: Photo, *, is_reference: bool
) -> StationLine | None:
    """Return a stored line with how well it is known; None where too few bolts tell stations.

    A point that was carried there is as uncertain as that, besides what looking at it leaves open.

    Args:
        ruled: The line with its stations.
        line: The line itself.
        photo: The photo.
        is_reference: Whether it was drawn by hand. Else, where no point says that it was carried,
            it may have been all the same, before that was written down.
    """
    if not ruled.is_ruled:
        return None
    longest = max(photo.width_px, photo.height_px)
    if line.sigma_px is None:
        share = CLICKED if is_reference else CARRIED
        return StationLine(ruled, (share * longest,) * len(ruled.knots_px))
    sigmas = [hypot(CLICKED * longest, point.sigma_px or 0.0) for point in line.points]
    return StationLine(ruled, _at_knots(ruled, sigmas))


def station_line(
    project: Project, joint_id: UUID, photo_id: UUID, progress: Progress = silent
) -> StationLine | None:
    """Return a joint's line in a photo with its stations, carried over where it is not drawn.

    A close photo may show none of the joint's bolts; then stations are carried place by place.

    Raises:
        BadInput: No photo has a line of this joint yet.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such joint or photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    joint, photo = project.get(Joint, joint_id), project.get(Photo, photo_id)
    bolts = project.all(Bolt, joint_id=joint_id)

    def ruled_here(line: JointLine) -> RuledLine:
        return ruled_line(
            line,
            bolts,
            is_closed=joint.is_closed,
            length_mm=joint.length_mm,
            plane=photo.plane,
        )

    own = next(iter(project.all(JointLine, joint_id=joint_id, photo_id=photo_id)), None)
    if own is not None:
        reference_id = project.get(Zone, joint.zone_id).reference_photo_id
        ruled = ruled_here(own)
        drawn = drawn_station_line(ruled, own, photo, is_reference=photo_id == reference_id)
        if drawn is not None:
            return drawn
    else:
        proposal = carry_joint_line(project, joint_id, photo_id, progress)
        if proposal is not None:
            ruled = ruled_here(proposal.line)
            if ruled.is_ruled:
                return StationLine(ruled, _at_knots(ruled, proposal.sigmas_px), is_carried=True)
    carried = carry_stations(project, joint, photo, own.path if own else None, progress)
    return None if carried is None else StationLine(*carried, is_carried=True, are_alike=True)


def stations_in(
    project: Project,
    joint_id: UUID,
    photo_id: UUID,
    points: Sequence[PointPx],
    progress: Progress = silent,
) -> tuple[PlacedStation | None, ...]:
    """Return the stations of places of a photo, in the same order; None where they cannot be told.

    Raises:
        As ``station_line``.
    """
    line = station_line(project, joint_id, photo_id, progress)
    if line is None:
        return (None,) * len(points)
    photo = project.get(Photo, photo_id)
    sigma_px = SOURCE * max(photo.width_px, photo.height_px)
    return tuple(
        line.placed(point, sigma_px=sigma_px, mm_per_px=photo.mm_per_px) for point in points
    )


def _at_knots(ruled: RuledLine, sigmas_px: Sequence[float]) -> tuple[float, ...]:
    """Return the doubt of each knot from that of each corner; those of a loop come round again."""
    corners = ruled.flat.seen_px[: len(sigmas_px)]
    knots = [knot % ruled.total_px if ruled.is_loop else knot for knot in ruled.knots_px]
    nearest = (min(range(len(corners)), key=lambda i: abs(corners[i] - knot)) for knot in knots)
    return tuple(sigmas_px[index] for index in nearest)
