"""Photos and video clips: what is known about a file without looking at its pixels."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, timezone
from enum import Enum
from uuid import UUID

from leaktrack.model.identity import new_id


class Light(Enum):
    """What the engine was looked at in; only like should be compared with like."""

    WHITE = "white"
    UV = "uv"
    POWDER = "powder"


class PhotoWarning(Enum):
    """Why a photo may be of little use for an inspection."""

    BLURRED = "blurred"
    TOO_DARK = "too_dark"
    TOO_BRIGHT = "too_bright"
    SHOWS_SOMETHING_ELSE = "shows_something_else"


@dataclass(frozen=True, slots=True)
class TakenAt:
    """When a camera says it took a picture.

    Attributes:
        local: The camera's clock, without zone.
        utc_offset_min: Minutes east of UTC; None where the camera did not say.
    """

    local: datetime
    utc_offset_min: int | None = None

    @property
    def sortable(self) -> datetime:
        """An aware time to sort by. An unknown zone counts as UTC, for sorting only."""
        offset = timezone(timedelta(minutes=self.utc_offset_min or 0))
        try:
            return self.local.replace(tzinfo=offset).astimezone(UTC)
        except OverflowError:  # a clock that was never set, hours before the calendar begins
            return self.local.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """One photo file of the project. The file is never changed.

    Attributes:
        sha256: Hash of the file's bytes, 64 hex digits; names the file in the project folder.
        file_type: Ending of the stored file, without the dot, such as "jpg".
        width_px: Of the upright photo.
        height_px: Of the upright photo.
        orientation: The EXIF orientation found at import, 1 to 8.
        zone_id: The zone it shows, once somebody has said so.
        inspection_id: The inspection it belongs to; None for assembly photos.
        check_id: The check it documents, such as a photo of the drain strainer.
        mm_per_px: Scale at the zone, where known; holds in the plane it was measured in.
        scale_source: Where that scale comes from, in words.
        plane: Where a target or the like lies: the projective map from px to mm in its plane, row
            by row; None where nothing tells how the surface leans.
        down_deg: Which way is down, where somebody drew it: from straight down, counted towards the
            right edge. None: down is down in the upright photo.
        air_deg: Which way the air blew over the engine, counted likewise, where somebody drew it.
    """

    id: UUID = field(default_factory=new_id)
    sha256: str
    file_type: str
    original_name: str
    size_bytes: int
    width_px: int
    height_px: int
    orientation: int = 1
    taken: TakenAt | None = None
    zone_id: UUID | None = None
    inspection_id: UUID | None = None
    check_id: UUID | None = None
    light: Light | None = None
    mm_per_px: float | None = None
    scale_source: str = ""
    plane: tuple[float, ...] | None = None
    down_deg: float | None = None
    air_deg: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clip:
    """One video file, kept in the project folder or beside it.

    Attributes:
        path: Below the project folder where relative, elsewhere where absolute.
        recorded: When its camera says that it began.
    """

    id: UUID = field(default_factory=new_id)
    name: str
    path: str
    sha256: str
    size_bytes: int
    duration_ms: int
    width_px: int
    height_px: int
    recorded: TakenAt | None = None
    note: str = ""
