"""A field for bolt numbers, typed as numbers and ranges."""

from typing import Any

from leaktrack.gui.forms.fields import TextField
from leaktrack.gui.forms.numbers import numbers_text, parse_numbers


class BoltsField(TextField):
    """Bolt numbers such as "1-4, 7"; empty for all bolts."""

    def _absent_words(self) -> str:
        return self.tr("all bolts")

    def _read(self, text: str) -> Any:
        return parse_numbers(text)

    def _write(self, value: Any) -> str:
        return numbers_text(value or ())
