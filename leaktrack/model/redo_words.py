"""Words for what is redone, and why."""

from enum import Enum

from leaktrack.model.redo_benefit import ChanceFrom, Standing
from leaktrack.model.redo_plan import RedoDecision, TaskReason
from leaktrack.model.redo_problem import SolvedState, WorkKind

REDO_WORDS: dict[Enum, str] = {
    TaskReason.CONFIRMED_CAUSE: "confirmed cause",
    TaskReason.SUSPECTED_CAUSE: "suspected cause",
    TaskReason.CHECK_FAILED: "failed check",
    TaskReason.CHECK_OPEN: "open check",
    TaskReason.RIDES_ALONG: "rides along",
    ChanceFrom.LEAKS: "leaks seen",
    ChanceFrom.HISTORY: "how others of its kind fared",
    ChanceFrom.CHECK_FAILED: "a failed check",
    ChanceFrom.CHECK_OPEN: "an open check",
    ChanceFrom.RIDES_ALONG: "rides along only",
    ChanceFrom.TYPED: "a number typed in",
    Standing.TYPED: "typed in",
    Standing.RECORDED: "recorded here",
    Standing.COMPUTED: "computed",
    Standing.COMMON_PRACTICE: "common practice",
    Standing.OWN_PROPOSAL: "own proposal",
    RedoDecision.DECIDE: "let it decide",
    RedoDecision.MUST: "must",
    RedoDecision.NEVER: "never",
    SolvedState.OPTIMAL: "proven best",
    SolvedState.FEASIBLE: "best so far",
    SolvedState.INFEASIBLE: "cannot be done as asked",
    WorkKind.TAKE_OFF: "take off",
    WorkKind.TASK: "do",
    WorkKind.CURE: "let cure",
    WorkKind.REFIT: "refit",
}
