"""Fields side by side, in as many columns as there is room for; and their keys."""

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QGridLayout, QSizePolicy, QWidget

from leaktrack.gui.forms.fields import Field
from leaktrack.gui.look.theme import GAP, GAP_L

MENU_LETTERS = "efhmrv"
"""Taken by the menu bar; a label with the same letter would fight with it."""

_FILLING = Qt.AlignmentFlag(0)
_BESIDE = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom
"""Buttons stand at the height of the editors beside them."""

_CELL_CHARACTERS = 30
"""A cell narrower than so many characters cuts dates and names."""


class FieldGrid(QWidget):
    """Fields in reading order.

    Args:
        fields: Fields and buttons.
        wide: Those of them that have a row of their own.
        cell_characters: A cell's least width.
        is_table: Whether the fields are a row of a table.
    """

    def __init__(
        self,
        fields: Sequence[QWidget],
        wide: Sequence[QWidget] = (),
        cell_characters: int = _CELL_CHARACTERS,
        *,
        is_table: bool = False,
    ) -> None:
        super().__init__()
        self._fields = fields
        self._wide = wide
        self._cell_characters = cell_characters
        self._is_table = is_table
        # In a table's first row, headings of one and of two lines must end at the same height.
        self._alignment = Qt.AlignmentFlag.AlignBottom if is_table else _FILLING
        self._columns = 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(GAP_L)
        self._grid.setVerticalSpacing(GAP)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self._arrange(1)

    def minimumSizeHint(self) -> QSize:
        """Return the room for one column: it can always fall back to that."""
        widest = max((each.minimumSizeHint().width() for each in self._fields), default=0)
        return QSize(widest, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the columns that fit."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Use fewer columns when the text grows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def _fit(self) -> None:
        by_text = self.fontMetrics().averageCharWidth() * self._cell_characters
        cell = max(by_text, self.minimumSizeHint().width()) + GAP_L
        # As many columns in every grid of a page, so that fields stand below each other.
        columns = max(1, (self.width() + GAP_L) // cell)
        self._arrange(min(columns, len(self._fields)) if self._is_table else columns)

    def _arrange(self, columns: int) -> None:
        if columns == self._columns:
            return
        for column in range(self._columns):
            self._grid.setColumnStretch(column, 0)
        self._columns = columns
        row, column = 0, 0
        for each in self._fields:
            self._grid.removeWidget(each)
            is_wide = each in self._wide
            if column and (is_wide or column == columns):
                row, column = row + 1, 0
            alignment = _BESIDE if isinstance(each, QAbstractButton) else self._alignment
            self._grid.addWidget(each, row, column, 1, columns if is_wide else 1, alignment)
            column = columns if is_wide else column + 1
        for column in range(columns):
            self._grid.setColumnStretch(column, 1)


def give_mnemonics(fields: Iterable[Field], taken: str = MENU_LETTERS) -> None:
    """Give each field a letter of its own, as far as letters go.

    Args:
        fields: In reading order; the first ones have the first choice.
        taken: Letters that lead elsewhere on the same page.
    """
    used = set(taken.casefold())
    for field in fields:
        letter = _free_letter(field.name, used)
        used.add(letter)
        field.set_mnemonic(letter)


def _free_letter(name: str, used: set[str]) -> str:
    initials = "".join(word[0] for word in name.split() if word)
    letters = (letter.casefold() for letter in initials + name)
    return next((each for each in letters if each.isalpha() and each not in used), "")
