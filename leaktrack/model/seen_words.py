"""Words for what photos of beads and of debris show, and footage; rings and removed seals."""

from enum import Enum

from leaktrack.model.bead_audit import BeadDefectKind, BeadVerdict, HoleSide
from leaktrack.model.debris import DrainChange, ParticleKind
from leaktrack.model.footage import Searched
from leaktrack.model.ring_words import RING_WORDS

SEEN_WORDS: dict[Enum, str] = {
    BeadVerdict.CONTINUOUS: "continuous",
    BeadVerdict.DEFECTIVE: "defective",
    BeadVerdict.UNREADABLE: "cannot be judged",
    BeadDefectKind.GAP: "gap",
    BeadDefectKind.THIN: "thin",
    BeadDefectKind.THICK: "thick",
    BeadDefectKind.OFF_TRACK: "off its line",
    HoleSide.INSIDE: "inside the hole",
    HoleSide.OUTSIDE: "outside the hole",
    HoleSide.AROUND: "around the hole",
    HoleSide.OVER: "over the hole",
    HoleSide.LEFT: "left of the hole",
    HoleSide.RIGHT: "right of the hole",
    ParticleKind.DARK_CLUMP: "dark clump",
    ParticleKind.SEALANT_CRUMB: "crumb like sealant",
    ParticleKind.METAL: "glint like metal",
    ParticleKind.FIBRE: "fibre",
    DrainChange.MORE: "more",
    DrainChange.FEWER: "fewer",
    DrainChange.CANNOT_SAY: "may be chance",
    **RING_WORDS,
    Searched.ALL: "all of the footage",
    Searched.PART: "part of the footage",
    Searched.NOTHING: "none of the footage",
}
