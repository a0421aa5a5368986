"""The user's choices: defaults, reading and writing."""

import json
import logging
from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any, Literal, cast

_log = logging.getLogger(__name__)
_MOST_RECENT = 8


@dataclass(frozen=True, slots=True)
class Settings:
    """What the user chose.

    Attributes:
        text_percent: Size of all text, 100 to 200.
        gloves_mode: Large targets, for gloves and dirty fingers.
        recent_projects: Folders, the latest first.
        unknown: What a newer leaktrack wrote; kept as it is.
    """

    units: Literal["metric", "imperial"] = "metric"
    theme: Literal["system", "light", "dark"] = "system"
    text_percent: int = 100
    gloves_mode: bool = False
    paper: Literal["A4", "Letter"] = "A4"
    recent_projects: tuple[str, ...] = ()
    window_size: tuple[int, int] = (1280, 860)
    unknown: dict[str, Any] = field(default_factory=dict)

    def with_recent(self, folder: Path) -> "Settings":
        """Return these settings with a project at the head of the recent ones."""
        name = str(folder.absolute())
        others = tuple(other for other in self.recent_projects if other != name)
        return replace(self, recent_projects=(name, *others)[:_MOST_RECENT])


_ALLOWED: dict[str, tuple[str, ...]] = {
    "units": ("metric", "imperial"),
    "theme": ("system", "light", "dark"),
    "paper": ("A4", "Letter"),
}


def read_settings(path: Path) -> tuple[Settings, tuple[str, ...]]:
    """Return the settings in a file, and a sentence for each value that could not be used."""
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings(), ()
    except (OSError, ValueError) as error:
        return Settings(), (f"The settings could not be read ({error}). The defaults are used.",)
    if not isinstance(told, dict):
        return Settings(), ("The settings file holds no settings. The defaults are used.",)
    return _from(told)


def write_settings(path: Path, settings: Settings) -> None:
    """Write settings, whole or not at all; a full disk is logged, since nothing is lost by it."""
    told = asdict(settings)
    told.update(told.pop("unknown"))
    half = path.with_suffix(".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        half.write_text(json.dumps(told, indent=2) + "\n", encoding="utf-8")
        half.replace(path)
    except OSError as error:
        _log.warning("settings could not be written: %s", error)


def _from(told: dict[str, Any]) -> tuple[Settings, tuple[str, ...]]:
    names = {item.name for item in fields(Settings)} - {"unknown"}
    good: dict[str, Any] = {}
    complaints = []
    for name, value in told.items():
        if name not in names:
            continue
        try:
            good[name] = _checked(name, value)
        except (TypeError, ValueError):
            complaints.append(f"The setting '{name}' cannot be {value!r}. The default is used.")
    unknown = {name: value for name, value in told.items() if name not in names}
    return Settings(**good, unknown=unknown), tuple(complaints)


def _checked(name: str, value: Any) -> Any:
    if name in _ALLOWED:
        return _one_of(value, _ALLOWED[name])
    if name == "text_percent":
        return min(200, max(100, int(value)))
    if name == "gloves_mode":
        return _truth(value)
    if name == "recent_projects":
        return tuple(str(item) for item in cast(list[Any], value))
    width, height = value
    return max(400, int(width)), max(300, int(height))


def _one_of(value: Any, allowed: tuple[str, ...]) -> str:
    if value not in allowed:
        raise ValueError(value)
    return cast(str, value)


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise TypeError(value)
    return value
