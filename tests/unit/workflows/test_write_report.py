import io
import os
import re
from dataclasses import replace
from datetime import datetime

import pikepdf
import pytest
from PIL import Image

from leaktrack.model.engine import Engine
from leaktrack.model.errors import Cancelled, MissingRecord, ReportFailed
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Photo
from leaktrack.model.record import added, replaced
from leaktrack.workflows.project import open_project
from leaktrack.workflows.write_report import write_report
from tests.unit.workflows.conftest import RESOURCES

MADE_AT = datetime.fromisoformat("2026-04-26T09:30:00+02:00")


def a_jpeg(color: str, width_px: int = 1000, height_px: int = 800) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (width_px, height_px), color).save(file, "JPEG")
    return file.getvalue()


def keep(project, photo: Photo, jpeg: bytes) -> Photo:
    """Put a photo's file into the project and let its record name it."""
    kept = replace(photo, sha256=project.photo_files.put(jpeg, "jpg"))
    project.apply(replaced(photo, kept))
    return kept


@pytest.fixture
def with_files(project, filled):
    """Give the filled project's photos their files; the clip has none."""
    reference = keep(project, filled.reference, a_jpeg("red"))
    later = keep(project, filled.later, a_jpeg("blue"))
    return replace(filled, reference=reference, later=later)


def no_rest(folder) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_report_lies_in_the_projects_own_folder(project, with_files):
    written = write_report(project, with_files.engine.id)

    assert written.html.parent == project.folder / "report"
    assert written.html.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert written.pdf.read_bytes().startswith(b"%PDF")


def test_each_engine_of_a_project_has_files_of_its_own(project, with_files):
    other = replace(with_files.other_engine, name="T2 / left")
    project.apply(replaced(with_files.other_engine, other))

    first = write_report(project, with_files.engine.id)
    second = write_report(project, other.id)

    assert (first.html.name, second.pdf.name) == ("report-T1.html", "report-T2-left.pdf")


def test_the_only_engine_of_a_project_needs_no_name(project):
    engine = Engine(name="W7")
    project.apply(added(engine))

    written = write_report(project, engine.id)

    assert (written.html.name, written.pdf.name) == ("report.html", "report.pdf")


def test_the_report_can_lie_elsewhere_on_other_paper(project, with_files, tmp_path):
    folder = tmp_path / "hand over" / "für Ärzte"

    written = write_report(project, with_files.engine.id, folder, "Letter")

    with pikepdf.open(written.pdf) as document:
        width = float(document.pages[0].MediaBox[2])
    assert no_rest(folder) == [written.html.name, written.pdf.name]
    assert width == 612  # US letter is 8.5 inches of 72 points wide
    assert not list((project.folder / "report").iterdir())


def test_both_documents_show_the_photos_of_this_engine(project, with_files):
    written = write_report(project, with_files.engine.id)

    page = written.html.read_text(encoding="utf-8")
    with pikepdf.open(written.pdf) as document:
        images = {
            image.objgen
            for sheet in document.pages
            for image in sheet.get("/Resources", {}).get("/XObject", {}).values()
            if image.get("/Subtype") == "/Image" and image.get("/Width") == 1000
        }
    assert set(re.findall(r"photo_\d\.jpg", page)) == {"photo_1.jpg", "photo_2.jpg"}
    assert page.count("data:image/jpeg;base64,") == 3  # one is evidence as well
    assert len(images) == 2


def test_large_photos_are_shrunk_and_small_ones_stay(project, with_files):
    keep(project, with_files.later, a_jpeg("green", 4000, 3000))

    written = write_report(project, with_files.engine.id)

    page = written.html.read_text(encoding="utf-8")
    sizes = set(re.findall(r'width="(\d+)" height="(\d+)"/>', page))
    assert sizes == {("1000", "800"), ("1600", "1200")}


def test_a_photo_without_its_file_is_named_and_does_not_stop_the_report(project, with_files):
    project.photo_path(with_files.later).unlink()

    written = write_report(project, with_files.engine.id)

    page = written.html.read_text(encoding="utf-8")
    assert "These photos could not be opened: photo_2.jpg." in page


def test_times_are_told_in_the_zone_of_the_person_who_makes_the_report(project, with_files):
    written = write_report(project, with_files.engine.id, made_at=MADE_AT)

    page = written.html.read_text(encoding="utf-8")
    assert "Made 26 April 2026, 09:30; all times in UTC+02:00." in page
    assert "17 March 2026, 18:00" in page  # the run started at 16:00 UTC


def test_progress_counts_photos_and_documents(project, with_files):
    told = []

    write_report(
        project, with_files.engine.id, progress=lambda done, total, what: told.append((done, total))
    )

    assert told == [(0, 5), (1, 5), (2, 5), (3, 5), (4, 5)]


@pytest.mark.parametrize("stop_at", range(5))
def test_a_cancelled_report_leaves_the_earlier_one_and_nothing_else(project, with_files, stop_at):
    def stopping(done: int, _total: int, _what: str) -> None:
        if done == stop_at:
            raise Cancelled("Stopped. The earlier report is kept.")

    earlier = write_report(project, with_files.engine.id, made_at=MADE_AT)
    before = earlier.html.read_bytes(), earlier.pdf.read_bytes()

    with pytest.raises(Cancelled):
        write_report(project, with_files.engine.id, progress=stopping)

    assert (earlier.html.read_bytes(), earlier.pdf.read_bytes()) == before
    assert no_rest(earlier.html.parent) == [earlier.html.name, earlier.pdf.name]


def test_a_folder_that_cannot_be_written_to_is_said_before_any_work(project, with_files, tmp_path):
    in_the_way = tmp_path / "report.txt"
    in_the_way.write_text("a file, not a folder")
    asked = []

    with pytest.raises(ReportFailed, match="Choose another folder"):
        write_report(
            project, with_files.engine.id, in_the_way, progress=lambda *told: asked.append(told)
        )

    assert asked == []


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_project_asks_for_another_folder(project, with_files):
    project.folder.chmod(0o555)

    with pytest.raises(ReportFailed, match="Choose another folder"):
        write_report(project, with_files.engine.id)

    project.folder.chmod(0o755)


def test_who_has_the_project_open_for_looking_only_can_write_a_report(
    project, with_files, tmp_path
):
    with open_project(project.folder, tmp_path / "cache", RESOURCES) as second:
        written = write_report(second, with_files.engine.id, tmp_path / "out")

        assert second.is_read_only
    assert written.pdf.is_file()


def test_an_engine_that_is_not_there_is_said_to_be_missing(project, with_files):
    with pytest.raises(MissingRecord):
        write_report(project, new_id())
