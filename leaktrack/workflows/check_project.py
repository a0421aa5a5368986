"""Verify a project: does the database hold together, is every file there and unchanged?"""

from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from leaktrack.model.photo import Clip, Photo
from leaktrack.store.photo_files import sha256_of
from leaktrack.workflows.project import Progress, Project, silent


class ProblemKind(Enum):
    """What is wrong with a part of a project."""

    MISSING = "missing"
    CHANGED = "changed"
    ORPHAN = "orphan"
    DATABASE = "database"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is not as it was recorded.

    Attributes:
        what: The file as people know it, with its zone and day, or the database's own words.
        path: Where the file is or should be; None for the database.
    """

    kind: ProblemKind
    what: str
    path: Path | None = None


@dataclass(frozen=True, slots=True)
class CheckReport:
    """How a project was found.

    Attributes:
        problems: Database first, then files in the order in which they were added, then orphans:
            files that no record points at. An orphan does no harm: taking back the adding of a
            photo leaves one, so that the step can be done again.
        photos_checked: Photos whose every byte was read.
        clips_checked: The same for video clips.
    """

    database_ok: bool
    problems: tuple[Problem, ...]
    photos_checked: int
    clips_checked: int

    @property
    def is_sound(self) -> bool:
        """Whether everything recorded is there and unchanged; orphans do not count against it."""
        return all(problem.kind is ProblemKind.ORPHAN for problem in self.problems)


def check(project: Project, progress: Progress = silent) -> CheckReport:
    """Read the database and every photo and clip once, and change nothing.

    Raises:
        Cancelled: The user stopped it.
        DamagedProject: The database cannot even be read.
    """
    database = project.problems()
    with project.read() as records:
        photos, clips = records.all(Photo), records.all(Clip)
    recorded = [
        (project.known_as(photo), project.photo_path(photo), photo.sha256) for photo in photos
    ]
    recorded += [(clip.name, project.clip_path(clip), clip.sha256) for clip in clips]
    problems = [Problem(ProblemKind.DATABASE, line) for line in database]
    for done, (name, path, sha256) in enumerate(recorded):
        progress(done, len(recorded), name)
        kind = _fault(path, sha256)
        if kind is not None:
            problems.append(Problem(kind, name, path))
    progress(len(recorded), len(recorded), "")
    problems += _orphans(project, {path for _, path, _ in recorded})
    return CheckReport(not database, tuple(problems), len(photos), len(clips))


def _fault(path: Path, sha256: str) -> ProblemKind | None:
    try:
        return None if sha256_of(path) == sha256 else ProblemKind.CHANGED
    except FileNotFoundError:
        return ProblemKind.MISSING
    except OSError:  # there, but the disk does not give its bytes any more
        return ProblemKind.CHANGED


def _orphans(project: Project, recorded: set[Path]) -> list[Problem]:
    kept = [*project.photo_files.all_paths(), *project.clip_files.all_paths()]
    return [Problem(ProblemKind.ORPHAN, path.name, path) for path in kept if path not in recorded]
