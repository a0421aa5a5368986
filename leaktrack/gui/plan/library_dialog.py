"""Take access steps and tasks from the library, in place of writing each by hand."""

from collections.abc import Sequence

from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.panels import Heading, ScrolledPage, TonedLabel
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.plan.plan_words import estimate_words
from leaktrack.model.redo_library import LibraryStep, LibraryTask, Offer


class LibraryDialog(QDialog):
    """A tick for each task and step; what a ticked one needs comes along by itself."""

    def __init__(self, offers: Sequence[Offer], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Take from the library"))
        self.resize(760, 600)
        self.boxes: dict[str, QCheckBox] = {}
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setSpacing(GAP)
        rows.addWidget(
            TonedLabel(
                self.tr(
                    "Usual hours of no certain engine; hours that you recorded count before them. "
                    "What must come off for a task comes along."
                )
            )
        )
        tasks = [offer for offer in offers if not isinstance(offer.item, LibraryStep)]
        steps = [offer for offer in offers if isinstance(offer.item, LibraryStep)]
        for title, group in ((self.tr("Tasks"), tasks), (self.tr("Access steps"), steps)):
            rows.addWidget(Heading(title, 2))
            for offer in group:
                rows.addWidget(self._box(offer))
        rows.addStretch(1)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.take_button = self.buttons.addButton("", QDialogButtonBox.ButtonRole.AcceptRole)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        whole = QVBoxLayout(self)
        whole.addWidget(ScrolledPage(content), 1)
        whole.addWidget(self.buttons)
        self._show_count()

    @property
    def ids(self) -> tuple[str, ...]:
        """What is ticked."""
        return tuple(key for key, box in self.boxes.items() if box.isChecked())

    @classmethod
    def ask(cls, offers: Sequence[Offer], parent: QWidget | None = None) -> tuple[str, ...]:
        """Return what the person takes; nothing if they changed their mind."""
        dialog = cls(offers, parent)
        return dialog.ids if dialog.exec() else ()

    def _box(self, offer: Offer) -> QCheckBox:
        text = self._words(offer)
        box = QCheckBox(text.replace("&", "&&"))
        box.setAccessibleName(text)
        box.setEnabled(not offer.is_taken)
        box.toggled.connect(lambda _is_on: self._show_count())
        self.boxes[offer.item.id] = box
        return box

    def _words(self, offer: Offer) -> str:
        item = offer.item
        kind = item.fits[0] if isinstance(item, LibraryTask) and item.fits else ""
        joints = ", ".join(offer.joint_names)
        name = item.name.replace("{joint}", joints or self.tr("the %s") % (kind or "joint"))
        if offer.is_taken:
            return self.tr("%s – there already") % name
        hours = estimate_words(offer.estimate)
        if offer.refit is not None:
            hours = self.tr("%s off, %s on again") % (hours, estimate_words(offer.refit))
        return f"{name} – {hours}"

    def _show_count(self) -> None:
        number = len(self.ids)
        self.take_button.setEnabled(number > 0)
        self.take_button.setText(self.tr("Take %d") % number if number else self.tr("Take"))
