"""How the page Footage is laid out: buttons above and below always in sight, the rest between."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QSplitter, QVBoxLayout, QWidget

from leaktrack.gui.footage.player import Player
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import Field
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import Heading
from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S

_LEAST_LINES = 5
"""So many lines of what lies between the buttons are seen in the smallest window."""

_JOB_CHARACTERS = 26


class FootageFrame(QWidget):
    """Opening and asking above, the player's buttons below; clips, picture and finds between.

    Args:
        buttons: What stands above.
        clips: The list of clips.
        clip_buttons: What stands below that list.
        player: Its buttons are put below everything.
        job_field: Stands beside them.
        search: What was found.
    """

    def __init__(
        self,
        buttons: Sequence[QWidget],
        clips: QWidget,
        clip_buttons: Sequence[QWidget],
        player: Player,
        job_field: Field,
        search: QWidget,
    ) -> None:
        super().__init__()
        self._transport = player.transport
        job_field.setFixedWidth(_JOB_CHARACTERS * self.fontMetrics().averageCharWidth())
        self._transport.add_beside(job_field)
        self._middle = QScrollArea()
        self._middle.setWidgetResizable(True)
        self._middle.setFrameShape(QFrame.Shape.NoFrame)
        self._middle.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the keys belong to the picture
        self._middle.setWidget(_parts(clips, clip_buttons, player, search))
        self._rows = rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP)
        rows.setSpacing(GAP)
        self._head_row = self._head(buttons)
        rows.addLayout(self._head_row)
        rows.addWidget(self._middle, 1)
        rows.addWidget(self._transport)
        self._set_least_height()

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for the same number of lines when the text grows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_least_height()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for the height of the buttons at this width: in a narrow window they wrap."""
        super().resizeEvent(event)
        self._set_least_height()

    def _set_least_height(self) -> None:
        self._middle.setMinimumHeight(_LEAST_LINES * self.fontMetrics().lineSpacing())
        rows = self._rows
        width = max(self.width(), rows.minimumSize().width())
        self.setMinimumHeight(max(rows.minimumSize().height(), self._height_at(width)))

    def _height_at(self, width: int) -> int:
        rows = self._rows
        margins = rows.contentsMargins()
        inside = width - margins.left() - margins.right()
        heights = (
            self._head_row.heightForWidth(inside),
            self._middle.minimumHeight(),
            self._transport.heightForWidth(inside),
        )
        return sum(heights) + 2 * rows.spacing() + margins.top() + margins.bottom()

    def _head(self, buttons: Sequence[QWidget]) -> QHBoxLayout:
        heading = Heading(self.tr("Footage"))
        heading.setWordWrap(False)
        tools = QWidget()
        flow = FlowLayout(GAP_S, tools)
        for button in buttons:
            flow.addWidget(button)
        head = QHBoxLayout()
        head.setSpacing(GAP_L)
        head.addWidget(heading, 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(tools, 1)
        return head


def _parts(
    clips: QWidget, clip_buttons: Sequence[QWidget], player: QWidget, search: QWidget
) -> QSplitter:
    left = QWidget()
    column = QVBoxLayout(left)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(GAP)
    column.addWidget(clips, 1)
    column.addWidget(FieldGrid(clip_buttons, cell_characters=18))
    middle = QWidget()
    column = QVBoxLayout(middle)
    column.setContentsMargins(GAP, 0, GAP, 0)
    column.addWidget(player)
    split = QSplitter(Qt.Orientation.Horizontal)
    split.setChildrenCollapsible(False)
    for part in (left, middle, search):
        split.addWidget(part)
    split.setStretchFactor(1, 1)
    split.setSizes([200, 620, 300])
    return split
