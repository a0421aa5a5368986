"""Write a page of printed targets: a PDF to print at true size and cut up."""

import os
import tempfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from leaktrack.model.errors import BadInput, ReportFailed
from leaktrack.report.as_pdf import Paper
from leaktrack.report.targets_page import (
    LARGEST_SIDE_MM,
    LEAST_SIDE_MM,
    placed_targets,
    targets_page,
)
from leaktrack.workflows.measure_scale import USUAL_SIDE_MM


@dataclass(frozen=True, slots=True)
class PrintedTarget:
    """One target of the page.

    Attributes:
        marker: Its number in the dictionary DICT_4X4_50.
        side_mm: Of its black square.
    """

    marker: int
    side_mm: float


def print_targets(
    path: Path,
    resources_folder: Path,
    paper: Paper = "A4",
    side_mm: float = USUAL_SIDE_MM,
    *,
    overwrite: bool = False,
    made_at: datetime | None = None,
) -> tuple[PrintedTarget, ...]:
    """Write the page and return what is on it.

    Args:
        path: Where to; a PDF.
        resources_folder: Where the program keeps its layouts.
        paper: Size of the page.
        side_mm: Of the largest targets; smaller ones for tight places stand below them.
        overwrite: Replace a file that is there already.
        made_at: When it is made, aware; None: now.

    Raises:
        BadInput: The side cannot be, or there is a file already.
        ReportFailed: The page could not be made or written.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.measuring.cornering import white_cells

    if not LEAST_SIDE_MM <= side_mm <= LARGEST_SIDE_MM:
        raise BadInput(
            f"A target of {side_mm:g} mm does not go on the page. Choose a side between "
            f"{LEAST_SIDE_MM:g} and {LARGEST_SIDE_MM:g} mm."
        )
    if path.exists() and not overwrite:
        raise BadInput(
            f"{path} is there already and was left alone. Choose another name, or say that it may "
            "be overwritten."
        )
    page = targets_page(
        paper,
        side_mm,
        lambda marker: [[bool(cell) for cell in row] for row in white_cells(marker)],
        (resources_folder / "report" / "targets.typ").read_bytes(),
        made_at or datetime.now().astimezone(),
    )
    _write(path, page)
    return tuple(PrintedTarget(one.marker, one.side_mm) for one in placed_targets(paper, side_mm))


def _write(path: Path, page: bytes) -> None:
    """Write a file that stands whole or not at all."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".targets-", suffix=".pdf")
        os.close(handle)
        new = Path(name)
        try:
            new.write_bytes(page)
            new.chmod(0o644)  # mkstemp lets nobody else read it
            new.replace(path)
        finally:
            new.unlink(missing_ok=True)
    except OSError as error:
        raise ReportFailed(
            f"{path} cannot be written: {error.strerror or error}. Nothing was changed. Choose "
            "another place."
        ) from error
