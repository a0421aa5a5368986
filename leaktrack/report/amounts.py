"""Numbers, times and units as they stand in a report."""

from datetime import datetime, tzinfo

from leaktrack.model.photo import TakenAt
from leaktrack.model.units import in_units


def day(at: datetime, zone: tzinfo | None) -> str:
    """Return a date as people write it, in the report's zone.

    >>> from datetime import UTC
    >>> day(datetime(2026, 4, 4, 14, 5, tzinfo=UTC), UTC)
    '4 April 2026'
    """
    local = at.astimezone(zone)
    return f"{local.day} {_MONTHS[local.month - 1]} {local.year}"


def moment(at: datetime, zone: tzinfo | None) -> str:
    """Return date and time of day, in the report's zone.

    >>> from datetime import UTC
    >>> moment(datetime(2026, 4, 4, 14, 5, tzinfo=UTC), UTC)
    '4 April 2026, 14:05'
    """
    return f"{day(at, zone)}, {at.astimezone(zone):%H:%M}"


def short_day(at: datetime, zone: tzinfo | None) -> str:
    """Return a date that fits above a narrow column and sorts by eye.

    >>> from datetime import UTC
    >>> short_day(datetime(2026, 4, 4, 14, 5, tzinfo=UTC), UTC)
    '2026-04-04'
    """
    return f"{at.astimezone(zone):%Y-%m-%d}"


def taken(at: TakenAt) -> str:
    """Return when a camera says that it took a photo; its clock may have known no zone.

    >>> taken(TakenAt(datetime(2026, 4, 4, 16, 5)))
    "4 April 2026, 16:05 by the camera's clock"
    """
    return (
        f"{at.local.day} {_MONTHS[at.local.month - 1]} {at.local:%Y, %H:%M} by the camera's clock"
    )


def zone_name(at: datetime) -> str:
    """Return how far a time's zone is from UTC, as names of zones are not unique.

    >>> from datetime import UTC, timedelta, timezone
    >>> zone_name(datetime(2026, 4, 4, tzinfo=timezone(timedelta(hours=5, minutes=30))))
    'UTC+05:30'
    >>> zone_name(datetime(2026, 4, 4, tzinfo=UTC))
    'UTC'
    """
    offset = f"{at:%z}"
    return "UTC" if offset in ("", "+0000") else f"UTC{offset[:3]}:{offset[3:5]}"


FINE_UNITS = frozenset({"in", "in²"})
"""Units so large that a figure needs one more digit behind the point."""


def amount(value: float, unit: str = "") -> str:
    """Return a metric number in the units in use, with as many digits as it deserves.

    >>> amount(0.42, "h"), amount(6200.0, "mL"), amount(0.5166666, "h"), amount(3.0)
    ('0.42 h', '6,200 mL', '0.52 h', '3')
    >>> from leaktrack.model.units import told_in
    >>> with told_in("imperial"):
    ...     amount(2.0, "mm"), amount(90.0, "°C"), amount(322.0, "mm²")
    ('0.079 in', '194 °F', '0.499 in²')
    """
    metric = unit
    value, unit = in_units(value, unit)
    digits = 0 if abs(value) >= 100 else 1 if abs(value) >= 10 else 2
    if unit in FINE_UNITS and metric != unit:
        digits += 1
    text = f"{value:,.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {unit}".rstrip()


def hours(value: float) -> str:
    """Return a length of work, to a quarter of an hour's worth of digits.

    >>> hours(9.5), hours(1.0), hours(0.2)
    ('9.5 h', '1 h', '0.2 h')
    """
    return amount(round(value, 1), "h")


def clip_time(milliseconds: int) -> str:
    """Return a place in a video as its player shows it.

    >>> clip_time(84_500)
    '1:24.5'
    """
    tenths = round(milliseconds / 100)
    return f"{tenths // 600}:{tenths // 10 % 60:02d}.{tenths % 10}"


def count(number: int, singular: str, plural: str = "") -> str:
    """Return a number of things.

    >>> count(1, "mark"), count(2, "mark"), count(0, "inspection")
    ('1 mark', '2 marks', '0 inspections')
    """
    return f"{number} {singular if number == 1 else plural or singular + 's'}"


def sentence(text: str) -> str:
    """Return the text with a capital letter at its start.

    >>> sentence("bank 1 cover"), sentence("")
    ('Bank 1 cover', '')
    """
    return text[:1].upper() + text[1:]


_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
