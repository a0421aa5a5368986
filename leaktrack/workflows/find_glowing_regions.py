"""Find dyed oil that glows in a photo under an ultraviolet lamp; no earlier photo is needed."""

from pathlib import Path

from leaktrack.imaging.reading import read_upright
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Light, Photo
from leaktrack.model.wet_search import WetSearch

_LONGEST_PX = 1600


def glow_search(path: Path, light: Light | None = None) -> WetSearch | None:
    """Return what glows in a photo, without areas in mm2; None where no such lamp lit it.

    Args:
        path: The photo.
        light: What a person said it was taken in; None: nobody did, so the photo is looked at.

    Returns:
        Regions in px of the full upright photo, likeliest first. The state is "aligned": the photo
        is compared with itself.

    Raises:
        UnreadablePhoto: The file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.glowing import glowing_regions, looks_ultraviolet

    if light not in (None, Light.UV):
        return None
    if light is None and not looks_ultraviolet(read_upright(path, _LONGEST_PX)):
        return None
    return WetSearch("aligned", glowing_regions(read_upright(path)), (), None)


def light_of(photo: Photo, inspection: Inspection | None) -> Light | None:
    """Return the light a photo was taken in, as far as a person said so.

    What the photo's own record says goes first. An inspection in white light may hold a few photos
    under a lamp all the same, so that says nothing of a single one.
    """
    if photo.light is not None:
        return photo.light
    if inspection is not None and inspection.light is Light.UV:
        return Light.UV
    return None
