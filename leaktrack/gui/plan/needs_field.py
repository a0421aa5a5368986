"""What must be off before a piece of work: single steps, and choices of ways in."""

from collections.abc import Hashable, Mapping
from functools import partial
from typing import Any
from uuid import UUID

from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from leaktrack.gui.forms.check_list_field import CheckListField
from leaktrack.gui.forms.choice_fields import CalmComboBox
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP_S, Tone
from leaktrack.model.redo_plan import AnyOf

Routes = tuple[tuple[UUID, ...], ...]


class NeedsField(CheckListField):
    """Ticks for steps that must be off anyway; below them, ways in of which one is enough."""

    def __init__(self, label: str, empty_text: str = "") -> None:
        self._choices: tuple[AnyOf, ...] = ()
        self._names: dict[UUID, str] = {}
        self.ways = QWidget()
        self._ways_rows = QVBoxLayout(self.ways)
        self._ways_rows.setContentsMargins(0, GAP_S, 0, 0)
        self._ways_rows.setSpacing(GAP_S)
        self.way_boxes: list[CalmComboBox] = []
        self.step_buttons: list[QPushButton] = []
        super().__init__(label, empty_text)
        own = self.layout()
        assert isinstance(own, QVBoxLayout)
        own.insertWidget(own.indexOf(self.problem), self.ways)

    @property
    def ticked(self) -> tuple[Any, ...]:
        """What is ticked now, and the choices of ways in."""
        return (*super().ticked, *self._choices)

    def set_choices(self, choices: Mapping[Hashable, str]) -> None:
        """Offer these steps."""
        names = {key: text for key, text in choices.items() if isinstance(key, UUID)}
        is_other = names != self._names
        self._names = names
        super().set_choices(choices)
        if is_other:
            self._build_ways()

    def lock(self, is_locked: bool = True) -> None:
        """Let nobody change it."""
        super().lock(is_locked)
        self.ways.setEnabled(not is_locked)

    def _display(self, value: Any) -> None:
        super()._display(value)
        choices = tuple(need for need in value or () if isinstance(need, AnyOf))
        if choices != self._choices or not self.way_boxes:
            self._choices = choices
            self._build_ways()

    def _build_ways(self) -> None:
        while (item := self._ways_rows.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        self.way_boxes, self.step_buttons = [], []
        self.ways.setVisible(bool(self._names))
        for number, choice in enumerate(self._choices):
            self._ways_rows.addWidget(TonedLabel(self.tr("One of these ways in:"), Tone.TEXT))
            for way, route in enumerate(choice.routes):
                self._ways_rows.addWidget(self._way(number, way, route))
            self._ways_rows.addWidget(self._new_way(number))
        self._ways_rows.addWidget(self._new_choice())

    def _way(self, number: int, way: int, route: tuple[UUID, ...]) -> QWidget:
        line = QWidget()
        row = FlowLayout(parent=line)
        name = self.tr("Way %d") % (way + 1)
        label = TonedLabel(name)
        label.setWordWrap(False)
        row.addWidget(label)
        for step_id in route:
            text = self._names.get(step_id, self.tr("a step that is gone"))
            button = push_button(
                text.replace("&", "&&"),
                partial(self._take_out, number, way, step_id),
                icon_name="close",
            )
            button.setAccessibleName(self.tr("%s: take out %s") % (name, text))
            self.step_buttons.append(button)
            row.addWidget(button)
        free = {key: text for key, text in self._names.items() if key not in route}
        row.addWidget(self._box(self.tr("and…"), name, free, partial(self._put_in, number, way)))
        return line

    def _new_way(self, number: int) -> QWidget:
        put = partial(self._put_in, number, len(self._choices[number].routes))
        return self._box(self.tr("or another way…"), self.tr("Another way"), self._names, put)

    def _new_choice(self) -> QWidget:
        def put(step_id: UUID) -> None:
            self._give((*self._choices, AnyOf(((step_id,),))))

        text = self.tr("Add a choice of ways in…")
        return self._box(text, self.tr("A choice of ways in"), self._names, put)

    def _box(self, text: str, name: str, steps: Mapping[UUID, str], put: Any) -> CalmComboBox:
        """Return a list of steps, whose first line says what choosing one does."""
        box = CalmComboBox()
        box.setMinimumContentsLength(16)
        box.addItem(text)
        keys = list(steps)
        box.addItems(list(steps.values()))
        box.setAccessibleName(f"{self.name}, {name}: {text}")
        box.activated.connect(lambda row: put(keys[row - 1]) if row > 0 else None)
        self.way_boxes.append(box)
        return box

    def _put_in(self, number: int, way: int, step_id: UUID) -> None:
        routes = list(self._choices[number].routes)
        if way == len(routes):
            routes.append(())
        routes[way] = (*routes[way], step_id)
        self._change(number, tuple(routes))

    def _take_out(self, number: int, way: int, step_id: UUID) -> None:
        routes = list(self._choices[number].routes)
        routes[way] = tuple(each for each in routes[way] if each != step_id)
        self._change(number, tuple(route for route in routes if route))

    def _change(self, number: int, routes: Routes) -> None:
        news = [AnyOf(routes)] if routes else []
        self._give((*self._choices[:number], *news, *self._choices[number + 1 :]))

    def _give(self, choices: tuple[AnyOf, ...]) -> None:
        self._answer((*CheckListField.ticked.fget(self), *choices))  # type: ignore[attr-defined]
