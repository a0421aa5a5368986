"""Plain English for rings in their glands and for removed seals."""

from collections.abc import Callable
from enum import Enum

from leaktrack.model.figure import Figure
from leaktrack.model.removed_seal import SealFailure
from leaktrack.model.ring import RingFigures, RingFinding, RingWorry, SetFigures

RING_WORDS: dict[Enum, str] = {
    RingWorry.NO_SQUEEZE: "no squeeze: the ring does not reach across the gland and cannot seal",
    RingWorry.LITTLE_SQUEEZE: "little squeeze: it may weep, at first when cold",
    RingWorry.MUCH_SQUEEZE: "much squeeze: it is hard to fit and takes a set soon",
    RingWorry.LOOSE: "loose on its seat: it may buckle, or slip off while being fitted",
    RingWorry.STRETCHED: "stretched more than is good for it: it ages sooner",
    RingWorry.OVERSTRETCHED: "stretched far too much: it may tear, and its cord gets thin",
    RingWorry.FULL: "the groove is nearly full: little room for swelling and heat",
    RingWorry.OVERFULL: "the groove is too full: heat or swelling presses the ring out of it",
    SealFailure.NO_FAULT: "no fault seen",
    SealFailure.COMPRESSION_SET: "compression set",
    SealFailure.OVER_COMPRESSION: "over-compression",
    SealFailure.EXTRUSION: "extrusion, nibbling",
    SealFailure.SPIRAL: "spiral failure",
    SealFailure.ABRASION: "abrasion",
    SealFailure.DECOMPRESSION: "rapid decompression",
    SealFailure.FITTING_DAMAGE: "damage from fitting",
    SealFailure.CHEMICAL: "chemical attack, swelling",
    SealFailure.HEAT: "hardened by heat",
    SealFailure.OZONE: "ozone, weather",
    SealFailure.EXTRACTION: "shrunk, plasticiser gone",
    SealFailure.CONTAMINATION: "dirt caught",
    SealFailure.TORN: "torn, cut or folded",
    SealFailure.BLOWN: "blown out",
    SealFailure.NO_BOND: "no bond to the surface",
    SealFailure.STARVED: "sealant missing in places",
    SealFailure.LIP_WORN: "lip worn",
}
"""One entry for each; part of the words of the whole program."""

LOOKS: dict[SealFailure, str] = {
    SealFailure.NO_FAULT: "round or even all along, springs back, no cuts",
    SealFailure.COMPRESSION_SET: "flat on both sides where it was squeezed",
    SealFailure.OVER_COMPRESSION: "flats, and splits along the ring",
    SealFailure.EXTRUSION: "the edge away from the pressure is chewed",
    SealFailure.SPIRAL: "cuts that run round the cord like a screw",
    SealFailure.ABRASION: "one flat, on the side that rubs",
    SealFailure.DECOMPRESSION: "blisters, pits and small craters",
    SealFailure.FITTING_DAMAGE: "a nick, a cut, or a skived piece",
    SealFailure.CHEMICAL: "swollen, blistered, cracked, discoloured or soft",
    SealFailure.HEAT: "hard and glossy, with cracks across it",
    SealFailure.OZONE: "cracks across the direction in which it was stretched",
    SealFailure.EXTRACTION: "smaller than it was, and hard",
    SealFailure.CONTAMINATION: "grit, swarf or old sealant pressed into it",
    SealFailure.TORN: "torn through, folded or out of its place",
    SealFailure.BLOWN: "a stretch pressed out of the joint",
    SealFailure.NO_BOND: "peels off clean from one side, often with oil beneath",
    SealFailure.STARVED: "bare metal in the line of the bead",
    SealFailure.LIP_WORN: "a wide shiny band in place of the sharp edge, or a groove in the shaft",
}
"""What each looks like. The names and looks of rings: four published guides to ring failures; those
of gaskets and beads: a guide to oil-seal leakage, and own judgement."""

CAUSES: dict[SealFailure, str] = {
    SealFailure.NO_FAULT: "look beside the seal: surface, porous casting, bolt holes, pressure",
    SealFailure.COMPRESSION_SET: "heat, age, too much squeeze, or a material not made for it",
    SealFailure.OVER_COMPRESSION: "the gland is too shallow or too narrow for the ring",
    SealFailure.EXTRUSION: "pressure with too wide a gap, or a soft ring",
    SealFailure.SPIRAL: "the ring rolled while being fitted, or an uneven, dry surface",
    SealFailure.ABRASION: "a rough moving surface, or too little oil",
    SealFailure.DECOMPRESSION: "pressure that fell suddenly",
    SealFailure.FITTING_DAMAGE: "a sharp edge, no lubrication, or too small a ring",
    SealFailure.CHEMICAL: "the material does not stand this oil, fuel, coolant or cleaner",
    SealFailure.HEAT: "hotter than the material stands",
    SealFailure.OZONE: "age, or stored under stretch in light and air",
    SealFailure.EXTRACTION: "the fluid took the plasticiser out; a wrong material, or dried out",
    SealFailure.CONTAMINATION: "surfaces or groove not clean when it was closed",
    SealFailure.TORN: "moved while the joint was closed, or overloaded",
    SealFailure.BLOWN: "crankcase pressure, or run before it had cured",
    SealFailure.NO_BOND: "oil or old film on the surface, or closed after a skin had formed",
    SealFailure.STARVED: "a gap in the bead, or the parts were moved after contact",
    SealFailure.LIP_WORN: "run time, a rough or scored shaft, or a worn bearing",
}
"""What most often brings each about. A hint, never proof; common practice."""

RING_NAMES: dict[str, str] = {
    "size": "standard size",
    "inner_mm": "inner diameter of the ring",
    "inner_tolerance_mm": "tolerance of the inner diameter",
    "section_mm": "cord of the ring",
    "section_tolerance_mm": "tolerance of the cord",
    "seat_mm": "seat the ring is drawn over",
    "seat_tolerance_mm": "tolerance of the seat",
    "depth_mm": "depth of the gland",
    "depth_tolerance_mm": "tolerance of the depth",
    "width_mm": "width of the groove",
    "width_tolerance_mm": "tolerance of the width",
    "new_mm": "thickness when new",
    "squeezed_mm": "thickness in the joint",
    "recovered_mm": "thickness after it came out",
    "recovered_after_min": "minutes after it came out",
    "caliper_mm": "error of the caliper",
    "hardness_shore_a": "hardness, Shore A",
    "examined_at": "time of the exam",
    "graded_at": "time of the grading",
    "counted_at": "time of the count",
}
"""What people call the sizes, by field name."""

SET_ASSUMES = (
    "Measured after half an hour without load, as the standards do; but an engine squeezes and "
    "heats a seal in its own way, so compare it only with seals of the same kind and place."
)

SET_LIMITS = (
    "Usual limits by method B: 20 % where a part moves, 25 % for a ring at rest, 35 % for a gasket "
    "(a glossary of seal terms); in need, seals were used again up to 60 % (TM 1-1520-240-BD)."
)

RING_ASSUMES = (
    "Bounds: every size at the end of its tolerance. Assumes that the cord keeps its volume when "
    "it is stretched, that parts are closed metal to metal, and no heat or swelling."
)


def millimetres(figure: Figure, decimals: int) -> str:
    """Return a length with its bounds in millimetres."""
    return figure.words("mm", decimals)


def ring_lines(
    figures: RingFigures, length: Callable[[Figure, int], str] = millimetres
) -> tuple[str, ...]:
    """Return what a ring's sizes come to, a line for each figure that is known.

    Args:
        figures: The figures.
        length: Says a length in the reader's unit, to so many decimals of a millimetre.
    """
    lines = []
    if figures.squeeze and figures.squeeze_mm:
        lines.append(
            f"squeeze {figures.squeeze.words('%')}, {length(figures.squeeze_mm, 2)} of the cord"
        )
    if figures.stretch:
        lines.append(f"stretch {figures.stretch.words('%')}")
    if figures.section and figures.stretch:
        lines.append(f"cord once fitted {length(figures.section, 3)}")
    if figures.fill:
        lines.append(f"fill of the groove {figures.fill.words('%')}")
    return tuple(lines)


def finding_sentence(finding: RingFinding) -> str:
    """Return one worry as a person would say it, with the limit."""
    words = RING_WORDS[finding.worry]
    sure = "" if finding.is_sure else "at the worst of the tolerances, "
    return f"{sure}{words} (limit {finding.limit:g} %)"


def set_lines(figures: SetFigures) -> tuple[str, ...]:
    """Return a removed seal's set, by both methods where both can be told."""
    lines = [f"set {figures.of_thickness.words('%')} of its thickness (method A)"]
    if figures.of_squeeze:
        lines.insert(0, f"set {figures.of_squeeze.words('%')} of its squeeze (method B, ISO 815)")
    if figures.of_thickness.high < 0:
        lines.append("thicker than when it was new: it swelled, or the two figures are swapped")
    return tuple(lines)
