"""Names of files and folders as a hurried hand or a script with an empty variable gives them."""

import argparse
import errno
from collections.abc import Iterator
from pathlib import Path

import pytest

from leaktrack.cli.arguments import parser
from leaktrack.cli.main import main


def commands(
    of: argparse.ArgumentParser, words: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], argparse.ArgumentParser]]:
    ways = [one for one in of._actions if isinstance(one, argparse._SubParsersAction)]
    if not ways:
        yield words, of
    for name, command in ways[0].choices.items() if ways else ():
        yield from commands(command, (*words, name))


TAKES_NAMES = [
    words
    for words, command in commands(parser())
    if any(not one.option_strings for one in command._actions)
]


@pytest.mark.parametrize("words", TAKES_NAMES, ids=" ".join)
def test_no_command_takes_an_empty_name_for_the_folder_one_is_in(words, capsys):
    assert main([*words, ""]) == 2
    assert "is missing: it is empty" in capsys.readouterr().err


def test_no_photo_is_added_where_a_variable_of_a_script_was_empty(
    empty_bench, photo_folder, monkeypatch, capsys
):
    monkeypatch.chdir(photo_folder)  # all of it would be taken

    assert main(["add-photos", str(empty_bench), " "]) == 2
    assert not list((empty_bench / "photos").rglob("*.jpg"))
    assert "argument FILE" in capsys.readouterr().err


def test_a_report_to_a_nameless_folder_is_not_written_elsewhere(bench, capsys):
    assert main(["report", str(bench), "--out", ""]) == 2
    assert not list((bench / "report").iterdir())
    assert "argument --out" in capsys.readouterr().err


@pytest.mark.parametrize("words", [("new",), ("show",), ("demo",), ("wet", "x"), ("targets",)])
def test_a_name_that_is_too_long_is_told_in_one_message(words, capsys):
    assert main([*words, "a" * 300]) == 2
    assert "longer than the disk allows" in capsys.readouterr().err


def test_the_folder_one_is_in_is_called_by_its_name(tmp_path, monkeypatch, capsys):
    folder = tmp_path / "workshop"
    folder.mkdir()
    monkeypatch.chdir(folder)

    assert main(["show", "."]) == 1
    assert "no leaktrack project in workshop." in capsys.readouterr().err


def test_a_folder_that_may_not_be_looked_into_is_told(tmp_path, monkeypatch, capsys):
    def refuse(_path: Path) -> bool:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "is_file", refuse)  # permissions do not bind whoever is root

    assert main(["show", str(tmp_path / "theirs")]) == 1
    told = capsys.readouterr().err
    assert "theirs cannot be opened: Permission denied. Nothing was changed." in " ".join(
        told.split()
    )
