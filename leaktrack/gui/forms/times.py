"""Read and write times as people type them; records hold them with their time zone."""

import re
from datetime import date, datetime, timedelta

from leaktrack.model.errors import BadInput

SHOWN_TIME = "%Y-%m-%d %H:%M"
"""Year first (ISO 8601): read the same way on both sides of every border."""

_TIME_ONLY = re.compile(r"(\d{1,2})[:.h](\d{2})")
_DAY_AND_TIME = re.compile(
    r"(\d{4})-(\d{1,2})-(\d{1,2})[\sT,]+(\d{1,2})[:.h](\d{2})(?::(\d{2}))?\s*([+-]\d{2}:?\d{2}|Z)?"
)
_DAY = re.compile(r"\d{4}-\d{1,2}-\d{1,2}")


def time_text(at: datetime | None) -> str:
    """Return a time on this machine's clock; empty for None."""
    return "" if at is None else at.astimezone().strftime(SHOWN_TIME)


def day_text(at: datetime) -> str:
    """Return the day of a time on this machine's clock."""
    return at.astimezone().strftime("%Y-%m-%d")


def parse_time(text: str, day: date) -> datetime:
    """Return the time that somebody typed, on this machine's clock unless they name another zone.

    Args:
        text: "2026-03-07 16:40", with "+01:00" after it if the clock was another one; or "16:40".
        day: The day that a time alone belongs to.

    Raises:
        BadInput: It is no time, or there is no such day or hour.
    """
    typed = text.strip()
    time_only = _TIME_ONLY.fullmatch(typed)
    whole = _DAY_AND_TIME.fullmatch(typed)
    try:
        if time_only:
            hour, minute = map(int, time_only.groups())
            return datetime(day.year, day.month, day.day, hour, minute).astimezone()
        if whole:
            return _whole_time(whole)
    except (ValueError, OverflowError, OSError) as error:  # the last two: at the calendar's ends
        raise BadInput(f"'{typed}' is not on any clock: {error}. Correct it.") from error
    if _DAY.fullmatch(typed):
        raise BadInput("The time of day is missing. Type it after the day, such as 16:40.")
    raise BadInput(f"'{typed}' is no time. Type it like 2026-03-07 16:40, or 16:40 alone.")


def _whole_time(match: re.Match[str]) -> datetime:
    year, month, day, hour, minute = (int(match[group]) for group in range(1, 6))
    at = datetime(year, month, day, hour, minute, int(match[6] or 0))  # noqa: DTZ001 - zone follows
    zone = match[7]
    if zone is None:
        return at.astimezone()
    return datetime.fromisoformat(f"{at.isoformat()}{zone.replace('Z', '+00:00')}")


def span_words(span: timedelta) -> str:
    """Return how long something took.

    >>> span_words(timedelta(minutes=8)), span_words(timedelta(hours=26, minutes=5))
    ('8 min', '26 h 5 min')
    """
    hours, minutes = divmod(round(span.total_seconds() / 60), 60)
    parts = [f"{hours} h" if hours else "", f"{minutes} min" if minutes or not hours else ""]
    return " ".join(part for part in parts if part)


def now() -> datetime:
    """Return this moment, to the minute, on this machine's clock."""
    return datetime.now().astimezone().replace(second=0, microsecond=0)
