"""Where things are: what the program brings along, settings, cache and log."""

import os
import sys
from pathlib import Path

_PACKAGE = Path(__file__).parent
_NAME = "leaktrack"


def resource(*parts: str) -> Path:
    """Return a file or folder that the program brings along."""
    installed = _PACKAGE / "_resources"
    base = installed if installed.is_dir() else _PACKAGE.parent / "resources"
    return base.joinpath(*parts)


def demo_source() -> Path:
    """Return the folder with the demo engine's story and photos."""
    installed = _PACKAGE / "_demo_project"
    return installed if installed.is_dir() else _PACKAGE.parent / "demo_project"


def cache_folder() -> Path:
    """Return where things are kept that can be computed again."""
    return _base("LEAKTRACK_CACHE", "XDG_CACHE_HOME", ".cache", "Caches", "LOCALAPPDATA")


def settings_file() -> Path:
    """Return the file of the user's choices."""
    folder = _base(
        "LEAKTRACK_CONFIG", "XDG_CONFIG_HOME", ".config", "Application Support", "APPDATA"
    )
    return folder / "settings.json"


def own_weights_file() -> Path:
    """Return the file in which the user may change what clues count in a trace."""
    return settings_file().with_name("trace_weights.toml")


def log_file() -> Path:
    """Return the file that the log is written to."""
    return cache_folder() / "leaktrack.log"


def _base(own: str, xdg: str, unix: str, mac: str, windows: str) -> Path:
    """Return a folder of the user's: where they said, or where the system keeps such things."""
    if chosen := os.environ.get(own):
        return Path(chosen)
    if sys.platform == "win32":
        return Path(os.environ.get(windows) or Path.home()) / _NAME
    if sys.platform == "darwin":
        return Path.home() / "Library" / mac / _NAME
    return Path(os.environ.get(xdg) or Path.home() / unix) / _NAME
