"""Grade the places of an engine one after the other, without seeing what others gave them."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from leaktrack.gui.forms.times import now
from leaktrack.gui.look.panels import Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.pages.grade_buttons import GradeButtons, grade_key
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.words import grade_words
from leaktrack.workflows.grade_blind import BlindPlace, grade_blind, places_to_grade

_PLACE_ZOOM = 3.0
"""How large the place is shown at first; 1 fits the photo."""

_SIZE = QSize(860, 720)


class BlindGradingDialog(QDialog):
    """Asks for a name, then shows place after place; each grade is one undoable step."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._places: tuple[BlindPlace, ...] = ()
        self._given: dict[int, SeepageGrade] = {}
        self._at = 0
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(self.tr("Grade photos blind"))
        self.name_line = QLineEdit()
        self.name_line.setAccessibleName(self.tr("Who grades"))
        self.name_line.setPlaceholderText(self.tr("Who grades?"))
        self.start_button = push_button(self.tr("&Begin"), self.start, is_primary=True)
        self.state = TonedLabel()
        self.heading = Heading("", 2)
        self.view = PhotoView(session)
        self.view.setAccessibleName(self.tr("The place to grade"))
        self.grades = GradeButtons(session)
        self.back_button = push_button(self.tr("Bac&k"), self.back, icon_name="previous")
        self.next_button = push_button(self.tr("&Skip"), self.go_on, icon_name="next")
        self.close_button = push_button(self.tr("&Close"), self.close, icon_name="close")
        self._work = QWidget()
        self._build()
        self._work.hide()
        # As large as the window: the grades of the engine sheet must not show beside it.
        self.resize(_SIZE if parent is None else parent.window().size())

    @property
    def place(self) -> BlindPlace | None:
        """The place in hand."""
        return self._places[self._at] if self._at < len(self._places) else None

    def start(self) -> None:
        """Show the first place that this person has not graded yet."""
        engine_id = self._session.engine_id
        if engine_id is None:
            return
        try:
            self._places = places_to_grade(self._session.project, engine_id, self.name_line.text())
        except LeakTrackError as error:
            self.state.setText(str(error))
            return
        if not self._places:
            self.state.setText(
                self.tr("No leak is marked in any photo yet, so there is nothing to grade.")
            )
            return
        self._given = {
            place: one.own for place, one in enumerate(self._places) if one.own is not None
        }
        ungraded = (place for place in range(len(self._places)) if place not in self._given)
        self._at = next(ungraded, 0)
        self.name_line.setEnabled(False)
        self.start_button.setEnabled(False)
        self._work.show()
        self._show()
        self.setFocus()

    def grade(self, grade: SeepageGrade) -> None:
        """Give the place in hand a grade and go on."""
        place = self.place
        if place is None:
            return
        try:
            edit = grade_blind(self._session.project, place, grade, self.name_line.text(), now())
        except LeakTrackError as error:
            self.state.setText(str(error))
            return
        self._session.do(self.tr("Grade blind: %s") % grade_words(grade), edit)
        self._given[self._at] = grade
        self.go_on()

    def go_on(self) -> None:
        """Show the next place."""
        self._at = min(self._at + 1, len(self._places))
        self._show()

    def back(self) -> None:
        """Show the place before."""
        self._at = max(0, self._at - 1)
        self._show()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Grade by the same keys as in the photo."""
        text = event.text().upper()
        keyed = next((one for one in SeepageGrade if text and grade_key(one) == text), None)
        if keyed is not None and self.place is not None and not self.name_line.hasFocus():
            self.grade(keyed)
            return
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return  # Enter must not close what somebody is in the middle of
        super().keyPressEvent(event)

    def _show(self) -> None:
        place, count = self.place, len(self._places)
        self.back_button.setEnabled(self._at > 0)
        self.next_button.setEnabled(place is not None)
        self.grades.setEnabled(place is not None)
        self.view.setVisible(place is not None)
        if place is None:
            self.heading.setText(self.tr("All %d places shown. Thank you.") % count)
            self.state.setText(
                self.tr("%d of them graded. The page Seals says how well people agree.")
                % len(self._given)
            )
            return
        self.heading.setText(
            self.tr("Place %d of %d: how wet is leak %d here?")
            % (self._at + 1, count, place.number)
        )
        self.state.setText(
            self.tr("The middle of the picture is where to look. Scroll to see more of it.")
            if place.at is not None
            else self.tr("Look over the whole photo.")
        )
        self.grades.show_grade(self._given.get(self._at))
        self.view.show_photo(place.photo_id)
        self.view.set_overlays((), ())
        if place.at is None:
            self.view.fit()
        else:
            self.view.center_on_point(place.at, _PLACE_ZOOM)

    def _build(self) -> None:
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP_L, GAP_L, GAP_L)
        rows.setSpacing(GAP)
        rows.addWidget(
            TonedLabel(
                self.tr(
                    "Each marked place is shown without its grade and outline, in no order. Who "
                    "grades is recorded beside the grade; the marks themselves stay as they are."
                )
            )
        )
        who = QHBoxLayout()
        who.addWidget(self.name_line, 1)
        who.addWidget(self.start_button)
        rows.addLayout(who)
        work = QVBoxLayout(self._work)
        work.setContentsMargins(0, 0, 0, 0)
        work.addWidget(self.heading)
        work.addWidget(self.view, 1)
        work.addWidget(self.grades)
        rows.addWidget(self._work, 1)
        rows.addWidget(self.state)
        buttons = QHBoxLayout()
        for button in (self.back_button, self.next_button):
            button.setEnabled(False)
            buttons.addWidget(button)
        buttons.addStretch(1)
        buttons.addWidget(self.close_button)
        rows.addLayout(buttons)
        self.grades.graded.connect(self.grade)
        self.name_line.returnPressed.connect(self.start)
        for button in (self.start_button, self.back_button, self.next_button, self.close_button):
            button.setAutoDefault(False)
