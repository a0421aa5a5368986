"""Read a small table from a CSV file; every complaint says which line to look at."""

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from leaktrack.model.errors import BadInput

_DELIMITERS = ",;\t"
_LARGEST_BYTES = 20_000_000
"""More is no table of points typed or exported by a person. Own judgement."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table.

    Attributes:
        file: Name of the file, for complaints.
        line: Its number in the file; the line with the column names is 1.
        cells: What stands in it, by column name in small letters, without blanks around it.
        has_decimal_commas: Whether 1,5 means one and a half in this file.
    """

    file: str
    line: int
    cells: dict[str, str]
    has_decimal_commas: bool = False

    def text(self, column: str) -> str:
        """Return what stands in a column.

        Raises:
            BadInput: Nothing does.
        """
        found = self.cells.get(column, "")
        if not found:
            raise self.complaint(f"{column} is empty")
        return found

    def number(self, column: str) -> float:
        """Return the number in a column.

        Raises:
            BadInput: It holds none, or one that is not finite.
        """
        found = self.text(column)
        try:
            value = float(found.replace(",", ".") if self.has_decimal_commas else found)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            raise self.complaint(f"{column} is '{found}', which is not a number")
        return value

    def complaint(self, what: str) -> BadInput:
        """Return the error that says what is wrong in this line."""
        return BadInput(f"{self.file}, line {self.line}: {what}. Correct the file and try again.")


def read_table(path: Path, columns: Sequence[str]) -> list[Row]:
    """Return the rows of a CSV file that has at least these columns; empty lines are left out.

    Columns are told apart by commas, semicolons or tabs. Files of spreadsheets are read as they
    come: with a byte order mark, any line ends, and decimal commas between semicolons.

    Args:
        path: The file; its first line names the columns, in any order, capitals do not matter.
        columns: Names that have to be there, in small letters.

    Raises:
        BadInput: The file cannot be read, is not text, or lacks a column or any row.
    """
    lines = _text_of(path).splitlines()
    names_at = next((number for number, line in enumerate(lines) if line.strip()), None)
    wanted = ",".join(columns)
    if names_at is None:
        raise BadInput(f"{path.name} is empty. Its first line has to be: {wanted}")
    delimiter = max(_DELIMITERS, key=lines[names_at].count)
    reader = csv.reader(lines[names_at:], delimiter=delimiter, skipinitialspace=True)
    try:
        names = [name.strip().lower() for name in next(reader)]
        _check_names(path.name, names, columns, names_at + 1)
        rows = [
            _row(path.name, names_at + reader.line_num, names, cells, delimiter)
            for cells in reader
            if any(cell.strip() for cell in cells)
        ]
    except csv.Error as error:
        raise BadInput(
            f"{path.name}, line {names_at + reader.line_num}: it is not a table ({error}). "
            "Correct the file and try again."
        ) from error
    if not rows:
        raise BadInput(f"{path.name} has column names but no row below them. Add one at least.")
    return rows


def _text_of(path: Path) -> str:
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise BadInput(f"{path.name} is too large for a table. Is it the right file?")
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise BadInput(f"{path} cannot be read: {error.strerror or error}.") from error
    except UnicodeDecodeError as error:
        raise BadInput(
            f"{path.name} is not text in UTF-8. Save the table as CSV (UTF-8) and try again."
        ) from error


def _check_names(file: str, names: list[str], columns: Sequence[str], line: int) -> None:
    missing = [name for name in columns if name not in names]
    twice = [name for name in columns if names.count(name) > 1]
    if missing or twice:
        what = f"there is no column {missing[0]}" if missing else f"two columns are {twice[0]}"
        raise BadInput(
            f"{file}, line {line}: {what}. It names {', '.join(names)}; "
            f"it has to name {', '.join(columns)}."
        )


def _row(file: str, line: int, names: list[str], cells: list[str], delimiter: str) -> Row:
    row = Row(
        file,
        line,
        dict(zip(names, (cell.strip() for cell in cells), strict=False)),
        has_decimal_commas=delimiter == ";",
    )
    if any(cell.strip() for cell in cells[len(names) :]):
        # A decimal comma between commas would shift every number after it.
        raise row.complaint(f"it has {len(cells)} cells for {len(names)} columns")
    return row
