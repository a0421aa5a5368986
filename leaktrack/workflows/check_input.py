"""Refuse what cannot be right, in words that say what is wrong and what to do.

One module for all of it, so that the window and the command line ask for the same limits. The
limits are own judgement: wide enough for any piston engine, narrow enough to catch a slip of the
finger or a mixed-up unit.
"""

import math
from dataclasses import dataclass, fields
from datetime import UTC, datetime, timedelta, timezone

from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo, TakenAt
from leaktrack.model.record import Record
from leaktrack.model.ring_words import RING_NAMES
from leaktrack.model.shapes import PointPx
from leaktrack.model.units import in_units
from leaktrack.model.words import FACTS, UNITS


@dataclass(frozen=True, slots=True)
class Limits:
    """The lowest and highest value that a field may have, in the unit its name ends with."""

    lowest: float
    highest: float


_AIR_C = Limits(-60, 70)
_OIL_ML = Limits(0, 1_000_000)
_COUNT = Limits(0, 10_000_000)
_TOLERANCE_MM = Limits(0, 100)
_THICKNESS_MM = Limits(0.2, 100)

LIMITS: dict[str, Limits] = {
    "minutes": Limits(0, 100_000),
    "distance_km": _COUNT,
    "highest_rpm": Limits(0, 30_000),
    "oil_c": Limits(-60, 250),
    "coolant_c": Limits(-60, 200),
    "ambient_c": _AIR_C,
    "temperature_c": _AIR_C,
    "lowest_c": Limits(-60, 300),
    "highest_c": Limits(-60, 300),
    "humidity_percent": Limits(0, 100),
    "oil_before_ml": _OIL_ML,
    "oil_after_ml": _OIL_ML,
    "oil_added_ml": _OIL_ML,
    "oil_capacity_ml": _OIL_ML,
    "engine_hours": _COUNT,
    "distance_since_seal_km": _COUNT,
    "minutes_since_shutdown": _COUNT,
    "pitch_deg": Limits(-90, 90),
    "roll_deg": Limits(-180, 180),
    "crankcase_mmh2o": Limits(-10_000, 10_000),
    "bead_mm": Limits(0.1, 50),
    "bead_min_mm": Limits(0.1, 50),
    "bead_max_mm": Limits(0.1, 50),
    "open_time_min": Limits(0, 100_000),
    "skin_time_min": Limits(0, 100_000),
    "cure_before_filling_h": Limits(0, 10_000),
    "cure_before_running_h": Limits(0, 10_000),
    "torque_nm": Limits(0.1, 5_000),
    "angle_deg": Limits(0, 1_080),
    "inner_mm": Limits(0.5, 2_000),
    "section_mm": Limits(0.5, 30),
    "seat_mm": Limits(0.5, 2_000),
    "depth_mm": Limits(0.1, 100),
    "width_mm": Limits(0.1, 100),
    "inner_tolerance_mm": _TOLERANCE_MM,
    "section_tolerance_mm": _TOLERANCE_MM,
    "seat_tolerance_mm": _TOLERANCE_MM,
    "depth_tolerance_mm": _TOLERANCE_MM,
    "width_tolerance_mm": _TOLERANCE_MM,
    "new_mm": _THICKNESS_MM,
    "squeezed_mm": _THICKNESS_MM,
    "recovered_mm": _THICKNESS_MM,
    "recovered_after_min": Limits(0, 10_000_000),
    "caliper_mm": Limits(0, 1),
    "hardness_shore_a": Limits(0, 100),
    "length_mm": Limits(0.1, 100_000),
    "gap_mm": Limits(0.001, 10),
    "face_mm": Limits(0.5, 500),
    "station_mm": Limits(0, 100_000),
    "drops_per_minute": Limits(0, 2_000),
    "reappears_after_min": Limits(0, 100_000),
    "mm_per_px": Limits(0.0001, 1_000),
    "drop_edge_mm": Limits(1.5, 9.8),
    "pool_mm": Limits(1, 2_000),
    "wet_for_min": Limits(0, 1_000_000),
    "dipstick_before_mm": Limits(-1_000, 1_000),
    "dipstick_after_mm": Limits(-1_000, 1_000),
    "dipstick_before_c": Limits(-60, 250),
    "dipstick_after_c": Limits(-60, 250),
    "height_mm": Limits(-1_000, 1_000),
    "volume_ml": Limits(-1_000_000, 1_000_000),
    "value": Limits(-1e12, 1e12),
}
"""Limits by field name; they hold for every kind of record that has such a field."""

_NAMES: dict[str, str] = {
    "lowest_c": "lowest temperature of the rule",
    "highest_c": "highest temperature of the rule",
    "bead_min_mm": "smallest bead of the rule",
    "bead_max_mm": "largest bead of the rule",
    "open_time_min": "open time",
    "skin_time_min": "skin time",
    "cure_before_filling_h": "cure before filling",
    "cure_before_running_h": "cure before running",
    "torque_nm": "torque",
    "angle_deg": "angle",
    "length_mm": "length of the joint",
    "gap_mm": "gap of the joint",
    "face_mm": "width of the sealing face",
    "station_mm": "place along the joint",
    "drops_per_minute": "drops per minute",
    "reappears_after_min": "minutes until it is wet again",
    "mm_per_px": "scale",
    "looked_at": "time of the inspection",
    "started_at": "time of the run",
    "done_at": "time it was done",
    "oil_capacity_ml": "oil capacity",
    **RING_NAMES,
    "drop_edge_mm": "edge that drops hang from",
    "pool_mm": "width of the pool",
    "wet_for_min": "time it had been getting wet",
    "dipstick_before_mm": "dipstick before the run",
    "dipstick_after_mm": "dipstick after the run",
    "dipstick_before_c": "oil temperature at the first reading",
    "dipstick_after_c": "oil temperature at the second reading",
    "height_mm": "height on the dipstick",
    "volume_ml": "oil at that height",
}
_MORE_UNITS = {
    "_deg": "°",
    "_c": "°C",
    "_mm": "mm",
    "_ml": "mL",
    "_min": "min",
    "_h": "h",
    "_nm": "N m",
}


def checked_text(text: str, what: str) -> str:
    """Return a text without blanks around it.

    Args:
        text: What somebody typed.
        what: What it names, such as "zone".

    Raises:
        BadInput: Nothing is left of it.
    """
    cleaned = " ".join(text.split())
    if not cleaned:
        raise BadInput(f"The {what} has no name. Type a name for it.")
    return cleaned


def check_record(record: Record) -> None:
    """Refuse a record whose numbers are out of reason or whose times have no time zone.

    Raises:
        BadInput: The first such field, named, with its limits.
    """
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, datetime):
            check_aware(value, field_words(field.name))
        elif field.name in LIMITS and value is not None:
            _check_number(field.name, value)


def check_aware(at: datetime, what: str) -> None:
    """Refuse a time that does not say in which time zone it is.

    Raises:
        BadInput: It is naive.
    """
    if at.utcoffset() is None:
        raise BadInput(
            f"The {what} ({at:%Y-%m-%d %H:%M}) has no time zone. "
            "Give it one, such as +01:00, so that it sorts rightly among the others."
        )


_CLOCKS_DIFFER = timedelta(hours=1)
"""So much a clock may be ahead of this computer's, as in summer time. Own judgement."""
_EARLIEST_YEAR = 1900
"""No engine with a record is older. Own judgement."""
_EASTERNMOST_MIN = 14 * 60
"""Source: IANA time zone database; the easternmost zone is UTC+14."""


def this_moment() -> datetime:
    """Return the time by this computer's clock."""
    return datetime.now(UTC)


def check_has_been(at: datetime) -> None:
    """Refuse a typed time that is still to come or long before any engine: a slip of the year.

    Where a time is typed, only: a computer whose own clock is wrong can still read what is kept.

    Raises:
        BadInput: The time with this computer's own.
    """
    typed = f"{at:%Y-%m-%d %H:%M}"
    if at.year < _EARLIEST_YEAR:
        raise BadInput(f"{at.year:04}{typed[-12:]} is before any engine's time. Correct the year.")
    if at > this_moment() + _CLOCKS_DIFFER:
        now = this_moment().astimezone(at.tzinfo)
        raise BadInput(
            f"{typed} is still to come: this computer's clock says {now:%Y-%m-%d %H:%M}. "
            "Correct the date; if the clock is wrong, set it first."
        )


def doubt_of_camera(taken: TakenAt | None) -> str:
    """Return a sentence where a camera's clock says a time that is still to come; else nothing."""
    if taken is None or taken.local.year <= this_moment().year - 1:
        return ""
    offset = _EASTERNMOST_MIN if taken.utc_offset_min is None else taken.utc_offset_min
    at = taken.local.replace(tzinfo=timezone(timedelta(minutes=offset)))
    if at <= this_moment() + _CLOCKS_DIFFER:
        return ""
    return (
        f"its camera says {taken.local:%Y-%m-%d %H:%M}, which is still to come: that clock is "
        "wrong, or this computer's. The photo is kept with that time; what counts is the date of "
        "the inspection it is put to."
    )


def check_on_photo(point: PointPx, photo: Photo, what: str) -> None:
    """Refuse a point that lies outside its photo.

    Raises:
        BadInput: It is outside, or not a number.
    """
    is_inside = (
        -0.5 <= point.x <= photo.width_px - 0.5 and -0.5 <= point.y <= photo.height_px - 0.5
    )  # not a number compares false too
    if not is_inside:
        raise BadInput(
            f"The {what} at ({point.x:.0f}, {point.y:.0f}) is outside {photo.original_name}, "
            f"which is {photo.width_px} x {photo.height_px} pixels. Place it on the photo."
        )


def field_words(name: str) -> str:
    """Return what people call a field."""
    return _NAMES.get(name) or FACTS.get(name) or name.replace("_", " ")


def _check_number(name: str, value: float) -> None:
    limits = LIMITS[name]
    if math.isfinite(value) and limits.lowest <= value <= limits.highest:
        return
    unit = UNITS.get(name) or _MORE_UNITS.get("_" + name.rpartition("_")[2], "")
    figure, lowest, highest = (
        _told(number, unit) for number in (value, limits.lowest, limits.highest)
    )
    raise BadInput(
        f"The {field_words(name)} cannot be {figure}. It must lie between {lowest} and {highest}. "
        "Correct it, or leave it empty if nobody knows."
    )


def _told(number: float, unit: str) -> str:
    shown, symbol = in_units(number, unit)
    return f"{_plain(shown)} {symbol}".strip()


def _plain(number: float) -> str:
    """Return a number as people write it: 1 000 000, not 1e+06."""
    if math.isfinite(number) and 1e6 <= abs(number) < 1e15:
        return f"{number:,.0f}".replace(",", " ")
    return f"{number:g}"
