"""When a camera says it took a picture, read from EXIF with tolerance for bad cameras."""

import re
from datetime import datetime

from PIL.ExifTags import IFD, Base
from PIL.Image import Exif

from leaktrack.model.photo import TakenAt

# Cameras write colons, editors also write dashes and a T.
_DATE = re.compile(r"(\d{4})[:\-/.](\d\d)[:\-/.](\d\d)[ T](\d\d):(\d\d)(?::(\d\d))?")
_OFFSET = re.compile(r"([+\-])(\d\d):?(\d\d)")

LARGEST_OFFSET_MIN = 14 * 60
"""Source: IANA time zone database; the easternmost zone is UTC+14."""


def taken_at(exif: Exif) -> TakenAt | None:
    """Return when the shutter was released, or None where the camera did not say it readably.

    A camera that names no zone gives a time of unknown zone; UTC is never assumed. Fractions of a
    second are ignored.

    Source:
        EXIF 2.32 (CIPA DC-008), tags 36867 DateTimeOriginal and 36881 OffsetTimeOriginal.
    """
    tags = exif.get_ifd(IFD.Exif)
    local = _local_time(_text(tags.get(Base.DateTimeOriginal)))
    if local is None:
        return None
    return TakenAt(local, _offset_min(_text(tags.get(Base.OffsetTimeOriginal))))


def _text(value: object) -> str:
    if isinstance(value, bytes):
        value = value.decode("utf-8", "replace")
    return value.replace("\0", " ").strip() if isinstance(value, str) else ""


def _local_time(text: str) -> datetime | None:
    found = _DATE.match(text)
    if found is None:
        return None
    try:
        year, month, day, hour, minute, second = (int(part or 0) for part in found.groups())
        return datetime(year, month, day, hour, minute, second)  # noqa: DTZ001 - the zone is extra
    except ValueError:  # such as 0000:00:00, which cameras without a set clock write
        return None


def _offset_min(text: str) -> int | None:
    if text == "Z":
        return 0
    found = _OFFSET.fullmatch(text)
    if found is None:
        return None
    minutes = int(found[2]) * 60 + int(found[3])
    if minutes > LARGEST_OFFSET_MIN:
        return None
    return -minutes if found[1] == "-" else minutes
