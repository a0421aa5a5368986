"""What the parts of the window share: the open project, undo, background work, what is in hand."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from leaktrack.gui.background import Background
from leaktrack.gui.undo import EditCommand
from leaktrack.model.engine import Engine
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import Edit
from leaktrack.model.units import use_units
from leaktrack.settings import Settings
from leaktrack.workflows.project import Project
from leaktrack.workflows.tell_by_name import told_by_name


class Session(QObject):
    """One open project and what of it is in hand.

    Navigation is two picks: an entry of the logbook (when) and a zone of the sheet (where). The
    work area shows what belongs to both. Two picked entries are compared.
    """

    records_changed = Signal()
    """Records are not what they were: read them again."""
    picked = Signal()
    """Another entry, zone or joint is in hand."""
    photo_wanted = Signal(object, object)
    """Show this photo (UUID), at this PointPx or None."""
    clip_wanted = Signal(object, int)
    """Show this clip (UUID) at these milliseconds."""
    footage_asked = Signal(object)
    """Find in the footage what this function of the project asks for (returns a FootageAsk)."""
    failed = Signal(object)
    """A foreseen failure (LeakTrackError) to be shown to the person."""

    def __init__(
        self,
        project: Project,
        background: Background,
        settings: Settings,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.project = project
        self.background = background
        self.settings = settings
        use_units(settings.units)
        background.told = partial(told_by_name, project)
        self.undo_stack = QUndoStack(self)
        self.engine_id: UUID | None = None
        self.entry: tuple[EntryKind, UUID] | None = None
        self.earlier_entry: tuple[EntryKind, UUID] | None = None
        self.zone_id: UUID | None = None
        self.joint_id: UUID | None = None
        self.leak_id: UUID | None = None
        self._keep_an_engine()

    def do(self, label: str, edit: Edit) -> None:
        """Apply an edit as one undoable step; ``label`` names it in the menu."""
        step = EditCommand(label, edit, self._apply, self.failed.emit, self.undo_stack)
        self.undo_stack.push(step)

    def pick(
        self,
        *,
        entry: tuple[EntryKind, UUID] | None = None,
        earlier_entry: tuple[EntryKind, UUID] | None = None,
        zone_id: UUID | None = None,
        joint_id: UUID | None = None,
        leak_id: UUID | None = None,
    ) -> None:
        """Take something else in hand. What is not named stays, except the second entry."""
        if entry is not None:
            self.entry = entry
            self.earlier_entry = earlier_entry
        self.zone_id = zone_id or self.zone_id
        self.joint_id = joint_id or self.joint_id
        self.leak_id = leak_id or self.leak_id
        self.picked.emit()

    def report(self, error: LeakTrackError) -> None:
        """Show a foreseen failure."""
        self.failed.emit(told_by_name(self.project, error))

    def _apply(self, edit: Edit) -> Edit:
        inverse = self.project.apply(edit)
        self._keep_an_engine()
        self.records_changed.emit()
        return inverse

    def _keep_an_engine(self) -> None:
        """Take the first engine in hand where none is, or where the one in hand was taken back."""
        if self.engine_id is None or self.project.find(Engine, self.engine_id) is None:
            engines = self.project.all(Engine)
            self.engine_id = engines[0].id if engines else None
