"""The user's choices: defaults, reading and writing."""

import json
import logging
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any, Literal

from leaktrack.model.severity import GradeLimits

_log = logging.getLogger(__name__)
LEAST_CACHE_MB, MOST_CACHE_MB = 100, 1_000_000
LEAST_HEAVY_MM, MOST_HEAVY_MM = 40.0, 400.0
LEAST_AT_ONCE_MIN, MOST_AT_ONCE_MIN = 0.1, 30.0
_MOST_RECENT = 8
_SMALLEST_WINDOW = (400, 300)
_LARGEST_SCREEN = 100_000


@dataclass(frozen=True, slots=True)
class Settings:
    """What the user chose.

    Attributes:
        text_percent: Size of all text, 100 to 200.
        gloves_mode: Large targets, for gloves and dirty fingers.
        heavy_seep_mm: Below this a wet area is a heavy seep at most; sources differ.
        at_once_min: What is wet again so soon after wiping came back at once; no source tells.
        cache_mb: What can be computed again may take so much room on the disk.
        recent_projects: Folders, the latest first.
        unknown: What a newer leaktrack wrote; kept as it is.
    """

    units: Literal["metric", "imperial"] = "metric"
    theme: Literal["system", "light", "dark"] = "system"
    text_percent: int = 100
    gloves_mode: bool = False
    paper: Literal["A4", "Letter"] = "A4"
    heavy_seep_mm: float = GradeLimits().heavy_seep_below_mm
    at_once_min: float = GradeLimits().at_once_min
    cache_mb: int = 2000
    recent_projects: tuple[str, ...] = ()
    window_size: tuple[int, int] = (1280, 860)
    unknown: dict[str, Any] = field(default_factory=dict)

    @property
    def grade_limits(self) -> GradeLimits:
        """Where grades end, as far as figures tell."""
        return GradeLimits(heavy_seep_below_mm=self.heavy_seep_mm, at_once_min=self.at_once_min)

    def with_recent(self, folder: Path) -> "Settings":
        """Return these settings with a project at the head of the recent ones."""
        name = str(folder.absolute())
        others = tuple(other for other in self.recent_projects if other != name)
        return replace(self, recent_projects=(name, *others)[:_MOST_RECENT])


def _one_of(*allowed: object) -> Callable[[Any], bool]:
    # By type too: for Python, 1 is True.
    return lambda value: any(value == each and type(value) is type(each) for each in allowed)


def _is_between(lowest: int, value: Any, highest: int) -> bool:
    return type(value) is int and lowest <= value <= highest


def _lies_between(lowest: float, value: Any, highest: float) -> bool:
    return type(value) in (int, float) and lowest <= value <= highest


def _is_window_size(value: Any) -> bool:
    return (
        isinstance(value, list)
        and len(value) == 2
        and _is_between(_SMALLEST_WINDOW[0], value[0], _LARGEST_SCREEN)
        and _is_between(_SMALLEST_WINDOW[1], value[1], _LARGEST_SCREEN)
    )


def _are_texts(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(item, str) for item in value)


_GOOD: dict[str, Callable[[Any], bool]] = {
    "units": _one_of("metric", "imperial"),
    "theme": _one_of("system", "light", "dark"),
    "text_percent": lambda value: _is_between(100, value, 200),
    "gloves_mode": _one_of(False, True),
    "paper": _one_of("A4", "Letter"),
    "heavy_seep_mm": lambda value: _lies_between(LEAST_HEAVY_MM, value, MOST_HEAVY_MM),
    "at_once_min": lambda value: _lies_between(LEAST_AT_ONCE_MIN, value, MOST_AT_ONCE_MIN),
    "cache_mb": lambda value: _is_between(LEAST_CACHE_MB, value, MOST_CACHE_MB),
    "recent_projects": _are_texts,
    "window_size": _is_window_size,
}
"""For each setting, whether a value out of the file can be used."""


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
    good: dict[str, Any] = {}
    complaints = []
    for name in _GOOD.keys() & told.keys():
        value = told[name]
        if _GOOD[name](value):
            good[name] = tuple(value) if isinstance(value, list) else value
        else:
            complaints.append(f"The setting '{name}' cannot be {value!r}. The default is used.")
    unknown = {name: value for name, value in told.items() if name not in _GOOD}
    return Settings(**good, unknown=unknown), tuple(sorted(complaints))
