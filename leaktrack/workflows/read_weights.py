"""Read how much each clue counts when a leak is traced: the program's file, then the user's own."""

import tomllib
from pathlib import Path
from typing import Any

from leaktrack.analysis.weighing import Weights, weights_of
from leaktrack.model.errors import BadInput
from leaktrack.workflows.project import Project

FILE_NAME = "trace_weights.toml"


def weights(project: Project) -> Weights:
    """Return the weights, with what the user's own file changes.

    Raises:
        BadInput: A file cannot be read, or holds what cannot be a weight.
    """
    shipped = project.resources_folder / FILE_NAME
    own = project.own_weights_file
    told = _read(shipped)
    changed = _read(own) if own is not None and own.exists() else {}
    return weights_of(told, changed, (str(shipped), str(own)))


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadInput(
            f"The weights file {path} cannot be read: {error}. Nothing was traced and nothing was "
            "changed. Correct that line, or remove your own file to use the program's weights."
        ) from error
