"""Write the report of one engine: a page and a PDF that say the same."""

import math
import os
import re
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from pathlib import Path
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from leaktrack import __version__
from leaktrack.imaging.reading import read_upright
from leaktrack.imaging.tiling import encode_jpeg, shrunk
from leaktrack.model.engine import Engine
from leaktrack.model.errors import (
    MissingRecord,
    ReportFailed,
    UnreadablePhoto,
    UnreadableVideo,
)
from leaktrack.model.sealing_job import Evidence
from leaktrack.model.severity import GradeLimits
from leaktrack.model.units import units_in_use
from leaktrack.report.as_html import html_pieces
from leaktrack.report.as_pdf import Paper, pdf
from leaktrack.report.composing import composed
from leaktrack.report.findings import Findings, PictureFile
from leaktrack.workflows.clips import frame_at
from leaktrack.workflows.gather_findings import findings_of
from leaktrack.workflows.project import Progress, Project, silent

LONGEST_PX = 1600
"""Longer side of a photo in a report: 240 dots per inch across a page; own judgement."""

_SHORTEST_PX = 600
_ALL_PIXELS = 120_000_000
"""Of all photos of one report together, since typst holds them decoded at once. More photos are
shrunk further; 300 of them then took 730 MB (measured with typst 0.15)."""


@dataclass(frozen=True, slots=True)
class WrittenReport:
    """Where a report is.

    Attributes:
        html: A page that needs nothing else.
        pdf: The same for printing.
        not_shown: How many photos and stills could not be opened; the report names them.
    """

    html: Path
    pdf: Path
    not_shown: int = 0


def write_report(
    project: Project,
    engine_id: UUID,
    folder: Path | None = None,
    paper: Paper = "A4",
    progress: Progress = silent,
    made_at: datetime | None = None,
    limits: GradeLimits | None = None,
    units: str | None = None,
) -> WrittenReport:
    """Write an engine's report and return where it is.

    An earlier report is replaced when the new one is complete; nobody ever finds half of one.
    Photos that cannot be opened are named in it instead of stopping it.

    Args:
        project: The open project.
        engine_id: The engine.
        folder: Where to; None: the project's own report folder.
        paper: Size of the PDF's pages.
        progress: Called for each photo; may raise Cancelled, which leaves an earlier report alone.
        made_at: When it is made, aware; times are told in its zone. None: now, in the local zone.
        limits: Where grades end, as far as figures tell.
        units: In which figures are told, "metric" or "imperial"; None: those in use.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such engine.
        ReportFailed: The folder cannot be written to, or the PDF could not be made.
    """
    target = project.folder / "report" if folder is None else folder
    _check_writable(target)
    at = made_at or datetime.now().astimezone()
    findings = findings_of(
        project, engine_id, at, f"leaktrack {__version__}", limits, units or units_in_use()
    )
    stem = _stem(project, findings.engine)
    written = WrittenReport(target / f"{stem}.html", target / f"{stem}.pdf")
    with tempfile.TemporaryDirectory(prefix="leaktrack-report-") as name:
        pictures = Path(name)
        shown = _with_pictures(project, findings, pictures, progress)
        not_shown = _picture_count(findings) - len(shown.pictures)
        contents = composed(shown)
        steps = _picture_count(findings) + 2
        layout = project.resources_folder / "report"
        progress(steps - 2, steps, "the page")
        page = html_pieces(
            contents,
            (layout / "report.css").read_text(encoding="utf-8"),
            lambda file: (pictures / file).read_bytes(),
        )
        with _replacing(written.html) as page_file, _replacing(written.pdf) as pdf_file:
            _write(page_file, (piece.encode("utf-8") for piece in page))
            progress(steps - 1, steps, "the PDF")
            template = (layout / "report.typ").read_bytes()
            _write(pdf_file, [pdf(contents, paper, template, pictures)])
    return replace(written, not_shown=not_shown)


def _with_pictures(
    project: Project, findings: Findings, folder: Path, progress: Progress
) -> Findings:
    """Make a JPEG file of each photo and of each clip's span; return the findings with them."""
    count = _picture_count(findings)
    longest_px = _longest_px(count)
    pictures: dict[UUID, PictureFile] = {}
    for index, (record_id, name, read) in enumerate(_sources(project, findings, longest_px)):
        progress(index, count + 2, name)
        try:
            rgb = read()
        except (UnreadablePhoto, UnreadableVideo, MissingRecord):
            continue  # the report names what it could not show
        file = f"{index:05d}.jpg"
        _write(folder / file, [encode_jpeg(rgb)])
        pictures[record_id] = PictureFile(file, rgb.shape[1], rgb.shape[0])
    return replace(findings, pictures=pictures)


def _picture_count(findings: Findings) -> int:
    return len(findings.photos) + len(_spans(findings))


def _spans(findings: Findings) -> list[Evidence]:
    return [one for job in findings.jobs for one in job.evidence if one.clip_id]


def _sources(
    project: Project, findings: Findings, longest_px: int
) -> Iterator[tuple[UUID, str, Callable[[], NDArray[np.uint8]]]]:
    for photo in findings.photos:
        path = project.photo_path(photo)
        yield photo.id, photo.original_name, partial(read_upright, path, longest_px)
    for still in _spans(findings):
        yield still.id, still.note, partial(_still, project, still, longest_px)


def _still(project: Project, evidence: Evidence, longest_px: int) -> NDArray[np.uint8]:
    """Return the frame in the middle of a span."""
    assert evidence.clip_id is not None  # only spans of clips come here
    start_ms = evidence.start_ms or 0
    end_ms = start_ms if evidence.end_ms is None else evidence.end_ms
    frame = frame_at(project, evidence.clip_id, (start_ms + end_ms) // 2)
    return shrunk(frame.rgb, longest_px)


def _longest_px(count: int) -> int:
    """Return how long the longer side of each photo may be; for photos of shape 4 to 3.

    >>> _longest_px(20), _longest_px(300)
    (1600, 730)
    """
    fitting = math.isqrt(_ALL_PIXELS * 4 // (3 * max(1, count)))
    return min(LONGEST_PX, max(_SHORTEST_PX, fitting))


def _stem(project: Project, engine: Engine) -> str:
    """Return the files' name; with the engine's own where the project has several."""
    if len(project.all(Engine)) == 1:
        return "report"
    return f"report-{re.sub(r'[^0-9A-Za-z]+', '-', engine.name).strip('-') or engine.id}"


def _check_writable(folder: Path) -> None:
    """Find out now, rather than after all photos, whether the report can be written."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=folder, prefix=".report-")
        os.close(handle)
        Path(name).unlink()
    except OSError as error:
        raise _not_writable(folder, error) from error


@contextmanager
def _replacing(path: Path) -> Iterator[Path]:
    """Give a new file beside a path, which takes its place if all goes well, else goes."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem}-", suffix=path.suffix)
    os.close(handle)
    new = Path(name)
    try:
        yield new
        # mkstemp lets nobody else read it; a report is made to be handed over.
        new.chmod(0o644)
        new.replace(path)
    finally:
        new.unlink(missing_ok=True)


def _write(path: Path, pieces: Iterable[bytes]) -> None:
    try:
        with path.open("wb") as file:
            file.writelines(pieces)
    except OSError as error:
        raise _not_writable(path.parent, error) from error


def _not_writable(folder: Path, error: OSError) -> ReportFailed:
    return ReportFailed(
        f"The report cannot be written to {folder}: {error.strerror or error}. "
        "The project is as it was. Choose another folder for the report."
    )
