"""What colour is a crumb, and which sealants have that colour? A hint, never proof."""

from collections import Counter
from collections.abc import Mapping, Sequence
from math import atan2, degrees, hypot

from leaktrack.model.debris import CrumbSource, Particle, ParticleKind

# CIE L*a*b*; own judgement, from how plain colours lie on that circle.
_COLOURED = 12.0  # less chroma beside the paper is grey
_HUES = (
    ("red", -20.0, 35.0),
    ("orange", 35.0, 78.0),
    ("yellow", 78.0, 110.0),
    ("green", 110.0, 200.0),
    ("blue", 200.0, 315.0),
    ("red", 315.0, 340.0),
)
_BLACK, _WHITE = 32.0, 80.0  # lightness

_WORDS: Mapping[str, tuple[str, ...]] = {
    "black": ("black", "anthracite"),
    "grey": ("grey", "gray", "silver", "aluminium", "aluminum"),
    "white": ("white", "clear", "transparent", "colourless"),
    "red": ("red", "copper", "pink", "rust", "violet", "purple"),
    "orange": ("orange", "amber", "copper", "brown", "beige"),
    "yellow": ("yellow", "gold", "amber", "beige"),
    "green": ("green", "olive", "turquoise"),
    "blue": ("blue", "turquoise"),
}
"""By which words people call each family; some lie on the border of two."""


def families_named(text: str) -> frozenset[str]:
    """Return the families of colour that somebody's words may mean.

    >>> sorted(families_named("Dark-Grey")), sorted(families_named("amber"))
    (['grey'], ['orange', 'yellow'])
    """
    words = text.casefold().replace("-", " ").replace("/", " ").replace(",", " ").split()
    return frozenset(
        family for family, names in _WORDS.items() if any(name in words for name in names)
    )


def family_of(particle: Particle) -> str:
    """Return the family that a particle's look belongs to."""
    green_red, blue_yellow = particle.colour
    if hypot(green_red, blue_yellow) < _COLOURED:
        if particle.lightness < _BLACK:
            return "black"
        return "white" if particle.lightness > _WHITE else "grey"
    hue = degrees(atan2(blue_yellow, green_red))
    hue = hue + 360 if hue < -20 else hue
    return next(name for name, low, high in _HUES if low <= hue <= high)


def crumb_sources(
    particles: Sequence[Particle], sealants: Sequence[tuple[str, str]]
) -> tuple[CrumbSource, ...]:
    """Return the colours of the crumbs of sealant, with the joints sealed with each.

    Args:
        particles: What a photo shows.
        sealants: For each joint sealed with a sealant: what to call it, and its colour in words.
    """
    crumbs = Counter(family_of(one) for one in particles if one.kind is ParticleKind.SEALANT_CRUMB)
    return tuple(
        CrumbSource(
            colour,
            count,
            tuple(name for name, words in sealants if colour in families_named(words)),
        )
        for colour, count in crumbs.most_common()
    )
