"""The plan that somebody decided on, and what became of it."""

from collections.abc import Sequence

from leaktrack.gui.forms.times import day_text
from leaktrack.gui.look.panels import Card, Heading, TonedLabel
from leaktrack.gui.look.theme import Tone
from leaktrack.gui.pages.redo_contents import plan_words
from leaktrack.gui.session import Session
from leaktrack.model.logbook import EntryKind
from leaktrack.model.redo_plan import RedoPlan, RedoTask


class PlanCard(Card):
    """Shows the plan picked in the logbook, else the last one."""

    def __init__(self, session: Session) -> None:
        super().__init__("news")
        self._session = session
        self.heading = Heading("", 2)
        self.text = TonedLabel("", Tone.TEXT)
        self.rows.addWidget(self.heading)
        self.rows.addWidget(self.text)

    def show_plans(self, plans: Sequence[RedoPlan]) -> None:
        """Show the plan in hand; none hides the card."""
        plan = self._plan_in_hand(plans)
        self.setVisible(plan is not None)
        if plan is not None:
            self.heading.setText(self.tr("Plan kept on %s") % day_text(plan.made_at))
            tasks = self._session.project.all(RedoTask, engine_id=plan.engine_id)
            self.text.setText(plan_words(plan, tasks))

    def _plan_in_hand(self, plans: Sequence[RedoPlan]) -> RedoPlan | None:
        entry = self._session.entry
        if entry is not None and entry[0] is EntryKind.REDO_PLAN:
            picked = next((plan for plan in plans if plan.id == entry[1]), None)
            if picked is not None:
                return picked
        return max(plans, key=lambda plan: plan.made_at, default=None)
