"""Find dyed oil that glows in a photo under an ultraviolet lamp; no earlier photo is needed."""

from pathlib import Path

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Light
from leaktrack.model.wet_search import WetSearch

_LOOKED_AT_PX = 800


def glow_search(
    path: Path, light: Light | None = None, looked_in: Light | None = None
) -> WetSearch | None:
    """Return what glows in a photo, without areas in mm2; None where no such lamp lit it.

    Args:
        path: The photo.
        light: What a person said this photo was taken in; None: nobody did, so it is looked at.
        looked_in: What the engine was looked at in. A few photos of a look under a lamp may still
            be in white light, and the other way round, so it counts for less.

    Returns:
        Regions in px of the full upright photo, likeliest first. The state is "aligned": the photo
        is compared with itself.

    Raises:
        UnreadablePhoto: The file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.spotting.glowing import glowing_regions, looks_ultraviolet

    if light not in (None, Light.UV):
        return None
    if light is None:
        small = read_upright(path, _LOOKED_AT_PX)
        if not looks_ultraviolet(small, is_said=looked_in is Light.UV):
            return None
    return WetSearch("aligned", glowing_regions(read_upright(path)), (), None)
