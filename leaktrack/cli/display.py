"""Find out whether the window could open here, before Qt finds out and aborts the program."""

import ctypes
import os
import sys

from leaktrack.model.errors import LeakTrackError

# Library files that Qt's wheels load from the system, with the Debian and Ubuntu packages that
# hold them. Source: ldd on the wheels' libraries and platform plugins.
_ALWAYS = {
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
}
_X11 = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libX11-xcb.so.1": "libx11-xcb1",
}
_WAYLAND = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
}


class NoWindow(LeakTrackError):
    """The window cannot open on this machine."""


def has_display() -> bool:
    """Return whether there is a screen that a window could open on."""
    if not sys.platform.startswith("linux"):
        return True
    return any(os.environ.get(name) for name in ("WAYLAND_DISPLAY", "DISPLAY", "QT_QPA_PLATFORM"))


def check_window_can_open() -> None:
    """Do nothing if the window could open.

    Raises:
        NoWindow: There is no screen, or system libraries are missing; says how to get them.
    """
    if not has_display():
        raise NoWindow(
            "There is no screen here that a window could open on. Nothing was changed. "
            "All other commands work without one: see leaktrack --help."
        )
    missing = missing_packages() if sys.platform.startswith("linux") else ()
    if missing:
        raise NoWindow(
            "The window needs system libraries that are missing here. Nothing was changed. "
            "On Debian or Ubuntu, install them with:\n"
            f"  sudo apt-get install -y --no-install-recommends {' '.join(missing)}"
        )


def missing_packages() -> tuple[str, ...]:
    """Return the packages that hold what Qt would not find."""
    return tuple(package for library, package in _wanted().items() if not _can_be_loaded(library))


def _wanted() -> dict[str, str]:
    platform = os.environ.get("QT_QPA_PLATFORM", "").partition(":")[0]
    if not platform:
        platform = "wayland" if os.environ.get("WAYLAND_DISPLAY") else "xcb"
    return _ALWAYS | {"xcb": _X11, "wayland": _WAYLAND}.get(platform, {})


def _can_be_loaded(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True
