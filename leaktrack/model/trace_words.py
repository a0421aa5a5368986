"""Plain English for what a trace speaks of: clues, origins, checks, outcomes."""

from enum import Enum

from leaktrack.model.source import DownFrom
from leaktrack.model.trace import CauseState, CheckNext, ClueKind, Origin
from leaktrack.model.verification import Outcome

TRACE_WORDS: dict[Enum, str] = {
    CauseState.SUSPECTED: "suspected",
    CauseState.CONFIRMED: "confirmed",
    CauseState.RULED_OUT: "ruled out",
    ClueKind.AT_THE_JOINT: "starts at this joint",
    ClueKind.BELOW_THE_JOINT: "starts below this joint",
    ClueKind.ABOVE_THE_JOINT: "starts above this joint; oil runs down",
    ClueKind.AT_A_BOLT: "starts at a bolt",
    ClueKind.NEAR_A_BOLT: "starts beside this bolt",
    ClueKind.LATER_LOOK: "where it starts by a later look",
    ClueKind.AWAY_FROM_JOINTS: "it starts where no recorded joint is, and another has room",
    ClueKind.ON_THE_JOINTS: "it starts on or near a recorded joint, where another has little room",
    ClueKind.AMONG_THE_JOINTS: "how well it fits the places where joints are weak",
    ClueKind.OPENS_INTO_OIL: "this bolt's hole goes through to oil",
    ClueKind.DOES_NOT_OPEN_INTO_OIL: "this bolt's hole does not go through to oil",
    ClueKind.LINE_NOT_DRAWN: "no line of this joint is drawn in the photo",
    ClueKind.RULE_DEVIATION: "departs from its rule",
    ClueKind.RULE_KEPT: "what was recorded keeps to the rule",
    ClueKind.LEAKED_BEFORE: "this joint leaked before",
    ClueKind.FITTED_LATER: "fitted when it leaked already, and it leaked again",
    ClueKind.BEAD_GAP: "the bead has a gap here",
    ClueKind.BEAD_THIN: "the bead is thin here",
    ClueKind.BEAD_OFF_TRACK: "the bead is off its place here",
    ClueKind.BEAD_SOUND: "the bead's photo shows it sound here",
    ClueKind.BESIDE_LOOSE_BOLT: "beside a bolt of which no tightening is recorded",
    ClueKind.BOLT_NOT_TIGHTENED: "no tightening of this bolt is recorded",
    ClueKind.REUSED_PART: "a part was used again",
    ClueKind.SEAL_HISTORY: "how often other seals of this kind leaked on this engine",
    ClueKind.RULED_OUT: "a person ruled it out",
    ClueKind.CURED_BY_REDO: "dry after this joint was sealed again",
    ClueKind.STILL_WET_AFTER_REDO: "still wet after this joint was sealed again",
    ClueKind.COMES_FROM_EDGE: "the wet area comes in at the photo's upper edge",
    ClueKind.BEGINS_IN_PHOTO: "the wet area begins inside the photo",
    ClueKind.NO_BASELINE: "nobody looked before the first run",
    ClueKind.WET_AT_BASELINE: "it was wet here before the engine ran",
    ClueKind.DRY_AT_BASELINE: "it was dry here before the engine ran",
    ClueKind.NOT_CLEANED: "no cleaning is recorded",
    ClueKind.RESIDUE_SEEN: "it was taken for assembly residue",
    ClueKind.CAME_BACK: "it came back after wiping",
    ClueKind.STAYED_AWAY: "it stayed away after wiping",
    ClueKind.GROWING: "it grew from look to look",
    ClueKind.NOT_GROWING: "it did not grow from look to look",
    ClueKind.SEVERAL_AT_ONCE: "several places became wet at once",
    ClueKind.ONE_AT_A_TIME: "few places became wet at once",
    ClueKind.HIGH_PRESSURE: "the crankcase pressure is too high",
    ClueKind.PRESSURE_NORMAL: "the crankcase pressure is normal",
    Origin.SEAL: "the seal",
    Origin.BOLT: "a bolt hole",
    Origin.JOINT_WITHOUT_JOB: "a joint without a recorded job",
    Origin.FROM_ABOVE: "from above, out of this photo",
    Origin.PART_BODY: "the part itself, a pore or a crack",
    Origin.RESIDUE: "spilled oil or residue of the assembly",
    Origin.CRANKCASE_PRESSURE: "crankcase pressure that pushes oil past good seals",
    Origin.UNKNOWN: "something that is not in the record",
    CheckNext.DYE: (
        "Put dye into the oil, clean both places, let the engine idle about 15 minutes and look "
        "under the UV lamp which of them glows first. If neither does, run about 25 km and look "
        "again."
    ),
    CheckNext.POWDER: (
        "Clean the place and spray developer powder on it, run the engine briefly, and follow the "
        "dark path over the white up to where it begins."
    ),
    CheckNext.WIPE_AND_RECHECK: (
        "Wipe the place dry, run the engine warm, and look after 15 minutes and after an hour "
        "whether it comes back. Residue does not."
    ),
    CheckNext.TORQUE_CHECK: (
        "Check the tightening of the bolt against what its maker asks for, without turning it "
        "further once it holds. Never retighten a joint with cured liquid gasket: its film tears."
    ),
    CheckNext.LOOK_ABOVE: (
        "Photograph what lies above, up to the highest wet place, and mark it there. Use a mirror "
        "where the camera does not fit."
    ),
    CheckNext.MEASURE_PRESSURE: (
        "Measure the crankcase pressure at the dipstick tube on the hot engine and look at the "
        "breather, before any seal is blamed."
    ),
    CheckNext.DRAW_LINES: "Draw the lines of the joints in the photo, so that distances count.",
    CheckNext.MARK_SOURCE: "Mark in a photo where the wet area begins, so that distances count.",
    Outcome.CURED: "cured",
    Outcome.STILL_THERE: "still there",
    Outcome.MOVED: "moved",
    Outcome.NOT_SEEN: "not seen since",
    DownFrom.ARROW: "an arrow in this photo",
    DownFrom.OTHER_PHOTO: "an arrow in another photo of the zone",
    DownFrom.UPRIGHT: "the camera, held upright",
    DownFrom.NOTHING: "nothing",
}
"""One entry for every member that a trace may show."""
