"""Build and connect the parts: the one place that knows all of them."""

import logging
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack import places

if TYPE_CHECKING:
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher
    from leaktrack.workflows.project import Project

_LOG_BYTES = 1_000_000


def create_project(folder: Path) -> "Project":
    """Make a new, empty project; errors as in ``workflows.project.create_project``."""
    # Late: the window shows its first picture, and logs, before the database is loaded.
    from leaktrack.workflows import project as projects

    return projects.create_project(
        folder, places.cache_folder(), places.resource(), places.own_weights_file()
    )


def open_project(folder: Path) -> "Project":
    """Open a project; errors as in ``workflows.project.open_project``."""
    from leaktrack.workflows import project as projects

    return projects.open_project(
        folder, places.cache_folder(), places.resource(), places.own_weights_file()
    )


def matcher() -> "LearnedMatcher":
    """Return the networks that find the same points in two photos, for photos without a project."""
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher

    return LearnedMatcher(places.resource("models"))


def configure_logging() -> None:
    """Send the log to a file of bounded size; without a place for it, to nowhere."""
    root = logging.getLogger("leaktrack")
    root.setLevel(logging.INFO)
    for earlier in list(root.handlers):  # called again, it would write each line twice
        root.removeHandler(earlier)
        earlier.close()
    path = places.log_file()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handler: logging.Handler = RotatingFileHandler(
            path, maxBytes=_LOG_BYTES, backupCount=1, encoding="utf-8", delay=True
        )
    except OSError:
        handler = logging.NullHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    root.addHandler(handler)
