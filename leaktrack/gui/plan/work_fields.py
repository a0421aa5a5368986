"""Fields for what a piece of work takes: parts and tools, typed as people write such lists."""

import re
from typing import Any

from leaktrack.gui.forms.fields import TextField
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.model.errors import BadInput
from leaktrack.model.redo_plan import RedoPart

_KEPT = "(used again)"
_LINE = re.compile(r"(?:(\d{1,4})\s*[x×*]\s*)?(.+)")


def parse_parts(text: str) -> tuple[RedoPart, ...]:
    """Return the parts that somebody listed, one in each line.

    Raises:
        BadInput: A line names no part, or none of it is needed.

    >>> parse_parts("8 x Flywheel bolt")
    (RedoPart(name='Flywheel bolt', count=8, is_single_use=True),)
    """
    found = []
    for line in filter(None, (" ".join(each.split()) for each in text.splitlines())):
        is_kept = line.casefold().endswith(_KEPT)
        plain = line[: -len(_KEPT)].strip() if is_kept else line
        hit = _LINE.fullmatch(plain)
        count = int(hit[1] or 1) if hit is not None else 0
        if hit is None or count < 1:
            raise BadInput(f"'{line}' names no part. Write a count and a name: 2 x Intake gasket.")
        found.append(RedoPart(hit[2].strip(), count, is_single_use=not is_kept))
    return tuple(found)


def parts_text(parts: tuple[RedoPart, ...]) -> str:
    """Return parts as somebody would list them.

    >>> parts_text((RedoPart("Lifting eye", 2, is_single_use=False),))
    '2 x Lifting eye (used again)'
    """
    return "\n".join(
        f"{part.count} x {part.name}" + ("" if part.is_single_use else f" {_KEPT}")
        for part in parts
    )


class PartsField(NoteField):
    """One part in each line; what is used again says so."""

    def __init__(self, label: str) -> None:
        super().__init__(label)
        self.text.setPlaceholderText(self.tr("2 x Intake gasket\nLifting eye (used again)"))

    def _answer(self, value: Any) -> None:
        if isinstance(value, str):
            try:
                value = parse_parts(value)
            except BadInput as error:
                self.complain(str(error))
                return
        super()._answer(value)

    def _display(self, value: Any) -> None:
        self.text.setPlainText(parts_text(tuple(value or ())))

    def _is_being_changed(self) -> bool:
        return self.text.toPlainText().strip() != parts_text(tuple(self._stored or ()))


class ToolsField(TextField):
    """Tools with commas between them."""

    def _read(self, text: str) -> Any:
        return tuple(filter(None, (" ".join(each.split()) for each in text.split(","))))

    def _write(self, value: Any) -> str:
        return ", ".join(value or ())
