"""Which pages there are, and what a page may offer to the window; known before any is made."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol, runtime_checkable

from PySide6.QtGui import QAction

from leaktrack.model.logbook import EntryKind

PANELS = ("logbook", "sheet", "strip")
"""Panels around the pages that can be hidden."""


@dataclass(frozen=True, slots=True)
class PageKind:
    """One page of the bar.

    Attributes:
        key: What the program calls it.
        chapter: The manual's chapter about it.
        is_transient: Its tab is there only while the page is shown.
        own_key: Leads to it; empty: Ctrl and the place among the pages without one.
    """

    key: str
    title: str
    icon: str
    module: str
    class_name: str
    chapter: str
    is_transient: bool = False
    own_key: str = ""


PAGES = (
    PageKind("engine", "Engine", "engine", "engine_page", "EnginePage", "engine"),
    PageKind("job", "Sealing job", "sealing_job", "job_page", "JobPage", "sealing_jobs"),
    PageKind("photos", "Photos", "photos", "photos_page", "PhotosPage", "photos"),
    PageKind(
        "footage",
        "Footage",
        "video",
        "footage_page",
        "FootagePage",
        "footage",
        own_key="Ctrl+Shift+F",
    ),
    PageKind("run", "Run", "test_run", "run_page", "RunPage", "inspections", is_transient=True),
    PageKind(
        "check", "Check", "check", "check_page", "CheckPage", "inspections", is_transient=True
    ),
    PageKind("inspect", "Inspect", "inspection", "inspect_page", "InspectPage", "marks"),
    PageKind("compare", "Compare", "compare", "compare_page", "ComparePage", "compare"),
    PageKind("trace", "Trace", "trace", "trace_page", "TracePage", "trace"),
    PageKind("redo", "Redo", "redo_plan", "redo_page", "RedoPage", "redo"),
    PageKind(
        "seals", "Seals", "history", "seals_page", "SealsPage", "seals", own_key="Ctrl+Shift+L"
    ),
    PageKind("report", "Report", "report", "report_page", "ReportPage", "report"),
)

_NUMBERED = tuple(kind.key for kind in PAGES if not kind.own_key)

PAGE_OF_ENTRY = {
    EntryKind.SEALING_JOB: "job",
    EntryKind.TEST_RUN: "run",
    EntryKind.INSPECTION: "inspect",
    EntryKind.CHECK: "check",
    EntryKind.REDO_PLAN: "redo",
}


def key_of(kind: PageKind) -> str:
    """Return the keys that lead to a page.

    >>> [key_of(kind) for kind in PAGES if kind.key in ("engine", "footage", "report")]
    ['Ctrl+1', 'Ctrl+Shift+F', 'Ctrl+0']
    """
    return kind.own_key or f"Ctrl+{(_NUMBERED.index(kind.key) + 1) % 10}"


@runtime_checkable
class StartsNew(Protocol):
    """A page that can begin a new record."""

    def start_new(self) -> None:
        """Show an empty form."""


@runtime_checkable
class TakesPhotos(Protocol):
    """A page that adds photos to the project."""

    def add_sources(self, sources: Sequence[Any]) -> None:
        """Add files, folders or pasted pictures."""


@runtime_checkable
class HasCommands(Protocol):
    """A page that puts commands into the menu Marks while it is shown."""

    def commands(self) -> Sequence[QAction]:
        """Return them in order."""
