"""Look for something in the footage: what is looked for, how far it is, and what was found."""

from collections.abc import Callable, Mapping
from functools import partial
from uuid import UUID

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone, mark_pen_pair
from leaktrack.gui.pages.found_list import FoundList
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.footage import FootageAnswer, FoundSpan, Searched
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.shapes import BoxPx
from leaktrack.workflows.ask_footage import FootageAsk, find_asked
from leaktrack.workflows.project import Project

_SIDE_PX = 120

Asking = Callable[[Project], FootageAsk]
"""Works out what is asked for; reads records."""


class FootageSearch(QWidget):
    """One question at a time; the next one stops it. Its buttons stand elsewhere on the page."""

    photo_wanted = Signal()
    """Let the person choose a photo to look for."""
    answered = Signal()
    """There is an answer, or none any more."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._ask: FootageAsk | None = None
        self._answer: FootageAnswer | None = None
        self._job: Job | None = None
        self._thumbnails = Thumbnails(session, _SIDE_PX, self)
        self.picture = QLabel()
        self.subject = TonedLabel("", Tone.TEXT)
        self.verdict = TonedLabel()
        self.notes = TonedLabel("", Tone.ATTENTION)
        self.found = FoundList(session)
        self.choose_button = push_button(
            self.tr("Find a &photo…"), self.photo_wanted.emit, icon_name="photo"
        )
        self.again_button = push_button(self.tr("Find again"), self.search, icon_name="redo")
        self.stop_button = push_button(self.tr("Stop"), self.stop, icon_name="close")
        self._build()
        self._show()

    @property
    def ask(self) -> FootageAsk | None:
        """What is looked for."""
        return self._ask

    @property
    def spans(self) -> tuple[FoundSpan, ...]:
        """What was found, best first."""
        return () if self._answer is None else self._answer.spans

    @property
    def is_busy(self) -> bool:
        """Whether the answer is still to come."""
        return self._job is not None

    def look_for(self, asking: Asking) -> None:
        """Look for something else, in all footage."""
        self.stop()
        self._session.background.run(
            partial(asking, self._session.project),
            then=self._on_asked,
            failed=self._session.report,
            owner=self,
        )

    def search(self) -> None:
        """Look for it in all footage; what is not indexed yet is indexed first."""
        ask, project = self._ask, self._session.project
        self.stop()
        if ask is None:
            return
        clips = project.all(Clip)
        self._answer = None

        def work(job: Job) -> FootageAnswer:
            return find_asked(project, ask, clips, in_seconds(job))

        self._job = self._session.background.run_job(
            self.tr("Find in the footage"),
            work,
            then=partial(self._on_answered, ask),
            failed=self._on_failed,
            owner=self,
        )
        self._show()
        self.answered.emit()

    def stop(self) -> None:
        """Stop looking; what is indexed is kept."""
        if self._job is not None:
            self._job.cancel()
            self._end()

    def show_found(self, clips: Mapping[UUID, Clip], kept: Mapping[FoundSpan, str]) -> None:
        """List what was found, and what of it is evidence already."""
        self.found.show_spans(self.spans, clips, kept)
        self.found.setVisible(bool(self.found.spans))

    def _on_asked(self, ask: FootageAsk) -> None:
        self._ask = ask
        self.search()

    def _on_answered(self, ask: FootageAsk, answer: FootageAnswer) -> None:
        self._end()
        if ask is self._ask:
            self._answer = answer
            self._show()
            self.answered.emit()

    def _on_failed(self, error: LeakTrackError) -> None:
        self._end()
        self._session.report(error)

    def _on_progressed(self, job: Job, what: str) -> None:
        if job is self._job:
            share = f": {100 * job.done // job.total} %" if job.total > 0 else ""
            self.verdict.setText(self.tr("Looking… %s") % f"{what}{share}")

    def _on_ended(self, job: Job) -> None:
        if job is self._job and job.is_cancelled:
            self._end()

    def _end(self) -> None:
        self._job = None
        self._show()

    def _show(self) -> None:
        ask, answer = self._ask, self._answer
        self.again_button.setVisible(ask is not None and not self.is_busy)
        self.stop_button.setVisible(self.is_busy)
        if ask is None:
            self.subject.setText(
                self.tr(
                    "Ask with a photo, or choose Find in the footage at a mark, a joint, a bead or "
                    "a place of the joint strip."
                )
            )
        else:
            self.subject.setText(self.tr("Looked for: %s") % ask.words)
        self._show_picture()
        self.verdict.setVisible(ask is not None)
        if self.is_busy:
            self.verdict.setText(self.tr("Looking…"))
        elif answer is None:
            self.verdict.setText(self.tr("Stopped before there was an answer."))
        elif not answer.spans:
            self.verdict.setText(self._nothing_found(answer.searched))
        else:
            count = len(answer.spans)
            one, several = (
                self.tr("Found at one place."),
                self.tr("Found at %d places, best first."),
            )
            self.verdict.setText(one if count == 1 else several % count)
        self.notes.setText("" if answer is None else "\n".join(answer.notes))
        self.notes.setVisible(bool(self.notes.text()))
        self.found.setVisible(bool(self.spans))

    def _nothing_found(self, searched: Searched) -> str:
        if searched is Searched.NOTHING:
            return self.tr("None of the footage could be searched.")
        if searched is Searched.PART:
            return self.tr("Not found in what could be searched of the footage.")
        return self.tr("Not found in the footage.")

    def _show_picture(self, _photo_id: UUID | None = None) -> None:
        ask = self._ask
        photo = None if ask is None else self._session.project.find(Photo, ask.photo_id)
        picture = None if photo is None else self._thumbnails.get(photo.id)
        self.picture.setVisible(picture is not None)
        if ask is None or photo is None or picture is None:
            return
        box = ask.queries[0].box
        self.picture.setPixmap(picture if box is None else _boxed(picture, box, photo.width_px))
        self.picture.setAccessibleName(self.tr("What is looked for"))

    def _build(self) -> None:
        background = self._session.background
        background.job_progressed.connect(self._on_progressed)
        background.job_ended.connect(self._on_ended)
        self._thumbnails.ready.connect(self._show_picture)
        card = Card()
        head = QHBoxLayout()
        words = QVBoxLayout()
        words.setSpacing(GAP_S)
        words.addWidget(Heading(self.tr("Find in the footage"), 2))
        words.addWidget(self.subject)
        words.addWidget(self.verdict)
        words.addWidget(self.notes)
        words.addStretch(1)
        head.setSpacing(GAP)
        head.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignTop)
        head.addLayout(words, 1)
        card.rows.addLayout(head)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(card)
        rows.addWidget(self.found, 1)


def in_seconds(job: Job) -> Callable[[int, int, str], None]:
    """Return a progress for work that counts milliseconds of video: seconds read better."""

    def progress(done: int, total: int, what: str) -> None:
        is_video = total > 1000
        scale = 1000 if is_video else 1
        job.progress(done // scale, total // scale, what)

    return progress


def _boxed(picture: QPixmap, box: BoxPx, width_px: int) -> QPixmap:
    """Return a small picture of a photo with the box drawn that matters in it."""
    shown = QPixmap(picture)
    size: QSize = picture.deviceIndependentSize().toSize()
    scale = size.width() / max(1, width_px)
    painter = QPainter(shown)
    for pen in mark_pen_pair():
        painter.setPen(pen)
        painter.drawRect(
            round(box.left * scale),
            round(box.top * scale),
            max(2, round(box.width * scale) - 1),
            max(2, round(box.height * scale) - 1),
        )
    painter.end()
    return shown
