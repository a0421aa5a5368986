"""Numbers that may be left empty, and say what that means."""

from collections.abc import Callable

from leaktrack.gui.forms.fields import NumberField
from leaktrack.gui.forms.units import Unit


class OwnNumberField(NumberField):
    """Empty means: take what is worked out, which stands there in grey."""

    def __init__(self, label: str, unit: Callable[[], Unit]) -> None:
        self._worked_out: float | None = None
        super().__init__(label, unit)

    def show_worked_out(self, value: float | None) -> None:
        """Show what is taken where nothing is typed."""
        self._worked_out = value
        self.line.setPlaceholderText(self._absent_words())

    def _absent_words(self) -> str:
        if self._worked_out is None:
            return self.tr("worked out")
        return self.tr("worked out: %s") % self._write(self._worked_out)


class TookField(NumberField):
    """Hours that a piece of work really took; what was planned stands there in grey.

    Args:
        label: What people call the fact.
        planned: Hours.
    """

    def __init__(self, label: str, planned: float) -> None:
        self._planned = planned
        super().__init__(label, lambda: Unit("h", 2))
        self.line.setPlaceholderText(self._absent_words())

    def _absent_words(self) -> str:
        return self.tr("planned %s") % self._write(self._planned)


class LimitField(NumberField):
    """Empty means that there is no limit."""

    def _absent_words(self) -> str:
        return self.tr("no limit")
