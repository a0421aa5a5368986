"""On what terms work is weighed and ordered: hour rate, people, limits."""

from dataclasses import replace
from typing import Any
from uuid import UUID

from leaktrack.gui.forms.field_grid import give_mnemonics
from leaktrack.gui.forms.fields import NumberField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.units import Unit
from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.plan.own_number_field import LimitField
from leaktrack.gui.session import Session
from leaktrack.model.record import Edit
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.workflows.settle_redo import settle_terms

_TAKEN_LETTERS = "efhmrvtsk"
"""Of the menu bar and of the buttons of the page."""


class TermsForm(RecordForm):
    """The terms of one engine; the usual ones are shown until somebody changes one."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, self._settle)
        self._unsettled: dict[UUID, RedoTerms] = {}
        self.add_group(
            "",
            {
                "hour_rate": NumberField(self.tr("Money for an hour of labour")),
                "workers": NumberField(self.tr("People at work"), is_whole=True),
                "day_hours": NumberField(self.tr("Working day of each"), _hours),
                "hours_budget": LimitField(self.tr("Limit of labour"), _hours),
                "money_budget": LimitField(self.tr("Limit of money for parts")),
                "mess": NumberField(self.tr("Mess of a leak: oil, cleaning, risk")),
            },
        )
        self.add_widget(
            TonedLabel(
                self.tr(
                    "These are for this engine. The usual hour rate and mess are proposals of this "
                    "program: type your own. An emptied field goes back to the usual number."
                )
            )
        )
        give_mnemonics(self.fields.values(), _TAKEN_LETTERS)

    def show_terms(self, terms: RedoTerms) -> None:
        """Show terms; what is being typed stays."""
        if self._session.project.find(RedoTerms, terms.id) is None:
            # Terms that nobody settled have another key each time they are asked for.
            terms = self._unsettled.setdefault(terms.engine_id, terms)
        self.show_record(terms)

    def _settle(self, before: Any, after: Any) -> Edit:
        del before
        usual = RedoTerms(engine_id=after.engine_id)
        emptied = {
            name: getattr(usual, name)
            for name in ("hour_rate", "workers", "day_hours", "mess")
            if getattr(after, name) is None
        }
        return settle_terms(self._session.project, replace(after, **emptied))


def _hours() -> Unit:
    return Unit("h", 2)
