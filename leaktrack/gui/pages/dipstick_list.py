"""What heights on an engine's own dipstick mean: the two marks, or more points."""

from collections.abc import Sequence
from uuid import UUID

from leaktrack.gui.forms.fields import Field, NumberField
from leaktrack.gui.forms.row_list import RowList
from leaktrack.gui.pages.fact_fields import unit_for
from leaktrack.gui.session import Session
from leaktrack.model.oil_account import DipstickPoint
from leaktrack.model.record import Edit
from leaktrack.workflows.calibrate_dipstick import dipstick_points, next_point, set_dipstick


class DipstickList(RowList):
    """The known heights of one engine's dipstick."""

    def __init__(self, session: Session) -> None:
        self._session_of = session
        self._engine_id: UUID | None = None
        super().__init__(
            session,
            self.tr("Dipstick"),
            self._make_fields,
            self._set_points,
            lambda place, _point: self.tr("Height %d") % (place + 1),
            new=self._fresh,
            add_text=self.tr("Add a height of the dips&tick"),
            empty_text=self.tr(
                "Say how much oil a height means: the lower mark is 0; fill up to the upper mark "
                "and note how much went in. Then a run's oil account is in mL."
            ),
        )

    def show_engine(self, engine_id: UUID) -> None:
        """Show the heights of an engine's dipstick."""
        self._engine_id = engine_id
        self.show_records(dipstick_points(self._session_of.project, engine_id), engine_id)

    def _make_fields(self) -> dict[str, Field]:
        return {
            "height_mm": NumberField(
                self.tr("Above the lower mark"), unit_for(self._session_of, "height_mm")
            ),
            "volume_ml": NumberField(
                self.tr("Oil above the lower mark"), unit_for(self._session_of, "volume_ml")
            ),
        }

    def _set_points(self, points: Sequence[DipstickPoint]) -> Edit:
        assert self._engine_id is not None
        return set_dipstick(self._session_of.project, self._engine_id, points)

    def _fresh(self, points: Sequence[DipstickPoint]) -> DipstickPoint:
        assert self._engine_id is not None
        return next_point(self._engine_id, points)
