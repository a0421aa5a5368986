"""The open project, which every workflow takes first."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock
from types import TracebackType
from typing import TYPE_CHECKING, Any, TypeVar
from uuid import UUID

from leaktrack.model.engine import Zone
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.record import Edit, Record
from leaktrack.store.photo_files import PhotoFiles
from leaktrack.store.project_folder import OpenFolder, create_folder, open_folder
from leaktrack.store.records import Records
from leaktrack.workflows.keep_in_memory import KeptInMemory

if TYPE_CHECKING:
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher
    from leaktrack.imaging.matching.overlaying import Placing

T = TypeVar("T", bound=Record)
_ALIGNMENTS = 12
"""So many are kept: about 3 MB each, and a page asks for those of one photo with four others."""

Progress = Callable[[int, int, str], None]
"""Called with (done, total, what comes next); may raise Cancelled to stop the work."""


def silent(done: int, total: int, what: str) -> None:
    """Take note of progress and do nothing."""


class Project:
    """One open project. Safe to use from several threads: only values leave it.

    Attributes:
        cache_folder: For what can be computed again; never inside the project.
        resources_folder: What the program brings along, such as the matching networks.
        own_weights_file: Where the user may change what clues count in a trace; None for nowhere.
        alignments: The last ones made, by the hashes of their two photos.
    """

    def __init__(
        self,
        opened: OpenFolder,
        cache_folder: Path,
        resources_folder: Path,
        own_weights_file: Path | None = None,
    ) -> None:
        self._opened = opened
        self.cache_folder = cache_folder
        self.resources_folder = resources_folder
        self.own_weights_file = own_weights_file
        self.alignments: KeptInMemory[Placing] = KeptInMemory(_ALIGNMENTS)
        self._matcher: LearnedMatcher | None = None
        self._only_one_loads = Lock()

    @property
    def folder(self) -> Path:
        """The project's folder."""
        return self._opened.folder

    @property
    def name(self) -> str:
        """What people call the project: its folder's name."""
        return self.folder.resolve().name

    @property
    def is_read_only(self) -> bool:
        """Whether it is open for looking only."""
        return self._opened.is_read_only

    def refuse_read_only(self) -> None:
        """Refuse, before any work is done, what could not be saved afterwards.

        Raises:
            ReadOnlyProject: It is open for looking only.
        """
        self._opened.refuse_read_only()

    @property
    def holder(self) -> str:
        """Who has it open for writing, in words; empty if it is us."""
        return self._opened.holder

    @property
    def was_closed_cleanly(self) -> bool:
        """Whether the last program that wrote here closed it."""
        return self._opened.was_closed_cleanly

    @property
    def photo_files(self) -> PhotoFiles:
        """The photo files by content."""
        return self._opened.photo_files

    @property
    def clip_files(self) -> PhotoFiles:
        """The video files that were copied into the project."""
        return self._opened.clip_files

    @property
    def matcher(self) -> "LearnedMatcher":
        """The networks that find the same points in two photos; loaded once, when first used."""
        # Their library takes a while to load, and only those who compare photos need it.
        from leaktrack.imaging.matching.learned_matching import LearnedMatcher

        with self._only_one_loads:
            if self._matcher is None:
                self._matcher = LearnedMatcher(self.resources_folder / "models")
            return self._matcher

    @contextmanager
    def read(self) -> Iterator[Records]:
        """Give one consistent look at the records, for several questions at once."""
        with self._opened.reading() as records:
            yield records

    def get(self, kind: type[T], record_id: UUID) -> T:
        """Return one record.

        Raises:
            MissingRecord: There is none with that key.
        """
        with self.read() as records:
            return records.get(kind, record_id)

    def find(self, kind: type[T], record_id: UUID) -> T | None:
        """Return one record, or None."""
        with self.read() as records:
            return records.find(kind, record_id)

    def all(self, kind: type[T], **equals: Any) -> tuple[T, ...]:
        """Return the records of a kind whose fields are equal to these values, in their order."""
        with self.read() as records:
            return records.all(kind, **equals)

    def apply(self, edit: Edit) -> Edit:
        """Make all changes of an edit, or none; return the edit that takes them back.

        Raises:
            ReadOnlyProject: It is open for looking only.
            ChangedMeanwhile: A record is not what the edit expects.
            MissingRecord: A record to be changed is not there.
        """
        with self._opened.transaction() as records:
            records.apply(edit)
        return edit.inverse

    def known_as(self, photo: Photo) -> str:
        """Return what people call a photo: its name, and where and when it was taken, if known."""
        with self.read() as records:
            zone = records.find(Zone, photo.zone_id) if photo.zone_id else None
            look = records.find(Inspection, photo.inspection_id) if photo.inspection_id else None
        day = look.looked_at.astimezone() if look else photo.taken.local if photo.taken else None
        parts = (zone.name if zone else "", f"{day:%Y-%m-%d}" if day else "")
        place = ", ".join(part for part in parts if part)
        return f"{photo.original_name} ({place})" if place else photo.original_name

    def photo_path(self, photo: Photo) -> Path:
        """Return where a photo's file should be."""
        return self.photo_files.path(photo.sha256, photo.file_type)

    def photo_file(self, photo: Photo) -> Path:
        """Return a photo's file, which is there.

        Raises:
            UnreadablePhoto: It is not.
        """
        path = self.photo_path(photo)
        if not path.is_file():
            raise UnreadablePhoto(
                f"The file of {self.known_as(photo)} is missing from the project. What is recorded "
                f"about it is kept. Copy {path.relative_to(self.folder).as_posix()} back from a "
                "backup of the project folder."
            )
        return path

    def keep_clip(self, source: Path, sha256: str) -> str:
        """Copy a video into the project; return its path there, below the project folder."""
        file_type = source.suffix.lstrip(".").lower() or "video"
        self.clip_files.put(source, file_type)
        return self.clip_files.path(sha256, file_type).relative_to(self.folder).as_posix()

    def clip_path(self, clip: Clip) -> Path:
        """Return where a clip's file should be."""
        path = Path(clip.path)
        return path if path.is_absolute() else self.folder / path

    def problems(self) -> tuple[str, ...]:
        """Return what the database itself finds wrong, in its own words."""
        return self._opened.problems()

    def close(self) -> None:
        """Close it and let others write."""
        self._opened.close()

    def __enter__(self) -> "Project":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


def create_project(
    folder: Path, cache_folder: Path, resources_folder: Path, own_weights_file: Path | None = None
) -> Project:
    """Make a new, empty project.

    Raises:
        ProjectExists: There is something in that folder.
        ProjectError: It cannot be made there.
    """
    return Project(create_folder(folder), cache_folder, resources_folder, own_weights_file)


def open_project(
    folder: Path, cache_folder: Path, resources_folder: Path, own_weights_file: Path | None = None
) -> Project:
    """Open a project; for looking only if another program has it.

    Raises:
        ProjectNotFound: There is none in that folder.
        DamagedProject: Its database cannot be read.
        NewerProject: A newer leaktrack made it.
    """
    return Project(open_folder(folder), cache_folder, resources_folder, own_weights_file)
