"""A zone whose photos belong to inspections one day apart."""

from pathlib import Path

from leaktrack.model.engine import FaceSide
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.mark_leaks import add_leak
from leaktrack.workflows.project import Project
from leaktrack.workflows.record_run import record_inspection
from leaktrack.workflows.set_up_engine import new_engine, new_zone
from tests.filled_project import DAY, MARCH


class ZoneBench:
    """An engine with one zone, made in an empty project."""

    def __init__(self, project: Project) -> None:
        self.project = project
        self.engine, edit = new_engine("W7", sides=[FaceSide.BANK_1])
        project.apply(edit)
        self.zone, edit = new_zone(project, edit.changes[1].after.id, "Cover")
        project.apply(edit)

    def photo(self, path: Path, day: int) -> Photo:
        """Add a photo that was taken when the engine was looked at that day."""
        inspection = Inspection(engine_id=self.engine.id, looked_at=MARCH + day * DAY)
        self.project.apply(record_inspection(self.project, inspection))
        added = add_photos(self.project, [path], self.zone.id, inspection.id)
        self.project.apply(added.edit)
        return added.added[0]

    def mark(self, photo: Photo, grade: SeepageGrade, **facts) -> LeakMark:
        """Mark a leak in a photo."""
        mark, edit = add_leak(self.project, photo.id, grade, **facts)
        self.project.apply(edit)
        return mark
