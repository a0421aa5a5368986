from pathlib import Path

import pytest

import leaktrack

PACKAGE = Path(leaktrack.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))
LONGEST_LINES = 300

# Names that fit everything and explain nothing.
EMPTY_NAMES = {"utils", "util", "helpers", "helper", "common", "core", "misc", "manager", "base"}


def _name(module: Path) -> str:
    return module.relative_to(PACKAGE).as_posix()


@pytest.mark.parametrize("module", MODULES, ids=_name)
def test_no_module_outgrows_one_sitting(module):
    assert len(module.read_text(encoding="utf-8").splitlines()) <= LONGEST_LINES


@pytest.mark.parametrize("module", MODULES, ids=_name)
def test_a_module_s_name_says_what_is_in_it(module):
    assert EMPTY_NAMES.isdisjoint(module.stem.split("_"))


def test_a_new_database_version_has_the_next_number():
    stems = [path.stem for path in (PACKAGE / "store" / "migrations" / "versions").glob("[0-9]*")]
    numbers = sorted(int(stem[:4]) for stem in stems)

    assert numbers == list(range(1, len(numbers) + 1))
