"""View the joint strip: one joint unrolled, with what each inspection saw of it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from uuid import UUID

from leaktrack.analysis.doubting import SOURCE
from leaktrack.analysis.spanning import wet_span
from leaktrack.analysis.stationing import RuledLine, ruled_line
from leaktrack.analysis.tracing import MarkedSource
from leaktrack.model.bead_audit import BeadAudit
from leaktrack.model.engine import Joint, JointLine, Zone
from leaktrack.model.inspection import Inspection
from leaktrack.model.joint_strip import (
    JointStrip,
    Stretch,
    StripBolt,
    StripMark,
    StripRow,
    StripSight,
)
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.sealing_job import SealingJob, TorquePass
from leaktrack.model.trace import CauseState
from leaktrack.workflows.find_engine import Reader, engine_id_of_joint
from leaktrack.workflows.find_stations import PlacedStation, StationLine, drawn_station_line
from leaktrack.workflows.gather_beads import bead_audits, strip_bead
from leaktrack.workflows.gather_engine import EngineRecords, grouped
from leaktrack.workflows.project import Project

# A leak that nobody has given to a joint belongs to the nearest one, if its source is no farther
# off than this many times what counts as "at the joint". Own judgement.
REACH = 3.0

_HOUR_S = 3600.0
_BEYOND_BOLTS = 1.0  # own judgement: end bolts stand nearer to the end than to each other
_NO_LINES: Mapping[UUID, StationLine] = MappingProxyType({})


def joint_strip(
    project: Project, joint_id: UUID, carried: Mapping[UUID, StationLine] = _NO_LINES
) -> JointStrip:
    """Return the chart of one joint: bolts, sealing jobs with their beads, inspections with marks.

    A mark is on the chart if its photo has the joint's line, and if its leak belongs to the joint:
    because somebody said so or confirmed a cause there, else because it is the nearest joint.

    Args:
        project: The open project.
        joint_id: The joint.
        carried: Lines for photos where none is drawn that tells stations, see ``carry_to_strip``.

    Raises:
        MissingRecord: There is no such joint.
    """
    with project.read() as reader:
        records = EngineRecords(reader, engine_id_of_joint(reader, joint_id))
        view = _StripView(reader, records, records.joint_by_id[joint_id], carried)
        rows = [
            *(view.inspection_row(inspection) for inspection in records.inspections),
            *(view.job_row(job) for job in records.jobs_by_joint.get(joint_id, ())),
        ]
        first, last = view.ends(rows)
        return JointStrip(
            joint=view.joint,
            bolts=tuple(
                StripBolt(bolt.number, float(bolt.number), bolt.station_mm) for bolt in view.bolts
            ),
            first=first,
            last=last,
            rows=tuple(sorted(rows, key=lambda row: row.at)),
            unplaced=view.unplaced_photos(),
        )


@dataclass(frozen=True, slots=True)
class _PlacedMark:
    leak: Leak
    mark: LeakMark


class _StripView:
    """One joint's lines, marks and beads, sorted out by inspection and job once."""

    def __init__(
        self,
        reader: Reader,
        records: EngineRecords,
        joint: Joint,
        carried: Mapping[UUID, StationLine],
    ) -> None:
        self.joint = joint
        self.bolts = sorted(records.bolts.get(joint.id, ()), key=lambda bolt: bolt.number)
        self._records = records
        self._reference_id = reader.get(Zone, joint.zone_id).reference_photo_id
        self._passes = grouped(reader.all(TorquePass), lambda one: one.sealing_job_id)
        job_ids = [job.id for job in records.jobs_by_joint.get(joint.id, ())]
        self._audits = grouped(bead_audits(reader, job_ids), lambda one: one.sealing_job_id)
        self._ruled_lines: dict[UUID, RuledLine] = {}
        every = (line for lines in records.lines_by_photo.values() for line in lines)
        mine = [line for line in every if line.joint_id == joint.id]
        drawn = {line.photo_id: self._ruled(line) for line in mine}
        told = {line.photo_id: self._station_line(line) for line in mine}
        self._stations: Mapping[UUID, StationLine] = {
            **carried,
            **{photo_id: known for photo_id, known in told.items() if known is not None},
        }
        self._lines: Mapping[UUID, RuledLine] = drawn | {
            photo_id: known.ruled for photo_id, known in self._stations.items()
        }
        photos = (records.photos[photo_id] for photo_id in self._lines)
        self._photos = grouped(photos, lambda photo: photo.inspection_id)
        confirmed = {
            cause.leak_id: job.joint_id
            for cause in records.causes
            for job in records.jobs
            if cause.state is CauseState.CONFIRMED and cause.sealing_job_id == job.id
        }
        self._owner = {leak.id: leak.joint_id or confirmed.get(leak.id) for leak in records.leaks}
        self._marks = grouped(
            (
                _PlacedMark(leak, mark)
                for leak in records.leaks
                for mark in records.marks.get(leak.id, ())
                if mark.photo_id in self._lines
            ),
            lambda placed: placed.mark.photo_id,
        )

    def ends(self, rows: Sequence[StripRow]) -> tuple[float, float]:
        """Return the lowest and highest station of the chart.

        An open joint goes on a little beyond its end bolts, and so may its beads and leaks.
        """
        if not self.bolts:
            return 0.0, 1.0
        first, last = float(self.bolts[0].number), float(self.bolts[-1].number)
        if self.joint.is_closed:
            return first, last + 1
        told = [mark.station for row in rows for mark in row.marks]
        told += [each.station for row in rows for bead in row.beads for each in bead.widths]
        lowest, highest = min([first, *told]), max([last, *told])
        return max(lowest, first - _BEYOND_BOLTS), min(highest, last + _BEYOND_BOLTS)

    def unplaced_photos(self) -> tuple[UUID, ...]:
        """Return photos with leaks that may be the joint's, but without stations to tell where.

        None where no photo tells stations, since none can be carried then.
        """
        found = [
            mark.photo_id
            for leak in self._records.leaks
            for mark in self._records.marks.get(leak.id, ())
            if self._stations
            and mark.source_px is not None
            and mark.photo_id not in self._stations
            and self._may_show(mark.photo_id, leak)
        ]
        return tuple(dict.fromkeys(found))

    def _may_show(self, photo_id: UUID, leak: Leak) -> bool:
        photo, owner = self._records.photos[photo_id], self._owner[leak.id]
        is_here = photo.inspection_id is not None and photo.zone_id == self.joint.zone_id
        return is_here and (owner is None or owner == self.joint.id)

    def inspection_row(self, inspection: Inspection) -> StripRow:
        """Return what an inspection saw of the joint."""
        photos = self._photos.get(inspection.id, ())
        marks = [mark for photo in photos for mark in self._strip_marks(photo.id)]
        seen = [piece for photo in photos for piece in self._lines[photo.id].stretches()]
        return StripRow(
            inspection.looked_at,
            inspection,
            None,
            tuple(sorted(marks, key=lambda mark: mark.station)),
            _merged(seen),
            tuple(sight for photo in photos for sight in self._sights(photo.id)),
        )

    def job_row(self, job: SealingJob) -> StripRow:
        """Return a sealing job as a row, with its beads."""
        audits: list[BeadAudit] = self._audits.get(job.id, [])
        evidence = self._records.evidence.get(job.id, ())
        return StripRow(
            job.done_at,
            None,
            job,
            beads=tuple(strip_bead(audit, self._lines.get(audit.photo_id)) for audit in audits),
            cured_h=self._cured_h(job),
            spans=tuple(one for one in evidence if one.clip_id is not None),
            deviations=self._records.deviations[job.id],
            untightened=self._untightened(job),
        )

    def _cured_h(self, job: SealingJob) -> float | None:
        """Return the hours from closing the joint to the first run on this seal."""
        later = self._records.job_after(job)
        runs = (run.started_at for run in self._records.runs if run.started_at >= job.done_at)
        first: datetime | None = next(runs, None)
        if first is None or (later is not None and first >= later.done_at):
            return None
        return (first - (job.closed_at or job.done_at)).total_seconds() / _HOUR_S

    def _untightened(self, job: SealingJob) -> tuple[int, ...]:
        """Return the bolts that no pass names, where every pass names its bolts."""
        passes = self._passes.get(job.id, ())
        if not passes or any(not one.bolt_numbers for one in passes):
            return ()
        named = {number for one in passes for number in one.bolt_numbers}
        return tuple(bolt.number for bolt in self.bolts if bolt.number not in named)

    def _sights(self, photo_id: UUID) -> Iterator[StripSight]:
        line = self._lines[photo_id]
        if not line.is_ruled:
            return
        corners = [*line.path, line.path[0]] if line.is_loop else line.path
        places = [
            (line.station_along(along), at)
            for along, at in zip(line.flat.seen_px, corners, strict=True)
        ]
        yield StripSight(photo_id, tuple(sorted(places, key=lambda place: place[0])))

    def _strip_marks(self, photo_id: UUID) -> Iterator[StripMark]:
        photo = self._records.photos[photo_id]
        line = self._lines[photo_id]
        for placed in self._marks.get(photo_id, ()):
            if placed.mark.source_px is None:
                continue
            source = MarkedSource(
                placed.mark.source_px, max(photo.width_px, photo.height_px), photo.mm_per_px
            )
            fix = line.station_at(source.at)
            if fix.station is None or not self._is_mine(placed.leak, photo_id, source):
                continue
            known = self._known(photo_id, source)
            low, high = wet_span(line, placed.mark.outline_px, source.at, within_px=source.near_px)
            yield StripMark(
                leak_id=placed.leak.id,
                leak_number=placed.leak.number,
                mark_id=placed.mark.id,
                photo_id=photo_id,
                station=fix.station,
                wet_from=low,
                wet_to=high,
                grade=placed.mark.grade,
                at_px=fix.at_px,
                sigma=known.sigma if known else None,
                sigma_mm=known.sigma_mm if known else None,
            )

    def _known(self, photo_id: UUID, source: MarkedSource) -> PlacedStation | None:
        line = self._stations.get(photo_id)
        if line is None:
            return None
        sigma_px = SOURCE * source.longest_px
        return line.placed(source.at, sigma_px=sigma_px, mm_per_px=source.mm_per_px)

    def _is_mine(self, leak: Leak, photo_id: UUID, source: MarkedSource) -> bool:
        owner = self._owner[leak.id]
        if owner is not None:
            return owner == self.joint.id
        distances = {
            line.joint_id: self._ruled(line).station_at(source.at).distance_px
            for line in self._records.lines_by_photo.get(photo_id, ())
        } | {self.joint.id: self._lines[photo_id].station_at(source.at).distance_px}
        nearest = min(distances, key=lambda joint_id: distances[joint_id])
        return nearest == self.joint.id and distances[nearest] <= REACH * source.near_px

    def _station_line(self, line: JointLine) -> StationLine | None:
        photo = self._records.photos[line.photo_id]
        is_reference = photo.id == self._reference_id
        return drawn_station_line(self._ruled(line), line, photo, is_reference=is_reference)

    def _ruled(self, line: JointLine) -> RuledLine:
        if line.id not in self._ruled_lines:
            joint = self._records.joint_by_id[line.joint_id]
            self._ruled_lines[line.id] = ruled_line(
                line,
                self._records.bolts.get(joint.id, ()),
                is_closed=joint.is_closed,
                length_mm=joint.length_mm,
                plane=self._records.photos[line.photo_id].plane,
            )
        return self._ruled_lines[line.id]


def _merged(stretches: list[Stretch]) -> tuple[Stretch, ...]:
    """Return stretches with those that touch made one, from low to high."""
    merged: list[Stretch] = []
    for low, high in sorted(stretches):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return tuple(merged)
