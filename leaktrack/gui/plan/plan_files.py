"""The plan on paper and as tables for a spreadsheet."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QFileDialog, QMenu, QPushButton, QWidget

from leaktrack.gui.look.panels import push_button
from leaktrack.gui.plan.plan_printing import print_plan
from leaktrack.gui.session import Session
from leaktrack.model.engine import Engine
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.redo_benefit import WeighedRedo
from leaktrack.model.work_sheet import WorkSheet
from leaktrack.workflows.export_plan import PlanTable, write_table

_tr = partial(QCoreApplication.translate, "PlanFiles")


class PlanFiles:
    """Two buttons: print, and save a table.

    Args:
        session: The session.
        page: What dialogs belong to.
    """

    def __init__(self, session: Session, page: QWidget) -> None:
        self._session = session
        self._page = page
        self._weighed: WeighedRedo | None = None
        self._sheet: WorkSheet | None = None
        self.print_button = push_button(_tr("Print…"), self.print, icon_name="print")
        self.save_button = push_button(_tr("Save as table"), _nothing, icon_name="report")
        menu = QMenu(self.save_button)
        names = {
            PlanTable.TASKS: _tr("Tasks, chosen and left…"),
            PlanTable.ORDER: _tr("Order of the work…"),
            PlanTable.PARTS: _tr("Parts and fluids…"),
        }
        for table, name in names.items():
            menu.addAction(name, partial(self.save, table))
        self.save_button.setMenu(menu)
        self.show_plan(None)

    @property
    def buttons(self) -> tuple[QPushButton, ...]:
        """The buttons."""
        return (self.print_button, self.save_button)

    def show_plan(self, weighed: WeighedRedo | None, sheet: WorkSheet | None = None) -> None:
        """Offer to print and save this; none, or one without tasks, cannot be."""
        self._weighed, self._sheet = weighed, sheet
        for button in self.buttons:
            button.setEnabled(weighed is not None and bool(weighed.answer.tasks))

    def save(self, table: PlanTable) -> None:
        """Ask for a file and write a table into it."""
        if self._weighed is None:
            return
        start = str(Path.home() / f"{table.value}.csv")
        kinds = _tr("Tables (*.csv)")
        name, _ = QFileDialog.getSaveFileName(self._page, _tr("Save as table"), start, kinds)
        if not name:
            return
        path = Path(name)
        path = path if path.suffix else path.with_suffix(".csv")
        self._guarded(partial(write_table, self._weighed, self._sheet, table, path))

    def print(self) -> None:
        """Ask for a printer and print the plan."""
        engine_id, weighed = self._session.engine_id, self._weighed
        if engine_id is None or weighed is None:
            return
        engine = self._session.project.find(Engine, engine_id)
        title = _tr("Redo plan: %s") % (engine.name if engine is not None else "")
        self._guarded(partial(print_plan, self._page, weighed, self._sheet, title))

    def _guarded(self, act: Callable[[], object]) -> None:
        try:
            act()
        except LeakTrackError as error:
            self._session.report(error)


def _nothing() -> None:
    """Do nothing: the button's menu opens by itself."""
