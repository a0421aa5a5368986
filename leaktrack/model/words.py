"""Plain English for every closed set of words, so that window, report and command line agree."""

from enum import Enum

from leaktrack.model.caution import Caution
from leaktrack.model.comparison import Change
from leaktrack.model.engine import FaceSide, SealKind
from leaktrack.model.flow_words import FLOW_WORDS
from leaktrack.model.inspection import Airflow, CheckKind, CheckResult
from leaktrack.model.leak import Fluid, SeepageGrade, wetness
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Light, PhotoWarning
from leaktrack.model.place import PlaceState
from leaktrack.model.redo_words import REDO_WORDS
from leaktrack.model.sealing_job import (
    BeadPlace,
    Closing,
    Deviation,
    DeviationKind,
    PartCondition,
)
from leaktrack.model.seen_words import SEEN_WORDS
from leaktrack.model.severity import DinTerm, PmcsClass, Verdict
from leaktrack.model.severity_words import SEVERITY_WORDS
from leaktrack.model.trace_words import TRACE_WORDS
from leaktrack.model.units import figure
from leaktrack.model.warning import WarningKind
from leaktrack.model.wet_search import WetKind

WORDS: dict[Enum, str] = {
    SeepageGrade.DRY: "dry",
    SeepageGrade.STAIN: "stain",
    SeepageGrade.SEEP: "seep",
    SeepageGrade.HEAVY_SEEP: "heavy seep",
    SeepageGrade.DRIP: "drip",
    SeepageGrade.STREAM: "stream",
    SeepageGrade.NOT_SEEN: "not seen",
    Fluid.UNKNOWN: "unknown fluid",
    Fluid.ENGINE_OIL: "engine oil",
    Fluid.GEAR_OIL: "gear oil",
    Fluid.COOLANT: "coolant",
    Fluid.FUEL: "fuel",
    Fluid.HYDRAULIC: "hydraulic fluid",
    Fluid.ASSEMBLY_RESIDUE: "assembly residue",
    FaceSide.BANK_1: "bank 1",
    FaceSide.BANK_2: "bank 2",
    FaceSide.TOP: "top",
    FaceSide.FRONT: "front",
    FaceSide.REAR: "rear",
    FaceSide.UNDERSIDE: "underside",
    SealKind.LIQUID_GASKET: "liquid gasket",
    SealKind.GASKET: "gasket",
    SealKind.O_RING: "O-ring",
    SealKind.PROFILE_RING: "profile ring",
    SealKind.LIP_SEAL: "lip seal",
    SealKind.WASHER: "washer",
    SealKind.THREAD_SEALANT: "thread sealant",
    Light.WHITE: "white light",
    Light.UV: "UV lamp",
    Light.POWDER: "powder",
    Airflow.NONE: "still air",
    Airflow.FAN: "fan ran",
    Airflow.DRIVEN: "driven on the road",
    CheckKind.FAULT_CODES: "fault codes",
    CheckKind.COMPONENT: "component test",
    CheckKind.DEBRIS: "debris in the drain",
    CheckKind.PRESSURE: "pressure test",
    CheckKind.OTHER: "other check",
    CheckResult.OPEN: "open",
    CheckResult.PASSED: "passed",
    CheckResult.FAILED: "failed",
    Closing.WHILE_WET: "close while wet",
    Closing.AFTER_SKIN: "close after a skin has formed",
    BeadPlace.INSIDE_BOLTS: "inside the bolt holes",
    BeadPlace.AROUND_BOLTS: "around the bolt holes",
    PartCondition.NEW: "new",
    PartCondition.REUSED: "reused",
    PartCondition.UNKNOWN: "not recorded",
    PlaceState.CARRIED: "carried over",
    PlaceState.UNCERTAIN: "carried over, look twice",
    PlaceState.HIDDEN: "hidden in this photo",
    PlaceState.OUTSIDE: "outside this photo",
    PlaceState.UNKNOWN: "place not found",
    WetKind.WET: "looks newly wet",
    WetKind.DRIED: "looks dry now",
    Change.NEW: "new",
    Change.GROWING: "growing",
    Change.STEADY: "steady",
    Change.SHRINKING: "shrinking",
    Change.GONE: "gone",
    Change.STILL_DRY: "still dry",
    Change.NOT_SEEN: "not seen",
    EntryKind.SEALING_JOB: "sealing job",
    EntryKind.TEST_RUN: "test run",
    EntryKind.INSPECTION: "inspection",
    EntryKind.CHECK: "check",
    EntryKind.REDO_PLAN: "redo plan",
    DeviationKind.CLOSED_TOO_LATE: "closed too late",
    DeviationKind.CLOSED_BEFORE_SKIN: "closed before a skin had formed",
    DeviationKind.FILLED_BEFORE_CURE: "filled before it had cured",
    DeviationKind.RUN_BEFORE_CURE: "run before it had cured",
    DeviationKind.BEAD_TOO_THIN: "bead too thin",
    DeviationKind.BEAD_TOO_THICK: "bead too thick",
    DeviationKind.BEAD_MISPLACED: "bead on the wrong side of the bolts",
    DeviationKind.BEAD_AT_BOLT: "bead on the wrong side of the bolt",
    DeviationKind.TOO_COLD: "too cold",
    DeviationKind.TOO_HOT: "too hot",
    DeviationKind.REUSED_SINGLE_USE: "single-use part used again",
    DeviationKind.NOT_RECORDED: "not recorded",
    **SEEN_WORDS,
    **SEVERITY_WORDS,
    **FLOW_WORDS,
    **REDO_WORDS,
    **TRACE_WORDS,
    WarningKind.SEVERAL_NEWLY_WET: (
        "Several places are newly wet at once. Look at crankcase pressure, its breather and the "
        "oil level first: one cause may push oil past good seals."
    ),
    WarningKind.NO_BASELINE: (
        "There is no inspection from before the first run, so oil or dirt left from the assembly "
        "cannot be told from a leak."
    ),
    WarningKind.NOT_CLEANED: (
        "Nobody recorded that the engine was cleaned before this look, so old oil cannot be told "
        "from new."
    ),
    WarningKind.OIL_TEMPERATURE_UNKNOWN: (
        "The oil temperature is not recorded. Hot oil leaks many times faster than cold, so sizes "
        "can hardly be compared."
    ),
    PhotoWarning.BLURRED: "The photo is blurred. Rest the camera on something and take it again.",
    PhotoWarning.TOO_DARK: "Much of the photo is too dark. Add light and take it again.",
    PhotoWarning.TOO_BRIGHT: "Much of the photo is glaring. Turn the lamp away and take it again.",
    PhotoWarning.SHOWS_SOMETHING_ELSE: (
        "The photo does not look like the last one of this zone. Check the zone, or take it again "
        "from the same place."
    ),
    PmcsClass.I: "class I",
    PmcsClass.II: "class II",
    PmcsClass.III: "class III",
    **{term: term.value for term in (*DinTerm, *Verdict)},
    Caution.HOT_OIL: (
        "Hot oil and exhaust parts burn, and oil on a hot exhaust can catch fire. "
        "Let the engine cool down first."
    ),
    Caution.USED_OIL: (
        "Used oil harms skin and can cause skin cancer after long contact. "
        "Wear oil-proof gloves, keep oily rags out of pockets, never wash hands with fuel."
    ),
    Caution.WASTE_OIL: (
        "Used oil must not reach soil, drain or water. Hand it to an authorised collection point."
    ),
    Caution.SOLVENT: (
        "Cleaner vapour can damage nerves and burn. Ventilate well and keep it away from hot "
        "parts, welding and UV light: chlorinated cleaners then give off poison gas."
    ),
    Caution.FUEL: "Fuel leaks of any size are a fire risk. Stop, ventilate, no sparks, mend first.",
    Caution.LIFTING: (
        "Use a rated and tested hoist and stands, never a jack alone. "
        "Nobody reaches or stands under a hanging engine."
    ),
    Caution.BATTERY: "Take the battery's negative lead off first, and keep sparks away from it.",
    Caution.REFRIGERANT: (
        "Do not open the refrigerant circuit. In most countries only a certified technician with "
        "recovery equipment may; move the parts aside with their hoses on."
    ),
    Caution.COMPRESSED_AIR: (
        "Never put more than 20 kPa (3 psi) into the crankcase: seals can blow out. "
        "Wear eye protection."
    ),
    Caution.UV_LAMP: "Do not look into the UV lamp. Wear UV-blocking glasses.",
    Caution.SEALANT_VAPOUR: "Curing sealant gives off vapour. Ventilate, and keep it off the skin.",
}
"""One entry for every member of every set that a person may see."""

DEFER = (
    "Local rules, the maker's manual and licensed practice come first. "
    "Where they differ from this program, follow them."
)
"""Shown beside every list of cautions."""

FACTS: dict[str, str] = {
    "minutes": "minutes run",
    "distance_km": "distance",
    "load": "load",
    "highest_rpm": "highest engine speed",
    "oil_c": "oil temperature",
    "coolant_c": "coolant temperature",
    "ambient_c": "air temperature",
    "oil_grade": "oil grade",
    "oil_before_ml": "oil before the run",
    "oil_after_ml": "oil after the run",
    "oil_added_ml": "oil added",
    "engine_hours": "hours run since the rebuild",
    "distance_since_seal_km": "distance since sealing",
    "minutes_since_shutdown": "minutes since shutdown",
    "pitch_deg": "tilt nose up",
    "roll_deg": "tilt to the right",
    "airflow": "air over the engine",
    "crankcase_mmh2o": "crankcase pressure",
    "cleaned_at": "cleaned when",
    "cleaned_how": "cleaned how",
    "light": "light",
    "has_dye": "dye in the oil",
    "done_by": "done by",
    "material_id": "material",
    "bead_mm": "bead width",
    "bead_place": "bead place",
    "bead_laid_at": "time the bead was laid",
    "closed_at": "time the joint was closed",
    "filled_at": "time fluid was filled",
    "temperature_c": "air temperature",
    "humidity_percent": "air humidity",
    "surface_work": "surface work",
    "torque": "tightening",
    "evidence": "photo or footage",
    "rule": "the material's rule",
}
"""Names of recorded facts, by field name."""

UNITS: dict[str, str] = {
    "minutes": "min",
    "distance_km": "km",
    "highest_rpm": "rpm",
    "oil_c": "°C",
    "coolant_c": "°C",
    "ambient_c": "°C",
    "oil_before_ml": "mL",
    "oil_after_ml": "mL",
    "oil_added_ml": "mL",
    "engine_hours": "h",
    "distance_since_seal_km": "km",
    "minutes_since_shutdown": "min",
    "pitch_deg": "°",
    "roll_deg": "°",
    "crankcase_mmh2o": "mmH2O",
    "bead_mm": "mm",
    "temperature_c": "°C",
    "humidity_percent": "%",
}
"""Units of recorded facts, by field name."""


def word(member: Enum) -> str:
    """Return the plain word for a member of a closed set.

    >>> word(SeepageGrade.HEAVY_SEEP)
    'heavy seep'
    """
    return WORDS[member]


def grade_words(grade: SeepageGrade) -> str:
    """Return digit and word of a grade.

    >>> grade_words(SeepageGrade.DRIP), grade_words(SeepageGrade.NOT_SEEN)
    ('4 drip', 'not seen')
    """
    digit = wetness(grade)
    return word(grade) if digit is None else f"{digit} {word(grade)}"


def size_words(size_bytes: int) -> str:
    """Return how much room files take.

    >>> size_words(0), size_words(1_500_000), size_words(2_000_000_000)
    ('0 MB', '2 MB', '2.0 GB')
    >>> size_words(999_600_000)
    '1.0 GB'
    """
    megabytes = round(size_bytes / 1e6)
    return f"{megabytes} MB" if megabytes < 1000 else f"{size_bytes / 1e9:.1f} GB"


def station_words(station: float | None) -> str:
    """Return a bolt coordinate as people read it.

    >>> station_words(4.6), station_words(6.02), station_words(None)
    ('bolt 4.6', 'bolt 6', 'place unknown')
    """
    return "place unknown" if station is None else f"bolt {round(station, 1):g}"


_SUBJECT_FIRST = frozenset(
    {DeviationKind.NOT_RECORDED, DeviationKind.REUSED_SINGLE_USE, DeviationKind.BEAD_AT_BOLT}
)


def deviation_sentence(deviation: Deviation) -> str:
    """Return one deviation as a person would say it, with both figures where there are any."""
    name = FACTS.get(deviation.subject, deviation.subject)
    kind = word(deviation.kind)
    if deviation.kind in _SUBJECT_FIRST:
        return f"{name}: {kind}"
    if deviation.actual is None or deviation.allowed is None:
        return f"{kind} ({name})"
    actual, allowed = (
        figure(each, deviation.unit) for each in (deviation.actual, deviation.allowed)
    )
    return f"{kind}: {actual}, the rule says {allowed}"
