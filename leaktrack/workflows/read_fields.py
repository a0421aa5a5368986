"""Read fields of files that people write: steps, tasks and what they need, each with its place."""

import json
from collections.abc import Iterator, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from math import isfinite
from typing import Any

from leaktrack.model.errors import BadInput
from leaktrack.model.redo_problem import AnyOf, Need

_MOST = 1000


class Fields:
    """The fields of one object, each with its place in the file.

    Args:
        told: The object as it was parsed.
        place: Where it stands, in words.
        known: Names that its fields may have.

    Raises:
        BadInput: It is no object, or has a field of another name.
    """

    def __init__(self, told: object, place: str, known: Sequence[str]) -> None:
        if not isinstance(told, dict):
            raise BadInput(f"{place} must be an object in braces, not {_shown(told)}.")
        strange = [key for key in told if key not in known]
        if strange:
            raise BadInput(f"{place} has a field {strange[0]!r} that nobody knows.")
        self.place = place
        self._told: dict[str, Any] = told

    def items(self, key: str) -> list[object]:
        """Return a list that must be there."""
        found = self._needed(key)
        if not isinstance(found, list):
            raise self.complaint(key, f"must be a list, not {_shown(found)}")
        return found

    def name(self, key: str) -> str:
        """Return a text that must be there."""
        found = self._needed(key)
        if not isinstance(found, str) or not found:
            raise self.complaint(key, f"must be a text, not {_shown(found)}")
        return found

    def number(
        self, key: str, default: float | None = None, *, can_be_negative: bool = False
    ) -> float:
        """Return a number; it must be there where there is no default."""
        found = self._needed(key) if default is None else self._told.get(key, default)
        is_number = isinstance(found, int | float) and not isinstance(found, bool)
        if not is_number or not isfinite(found):
            raise self.complaint(key, f"must be a number, not {_shown(found)}")
        if found < 0 and not can_be_negative:
            raise self.complaint(key, f"is {found:g}, but cannot be below 0")
        return float(found)

    def count(self, key: str, default: int) -> int:
        """Return a whole number from 1 on."""
        found = self._told.get(key, default)
        is_whole = isinstance(found, int | float) and not isinstance(found, bool)
        if not is_whole or found != int(found) or not 1 <= found <= _MOST:
            raise self.complaint(
                key, f"must be a whole number from 1 to {_MOST}, not {_shown(found)}"
            )
        return int(found)

    def limit(self, key: str) -> float | None:
        """Return a number, or None for no limit."""
        return None if self._told.get(key) is None else self.number(key)

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts, which may be left out."""
        found = self._told.get(key, [])
        if not isinstance(found, list) or not all(isinstance(one, str) and one for one in found):
            raise self.complaint(key, f"must be a list of texts, not {_shown(found)}")
        return tuple(found)

    def objects(self, key: str, known: Sequence[str]) -> tuple["Fields", ...]:
        """Return a list of objects, which may be left out."""
        found = self._told.get(key, [])
        if not isinstance(found, list):
            raise self.complaint(key, f"must be a list, not {_shown(found)}")
        return tuple(
            Fields(one, f"{self.place}.{key}[{number}]", known) for number, one in enumerate(found)
        )

    def truth(self, key: str, *, default: bool = False) -> bool:
        """Return true or false."""
        found = self._told.get(key, default)
        if not isinstance(found, bool):
            raise self.complaint(key, f"must be true or false, not {_shown(found)}")
        return found

    def needs(self) -> tuple[Need, ...]:
        """Return what is needed."""
        found = self._told.get("needs", [])
        if not isinstance(found, list):
            raise self.complaint("needs", f"must be a list, not {_shown(found)}")
        return tuple(self._need(number, one) for number, one in enumerate(found))

    def complaint(self, key: str, what: str) -> BadInput:
        """Return the error that says what is wrong with a field."""
        return BadInput(f"{self.place}.{key} {what}.")

    def _need(self, number: int, told: object) -> Need:
        key = f"needs[{number}]"
        if isinstance(told, str) and told:
            return told
        if not isinstance(told, dict) or list(told) != ["any_of"]:
            wanted = 'must be a step\'s id or {"any_of": [[...], ...]}'
            raise self.complaint(key, f"{wanted}, not {_shown(told)}")
        routes = told["any_of"]
        if not isinstance(routes, list) or not routes:
            raise self.complaint(f"{key}.any_of", "must be a list with at least one route")
        for place, route in enumerate(routes):
            if not isinstance(route, list) or not all(isinstance(one, str) for one in route):
                what = f"must be a list of steps' ids, not {_shown(route)}"
                raise self.complaint(f"{key}.any_of[{place}]", what)
        return AnyOf(tuple(tuple(route) for route in routes))

    def _needed(self, key: str) -> Any:
        if key not in self._told:
            raise BadInput(f"{self.place} has no {key!r}.")
        return self._told[key]


def check_ids(fields: Sequence[Fields]) -> None:
    """Refuse two objects with the same id.

    Raises:
        BadInput: The first such, with both places.
    """
    first: dict[str, str] = {}
    for one in fields:
        name = one.name("id")
        if name in first:
            raise one.complaint("id", f"is {name!r}, as that of {first[name]} is")
        first[name] = one.place


def check_needs(
    needs: Sequence[Sequence[Need]], fields: Sequence[Fields], steps: Sequence[str]
) -> None:
    """Refuse needs for steps that are not there.

    Args:
        needs: Of each object.
        fields: The objects.
        steps: Ids of all steps.

    Raises:
        BadInput: The first such need.
    """
    known = set(steps)
    for wanted, one in zip(needs, fields, strict=True):
        for number, need in enumerate(wanted):
            missing = next((step for step in ids_in(need) if step not in known), None)
            if missing is not None:
                raise one.complaint(f"needs[{number}]", f"names {missing!r}, which is no step")


def check_circles(needs: Mapping[str, Sequence[Need]], places: Mapping[str, str]) -> None:
    """Refuse steps that wait for each other, by whatever route.

    Args:
        needs: Of each step, by its id.
        places: Where each stands.

    Raises:
        BadInput: The circle, with the place of one of its steps.
    """
    waits = {key: {one for need in wanted for one in ids_in(need)} for key, wanted in needs.items()}
    try:
        TopologicalSorter(waits).prepare()
    except CycleError as error:
        circle = list(reversed(error.args[1]))
        chain = " needs ".join(repr(step) for step in circle)
        raise BadInput(f"{places[circle[0]]}.needs goes round in a circle: {chain}.") from error


def ids_in(need: Need) -> Iterator[str]:
    """Return the ids of all steps that a need names."""
    if isinstance(need, AnyOf):
        yield from (step for route in need.routes for step in route)
    else:
        yield need


def _shown(told: object) -> str:
    """Return what stands there, shortened."""
    text = json.dumps(told, ensure_ascii=False)
    return text if len(text) <= 40 else text[:37] + "..."
