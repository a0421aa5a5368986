"""How much does a clue count? The weights, as a data file gives them, and Bayes' rule."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import exp, isfinite, log
from typing import Any

from leaktrack.model.errors import BadInput

# What each section of the file must have; an entry of a clue is called as the clue's kind is.
_SHARES = ("unknown", "from_above", "part_body", "residue", "crankcase_pressure")
_PARTS = (
    *("liquid_gasket", "gasket", "o_ring", "profile_ring", "lip_seal", "washer", "thread_sealant"),
    *("one_bolt", "without_job", "not_drawn_in_zone", "not_drawn_elsewhere"),
    "usual_zone",
)
_PLACES = (
    *("click_mm", "line_mm", "wick_mm", "bolt_mm", "at", "below", "run_mm", "strays_mm"),
    *("upright_deg", "air_deg", "air_known_deg", "wet_top_share", "photo_mm"),
    *("looks_repeat", "washer_mm", "apart_mm", "anywhere"),
)
_BEADS = (
    *("sound", "gap", "thin", "thick", "off_track", "full_gap_mm", "place_mm", "untightened"),
)
_CLUES = (
    *("closed_too_late", "closed_before_skin", "filled_before_cure", "run_before_cure"),
    *("bead_too_thin", "bead_too_thick", "bead_misplaced", "too_cold", "too_hot"),
    *("reused_single_use", "reused_part", "bolts_reused", "opens_into_oil", "bolt_not_tightened"),
    *("leaked_before", "fitted_later", "ruled_out", "comes_from_edge", "no_baseline"),
    *("wet_at_baseline", "not_cleaned", "residue_seen", "came_back", "growing"),
    *("several_at_once", "high_pressure", "cured_by_redo", "still_wet_after_redo"),
    *("bolt_wet_after_redo", "bead_at_bolt"),
)
_HISTORY = ("leaks", "jobs")
_FIELDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "share": (_SHARES, ("share",)),
    "part": (_PARTS, ("factor",)),
    "place": (_PLACES, ("value",)),
    "bead": (_BEADS, ("factor",)),
    "clue": (_CLUES, ("if_cause", "otherwise")),
    "history": (_HISTORY, ("value",)),
}
"""Entries and their numbers, by section."""

_CHANCES = frozenset({"share", "if_cause", "otherwise"})
_SHARES_OF_PLACES = frozenset({"at", "below", "wet_top_share", "looks_repeat", "anywhere"})

Entry = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Pair:
    """How often a clue is seen where an origin is the cause, and where it is not."""

    if_cause: float
    otherwise: float

    @property
    def seen(self) -> float:
        """Weight of the clue where it is seen: natural logarithm of the ratio."""
        return log(self.if_cause / self.otherwise)

    @property
    def absent(self) -> float:
        """Weight where it is known that it is absent."""
        return log((1 - self.if_cause) / (1 - self.otherwise))

    def weight(self, is_seen: bool | None) -> float:
        """Return the weight of the clue; 0 where nobody knows.

        >>> round(Pair(0.8, 0.2).weight(True), 3), Pair(0.8, 0.2).weight(None)
        (1.386, 0.0)
        """
        if is_seen is None:
            return 0.0
        return self.seen if is_seen else self.absent


@dataclass(frozen=True, slots=True)
class Weights:
    """All weights, checked.

    Attributes:
        shares: Of all leaks, by origin, before any clue; the rest belongs to recorded joints.
        parts: By what the joints' share is divided.
        places: Lengths in mm, angles in degrees, shares of 1.
        beads: Danger of a stretch of bead against one that nobody looked at; lengths in mm.
        clues: By the clue's name.
        history: What counts as seen before the first own job.
        own: Names of entries that the user's own file changed.
    """

    shares: Mapping[str, float]
    parts: Mapping[str, float]
    places: Mapping[str, float]
    beads: Mapping[str, float]
    clues: Mapping[str, Pair]
    history: Mapping[str, float]
    own: tuple[str, ...] = field(default=())

    @property
    def joints_share(self) -> float:
        """What is left for the recorded joints before any clue."""
        return 1 - sum(self.shares.values())

    def missing_share(self, recorded: float) -> float:
        """Return the share of what is not in the record, where so many joints are.

        Each recorded joint leaks as often as it does, however many others there are; so the fewer
        are recorded, the more of what leaks is something else.

        Args:
            recorded: Joints about the leak, each counted as the parts have its kind.
        """
        both = self.shares["unknown"] + self.joints_share
        joints = self.joints_share * recorded / self.parts["usual_zone"]
        return both * self.shares["unknown"] / (self.shares["unknown"] + joints)


def weights_of(told: Mapping[str, Any], own: Mapping[str, Any], names: tuple[str, str]) -> Weights:
    """Return the weights that two files give: the program's, and over it the user's.

    Args:
        told: The program's file, parsed; it must have every entry.
        own: The user's file, parsed; it may have any of them.
        names: What to call the two files in messages.

    Raises:
        BadInput: An entry is missing, unknown, without source, or no number that it can be.
    """
    entries = _entries(told, names[0])
    for section, (wanted, _) in _FIELDS.items():
        missing = [name for name in wanted if (section, name) not in entries]
        if missing:
            raise _bad(names[0], f"[{section}.{missing[0]}] is missing")
    changed = _entries(own, names[1])
    entries |= changed
    weights = _built(entries, tuple(f"{section}.{name}" for section, name in changed))
    _check_sums(weights, names[1] if own else names[0])
    return weights


def posterior(logs: Sequence[float]) -> tuple[float, ...]:
    """Return chances that sum to one, from logarithms of prior times likelihood.

    >>> posterior([log(3.0), log(1.0)])
    (0.75, 0.25)
    """
    most = max(logs)
    odds = [exp(one - most) for one in logs]
    total = sum(odds)
    return tuple(one / total for one in odds)


def _entries(told: Mapping[str, Any], name: str) -> dict[tuple[str, str], Entry]:
    entries: dict[tuple[str, str], Entry] = {}
    for section, inside in told.items():
        if section not in _FIELDS:
            known = ", ".join(_FIELDS)
            raise _bad(name, f"[{section}] is no section; there are {known}")
        if not isinstance(inside, Mapping):
            raise _bad(name, f"{section} must be a section with entries in it")
        for entry, numbers in inside.items():
            entries[section, entry] = _entry(section, entry, numbers, name)
    return entries


def _entry(section: str, entry: str, told: Any, name: str) -> Entry:
    wanted, fields = _FIELDS[section]
    here = f"[{section}.{entry}]"
    if entry not in wanted:
        raise _bad(name, f"{here} is no entry that the program knows")
    if not isinstance(told, Mapping):
        raise _bad(name, f"{here} must have {' and '.join(fields)} and source in it")
    strange = [key for key in told if key not in (*fields, "source")]
    if strange:
        raise _bad(name, f"{here} has no field {strange[0]}, but {', '.join(fields)} and source")
    source = told.get("source")
    if not isinstance(source, str) or not source.strip():
        raise _bad(name, f'{here} needs a source; where there is none, write "own judgement"')
    return {key: _number(here, entry, key, told.get(key), name) for key in fields}


def _number(here: str, entry: str, key: str, value: Any, name: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise _bad(name, f"{here} {key} must be a number")
    if key in _CHANCES or entry in _SHARES_OF_PLACES:
        if not 0 < value < 1:
            raise _bad(name, f"{here} {key} is {value:g}, but must lie between 0 and 1")
    elif value <= 0:
        raise _bad(name, f"{here} {key} is {value:g}, but must be more than 0")
    return float(value)


def _built(entries: Mapping[tuple[str, str], Entry], own: tuple[str, ...]) -> Weights:
    def single(section: str) -> dict[str, float]:
        (key,) = _FIELDS[section][1]
        return {name: entries[section, name][key] for name in _FIELDS[section][0]}

    clues = {
        name: Pair(entries["clue", name]["if_cause"], entries["clue", name]["otherwise"])
        for name in _CLUES
    }
    return Weights(
        single("share"),
        single("part"),
        single("place"),
        single("bead"),
        clues,
        single("history"),
        own,
    )


def _check_sums(weights: Weights, name: str) -> None:
    if weights.joints_share <= 0:
        total = 1 - weights.joints_share
        raise _bad(name, f"the shares add up to {total:g}, which leaves nothing for the joints")
    if weights.places["at"] + weights.places["below"] >= 1:
        raise _bad(name, "[place.at] and [place.below] must add up to less than 1")
    if weights.history["leaks"] >= weights.history["jobs"]:
        raise _bad(name, "[history.leaks] must be less than [history.jobs]")


def _bad(name: str, what: str) -> BadInput:
    return BadInput(
        f"The weights file {name} cannot be used: {what}. Nothing was traced and nothing was "
        "changed. Correct that line, or remove your own file to use the program's weights."
    )
