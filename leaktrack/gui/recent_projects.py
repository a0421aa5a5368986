"""Which projects were opened lately, and whether they are there now."""

from dataclasses import dataclass
from pathlib import Path

from leaktrack.settings import Settings


@dataclass(frozen=True, slots=True)
class RecentProject:
    """A project opened lately.

    Attributes:
        is_there: Whether its folder can be seen now; a drive may be unplugged.
    """

    path: Path
    name: str
    is_there: bool


def recent_projects(settings: Settings) -> tuple[RecentProject, ...]:
    """Return the projects opened lately, the latest first, missing ones included."""
    paths = (Path(each) for each in settings.recent_projects)
    return tuple(RecentProject(path, path.name, path.is_dir()) for path in paths)
