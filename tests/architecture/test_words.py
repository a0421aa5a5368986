"""Whatever a person may see has a word."""

import pkgutil
from enum import Enum
from importlib import import_module

import pytest

import leaktrack.model
from leaktrack.model.inspection import INSPECTION_FACTS, RUN_FACTS, Inspection, TestRun
from leaktrack.model.words import FACTS, UNITS, WORDS

ENUMS = sorted(
    {
        value
        for module in pkgutil.iter_modules(leaktrack.model.__path__)
        for value in vars(import_module(f"leaktrack.model.{module.name}")).values()
        if isinstance(value, type) and issubclass(value, Enum) and value is not Enum
    },
    key=lambda kind: kind.__name__,
)


@pytest.mark.parametrize("kind", ENUMS, ids=lambda kind: kind.__name__)
def test_every_member_of_a_closed_set_has_a_word(kind):
    assert [member for member in kind if not WORDS.get(member)] == []


@pytest.mark.parametrize("kind", ENUMS, ids=lambda kind: kind.__name__)
def test_two_members_of_a_set_never_have_the_same_word(kind):
    assert len({WORDS[member] for member in kind}) == len(kind)


@pytest.mark.parametrize("name", sorted({*RUN_FACTS, *INSPECTION_FACTS}))
def test_every_fact_that_is_asked_for_has_a_name(name):
    assert FACTS[name]


@pytest.mark.parametrize("name", RUN_FACTS)
def test_every_fact_about_a_run_is_a_field_of_it(name):
    assert name in TestRun.__dataclass_fields__


@pytest.mark.parametrize("name", INSPECTION_FACTS)
def test_every_fact_about_an_inspection_is_a_field_of_it(name):
    assert name in Inspection.__dataclass_fields__


def test_every_unit_belongs_to_a_fact_that_has_a_name():
    assert UNITS.keys() <= FACTS.keys()


@pytest.mark.parametrize("name", UNITS)
def test_the_unit_shown_is_the_unit_in_the_field_s_name(name):
    """A field in millimetres that is shown as inches would be wrong everywhere at once."""
    endings = {
        "_c": "°C", "_km": "km", "_rpm": "rpm", "_ml": "mL", "_mm": "mm", "_deg": "°",
        "_mmh2o": "mmH2O", "_percent": "%", "_hours": "h",
    }  # fmt: skip
    ending = f"_{name.rpartition('_')[2]}"

    assert UNITS[name] == endings.get(ending, "min")
