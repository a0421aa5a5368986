"""Read and write numbers as people do: a comma or a point before the decimals, blanks allowed."""

import re

from leaktrack.model.errors import BadInput

_BLANKS = re.compile(r"[\s\u00a0\u202f']")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")
_MAY_BE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")


def parse_number(text: str, decimal_sign: str = ".") -> float:
    """Return the number that somebody typed.

    Args:
        text: Digits, with comma or point before the decimals; minus and plus may be typographic.
        decimal_sign: The one that this person's system uses; the other is taken too, unless it may
            just as well part thousands.

    Raises:
        BadInput: It is no number, or can be read in two ways.

    >>> parse_number("3,5"), parse_number("3.5"), parse_number(" 12 500 ")
    (3.5, 3.5, 12500.0)
    """
    plain = _BLANKS.sub("", text).replace("−", "-")
    plain = _without_grouping(plain)
    if _NUMBER.fullmatch(plain) is None:
        raise BadInput(f"'{text.strip()}' is no number. Type digits, such as 3.5 or 3,5.")
    if _MAY_BE_THOUSANDS.fullmatch(plain) and decimal_sign not in plain:
        joined = plain.replace(",", "").replace(".", "")
        with_decimals = plain.replace(",", decimal_sign).replace(".", decimal_sign)
        raise BadInput(
            f"'{text.strip()}' can be read in two ways. Type {joined} or {with_decimals}0."
        )
    return float(plain.replace(",", "."))


def _without_grouping(plain: str) -> str:
    """Take out the signs that part thousands, where there is no doubt that they do."""
    if re.fullmatch(r"[+-]?\d{1,3}([.,])\d{3}(\1\d{3})+", plain):
        return plain.replace(",", "").replace(".", "")
    grouping = "," if plain.rfind(".") > plain.rfind(",") else "."
    return plain.replace(grouping, "") if "," in plain and "." in plain else plain


def number_text(value: float, decimals: int, decimal_sign: str = ".") -> str:
    """Return a number with at most so many decimals, without zeros at its end.

    >>> number_text(3.5, 2), number_text(20.0, 1), number_text(3.5, 2, ",")
    ('3.5', '20', '3,5')
    """
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return ("0" if text == "-0" else text).replace(".", decimal_sign)


def parse_numbers(text: str) -> tuple[int, ...]:
    """Return a list of bolt numbers such as "1-4, 7"; empty text gives none.

    Raises:
        BadInput: Something in it is neither a number nor a range.

    >>> parse_numbers("1-4, 7")
    (1, 2, 3, 4, 7)
    """
    found: list[int] = []
    for piece in re.split(r"[,;\s]+", re.sub(r"\s*[-–]\s*", "-", text.strip())):
        if not piece:
            continue
        ends = re.fullmatch(r"(\d{1,4})(?:-(\d{1,4}))?", piece)
        if ends is None:
            raise BadInput(f"'{piece}' is no bolt. Type numbers and ranges, such as 1-4, 7.")
        first, last = int(ends[1]), int(ends[2] or ends[1])
        found.extend(range(first, last + 1) if first <= last else range(first, last - 1, -1))
    return tuple(dict.fromkeys(found))


def numbers_text(numbers: tuple[int, ...]) -> str:
    """Return bolt numbers as people write them.

    >>> numbers_text((1, 2, 3, 4, 7))
    '1-4, 7'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )
