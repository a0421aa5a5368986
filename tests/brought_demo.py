"""The demo engine's project that was made before the tests, so that they need not make it anew.

Making it takes a minute. Who has just run ``leaktrack demo`` with this very program, as the list of
checks does, names a folder in ``LEAKTRACK_TEST_DEMO``: it holds the project (``demo engine``), the
cache that was new before (``cache``), and what the command said (``said``). Without it the tests
make everything themselves.
"""

import os
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class BroughtDemo:
    """What ``leaktrack demo`` has left: copy it, do not change it."""

    folder: Path
    cache: Path
    said: str


def brought_demo() -> BroughtDemo | None:
    """Return what was made before the tests, or None if nothing was."""
    told = os.environ.get("LEAKTRACK_TEST_DEMO")
    if not told:
        return None
    place = Path(told)
    return BroughtDemo(place / "demo engine", place / "cache", (place / "said").read_text("utf-8"))
