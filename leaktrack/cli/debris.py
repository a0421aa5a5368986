"""The command that counts the particles in a photo of a strainer's paper."""

from argparse import Namespace
from collections import Counter
from pathlib import Path
from typing import Any

from leaktrack import bootstrap
from leaktrack.cli.drains import comparison_document, tell_comparison
from leaktrack.cli.printing import ProgressLine, say, say_json, say_table
from leaktrack.model.debris import (
    DebrisCount,
    Particle,
    ParticleKind,
    size_names,
    size_place,
)
from leaktrack.model.units import figure
from leaktrack.model.words import word
from leaktrack.workflows.count_debris import count_debris
from leaktrack.workflows.keep_drain import compare_photos

Document = dict[str, Any]


def debris(args: Namespace) -> int:
    """Tell how many particles there are, of which look and size.

    Raises:
        BadInput: No paper is found, or the target's side cannot be.
        UnreadablePhoto: The photo is missing or damaged.
    """
    bootstrap.configure_logging()
    photo = Path(args.photo)
    comparison = None
    with ProgressLine("Counting") as progress:
        if args.earlier is None:
            found = count_debris(photo, args.target_mm, progress)
        else:
            earlier = Path(args.earlier)
            found, comparison = compare_photos(earlier, photo, args.target_mm, progress)
    if args.json:
        compared = None if comparison is None else comparison_document(comparison)
        say_json({**_document(found, args.target_mm), "comparison": compared})
        return 0
    _tell(found, photo.name)
    if comparison is not None:
        tell_comparison(comparison, Path(args.earlier).name)
    return 0


def _document(found: DebrisCount, side_mm: float) -> Document:
    unit = found.unit
    return {
        "format": "leaktrack-debris",
        "version": 1,
        "state": "unreliable" if found.is_paper_doubtful else "read",
        "scale": None
        if found.mm_per_px is None
        else {
            "source": "printed target",
            "target_mm": side_mm,
            "mm_per_px": round(found.mm_per_px, 5),
        },
        f"least_{unit}": round(found.least, 3),
        "particles": [_particle(one, unit) for one in found.particles],
        "counts": {
            kind.value: {size: count for size, count in _by_size(found, kind) if count}
            for kind in ParticleKind
        },
        "warnings": list(found.warnings),
    }


def _particle(one: Particle, unit: str) -> Document:
    return {
        "x": round(one.at.x, 1),
        "y": round(one.at.y, 1),
        f"length_{unit}": round(one.length, 3),
        f"width_{unit}": round(one.width, 3),
        f"area_{unit}2": round(one.area, 3),
        "kind": one.kind.value,
        "lightness": round(one.lightness, 1),
        "colour": [round(value, 1) for value in one.colour],
    }


def _by_size(found: DebrisCount, kind: ParticleKind) -> list[tuple[str, int]]:
    """Return how many particles of a kind there are of each size; of one size without a scale."""
    lengths = [one.length for one in found.particles if one.kind is kind]
    if found.unit != "mm":
        return [("any size", len(lengths))]
    counted = Counter(size_place(length) for length in lengths)
    return [(name, counted[place]) for place, name in enumerate(size_names())]


def _told_size(name: str) -> str:
    """Return a size's name in the units in use; JSON has it in mm."""
    words = name.split()
    if words[-1] != "mm":
        return name
    return f"{words[0]} {figure(float(words[1]), 'mm', 2)}"


def _tell(found: DebrisCount, name: str) -> None:
    unit = found.unit
    say(f"{name}: {len(found.particles)} particles of {figure(found.least, unit, 2)} and more.")
    for warning in found.warnings:
        say(warning)
    if not found.particles:
        return
    say_table(
        ("Look", "Size", "Count"),
        [
            (word(kind), _told_size(size), str(count))
            for kind in ParticleKind
            for size, count in _by_size(found, kind)
            if count
        ],
    )
    longest = found.particles[0]
    say(
        f"The longest is {figure(longest.length, unit, 2)} long and "
        f"{figure(longest.width, unit, 2)} wide, "
        f"a {word(longest.kind)}."
    )
    say("That is their look, not what they are made of.")
