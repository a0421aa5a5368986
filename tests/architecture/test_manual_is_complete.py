"""The manual tells of every command and option, and of none that is not there.

What it says in sentences, people have to check; what it lists, this does.
"""

import argparse
import re
from collections.abc import Iterator

import pytest

from leaktrack.cli.arguments import parser
from leaktrack.places import resource

MANUAL = {file.stem: file.read_text(encoding="utf-8") for file in resource("help").glob("*.md")}
COMMAND_LINE = MANUAL["command_line"]


def commands() -> dict[str, argparse.ArgumentParser]:
    (chooser,) = (
        action
        for action in parser()._actions  # argparse has no public way to its own contents
        if isinstance(action, argparse._SubParsersAction)
    )
    return dict(chooser.choices)


def options() -> Iterator[tuple[str, str]]:
    for name, command in commands().items():
        for action in command._actions:
            if isinstance(action, argparse._SubParsersAction):
                for way in action.choices.values():
                    yield from ((name, option) for option in options_of(way))
        yield from ((name, option) for option in options_of(command))


def options_of(command: argparse.ArgumentParser) -> Iterator[str]:
    for action in command._actions:
        yield from (option for option in action.option_strings if option[2:] != "help")


OPTIONS = sorted({each for each in options() if each[1] != "-h"})


def section(command: str) -> str:
    """What the manual says below the heading of a command."""
    return COMMAND_LINE.partition(f"\n## leaktrack {command}\n")[2].partition("\n## ")[0]


def test_the_manual_has_a_section_for_every_command_and_no_other():
    headings = re.findall(r"^## leaktrack (\S+)$", COMMAND_LINE, re.MULTILINE)

    assert headings == list(commands())


@pytest.mark.parametrize("command", commands())
def test_a_command_is_shown_as_it_is_typed(command):
    assert f"`leaktrack {command}" in section(command)


@pytest.mark.parametrize(("command", "option"), OPTIONS)
def test_every_option_stands_in_its_command_s_section(command, option):
    assert f"`{option}" in section(command)


@pytest.mark.parametrize("command", commands())
def test_no_section_tells_of_an_option_that_is_not_there(command):
    told = set(re.findall(r"(--[a-z0-9-]+)", section(command)))

    assert told <= {option for name, option in OPTIONS if name == command}


def test_the_options_of_the_program_itself_are_told():
    told = [option for action in parser()._actions for option in action.option_strings]

    assert told == ["-h", "--help", "--version"]
    assert [option for option in told if f"{option}`" not in COMMAND_LINE] == []


def test_all_links_lead_to_chapters():
    links = re.findall(r"\]\(([a-z_]+)\.md\)", "\n".join(MANUAL.values()))

    assert set(links) - MANUAL.keys() == set()


def test_the_first_chapter_leads_to_all_others():
    assert set(re.findall(r"\]\(([a-z_]+)\.md\)", MANUAL["index"])) == MANUAL.keys() - {"index"}
