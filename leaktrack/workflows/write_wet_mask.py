"""Write a picture of the areas that were found newly wet; what is there is never overwritten."""

import os
from pathlib import Path

from leaktrack.model.errors import BadInput
from leaktrack.model.wet_search import WetKind, WetSearch

LEAST_SCORE = 0.5
"""Regions that are likelier oil than not are in the mask."""

_ENDING = ".png"


def check_mask_path(path: Path) -> None:
    """Refuse, before any work is done, a place where no mask can be written.

    Raises:
        BadInput: There is something already, the folder is not there, or the name says another
            kind of file.
    """
    if path.suffix.lower() != _ENDING:
        raise BadInput(f"The mask is a PNG file: give {path.name} a name that ends in {_ENDING}.")
    if path.exists():
        raise BadInput(f"{path} is there already. It was left as it is. Name another file.")
    if not path.parent.is_dir():
        raise BadInput(f"There is no folder {path.parent}. Make it first; nothing was written.")
    if not os.access(path.parent, os.W_OK):  # told now, not after a minute's search
        raise BadInput(f"Nothing can be written to {path.parent}. Name another place.")


def write_wet_mask(path: Path, search: WetSearch, size_px: tuple[int, int]) -> None:
    """Write the mask of a search: an 8-bit grey PNG, 255 where something newly wet was found.

    Only regions of score 0.5 and more are in it. 0 does not say dry: nothing can be said about
    unassessed parts, and nothing at all where the search failed.

    Args:
        path: Where to.
        search: What was found.
        size_px: Width and height of the upright photo that was searched.

    Raises:
        BadInput: It cannot be written there, or the disk is full; what is there is left alone.
    """
    from leaktrack.imaging.spotting.masking import filled
    from leaktrack.imaging.tiling import encode_png

    wet = [one.outline for one in search.of_kind(WetKind.WET) if one.score >= LEAST_SCORE]
    content = encode_png(filled(wet, size_px))
    has_begun = False
    try:
        with path.open("xb") as file:
            has_begun = True
            file.write(content)
    except FileExistsError as error:
        raise BadInput(f"{path} is there already. It was left as it is.") from error
    except OSError as error:
        if has_begun:  # half a mask would read as dry
            path.unlink(missing_ok=True)
        raise BadInput(
            f"{path} cannot be written: {error.strerror}. Nothing was kept of it. Name another "
            "place, or make room."
        ) from error
