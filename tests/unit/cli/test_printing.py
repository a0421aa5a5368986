import io
import sys

import pytest

from leaktrack.cli.printing import ProgressLine, say, say_table


class Terminal(io.StringIO):
    """Takes what is printed and calls itself a terminal."""

    def isatty(self) -> bool:
        return True


def test_sentences_are_wrapped_and_keep_their_indent(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "40")

    say("one two three four five six seven eight nine ten", indent="  - ")

    assert capsys.readouterr().out == (
        "  - one two three four five six seven\n    eight nine ten\n"
    )


def test_a_table_lines_its_columns_up(capsys):
    say_table(("Leak", "Zone"), [("1", "Cover"), ("12", "Rear")])

    assert capsys.readouterr().out == "Leak  Zone\n----  -----\n1     Cover\n12    Rear\n"


@pytest.mark.parametrize("columns", ["1", "0", "nonsense"])
def test_a_terminal_of_no_width_is_no_failure(columns, monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", columns)

    say("some words")

    assert "some words" in capsys.readouterr().out


def test_progress_on_a_terminal_is_one_line_that_is_gone_at_the_end(monkeypatch):
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)

    with ProgressLine("Working") as progress:
        progress(0, 2, "a long name")
        progress(1, 2, "b")

    shown = terminal.getvalue()
    assert "\n" not in shown
    assert "Working: 1 of 2, b" in shown
    assert shown.endswith("\r")
    assert shown.split("\r")[-2].strip() == ""


def test_progress_that_goes_into_a_file_is_quiet_for_short_work(capsys):
    with ProgressLine("Working") as progress:
        progress(1, 2, "a")

    assert capsys.readouterr() == ("", "")
