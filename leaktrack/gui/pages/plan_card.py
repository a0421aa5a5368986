"""The plan that somebody decided on, and what became of it; and how one is kept."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from leaktrack.gui.forms.fields import TextField
from leaktrack.gui.forms.times import day_text
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.redo_contents import plan_words
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.logbook import EntryKind
from leaktrack.model.redo_benefit import Replan, WeighedRedo
from leaktrack.model.redo_plan import RedoPlan, RedoTask
from leaktrack.workflows.replan import keep_choice


class KeepRow(QWidget):
    """A remark, and the button that keeps the plan of this moment in the logbook."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._weighed: WeighedRedo | None = None
        self.note_field = TextField(self.tr("Remark on the plan"))
        self.keep_button = push_button(
            self.tr("&Keep this plan"), self.keep, icon_name="redo_plan", is_primary=True
        )
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self.note_field, 1)
        row.addWidget(self.keep_button, 0, Qt.AlignmentFlag.AlignBottom)
        self.show_plan(None)

    def show_plan(self, weighed: WeighedRedo | None) -> None:
        """Offer to keep a plan; none, or one without tasks, cannot be kept."""
        self._weighed = weighed
        is_locked = self._session.project.is_read_only
        can_keep = weighed is not None and bool(weighed.answer.tasks) and not is_locked
        self.keep_button.setEnabled(can_keep)
        self.note_field.setEnabled(can_keep)

    def keep(self) -> None:
        """Keep the choice of this moment as the plan that was decided on."""
        weighed = self._weighed
        if weighed is None:
            return
        note = " ".join(self.note_field.line.text().split())
        try:
            edit = keep_choice(weighed, note)
        except LeakTrackError as error:
            self._session.report(error)
            return
        self.note_field.line.clear()
        self._session.do(self.tr("Keep the plan"), edit)


class PlanCard(Card):
    """Shows the plan picked in the logbook, else the last one."""

    def __init__(self, session: Session) -> None:
        super().__init__("news")
        self._session = session
        self.heading = Heading("", 2)
        self.text = TonedLabel("", Tone.TEXT)
        self.since = TonedLabel("", Tone.TEXT)
        for each in (self.heading, self.text, self.since):
            self.rows.addWidget(each)
        self.since.hide()

    def show_plans(self, plans: Sequence[RedoPlan]) -> None:
        """Show the plan in hand; none hides the card."""
        plan = self._plan_in_hand(plans)
        self.setVisible(plan is not None)
        if plan is not None:
            self.heading.setText(self.tr("Plan kept on %s") % day_text(plan.made_at))
            tasks = self._session.project.all(RedoTask, engine_id=plan.engine_id)
            self.text.setText(plan_words(plan, tasks))

    def show_since(self, replan: Replan) -> None:
        """Say what the choice of now does otherwise than the plan that was kept last."""
        lines = [
            (self.tr("Done since"), replan.done),
            (self.tr("Still to be done"), replan.still),
            (self.tr("Not worth it any more"), replan.dropped),
            (self.tr("Come in since"), replan.found),
        ]
        told = [
            f"{title}: {', '.join(one.name for one in tasks)}" for title, tasks in lines if tasks
        ]
        self.since.setText("\n".join([self.tr("The plan of now beside the last one:"), *told]))
        self.since.setVisible(replan.since is not None and bool(told))

    def _plan_in_hand(self, plans: Sequence[RedoPlan]) -> RedoPlan | None:
        entry = self._session.entry
        if entry is not None and entry[0] is EntryKind.REDO_PLAN:
            picked = next((plan for plan in plans if plan.id == entry[1]), None)
            if picked is not None:
                return picked
        return max(plans, key=lambda plan: plan.made_at, default=None)
