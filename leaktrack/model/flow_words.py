"""Words for heat, gaps, growth and sealant."""

from enum import Enum

from leaktrack.model.growth import GrowthGap, Measure, TrendState
from leaktrack.model.heat import GapShape, HeatGap
from leaktrack.model.sealant import WaitKind

FLOW_WORDS: dict[Enum, str] = {
    HeatGap.OIL_TEMPERATURE_BEFORE: "the oil temperature of the earlier look is not recorded",
    HeatGap.OIL_TEMPERATURE_AFTER: "the oil temperature of the later look is not recorded",
    HeatGap.OIL_GRADE: "the oil grade is not recorded",
    HeatGap.OIL_GRADE_UNREADABLE: "the oil grade is not written like 5W-30 or SAE 40",
    HeatGap.OTHER_OIL: "there was another grade of oil in it at each look",
    HeatGap.OUTSIDE_LIMITS: "an oil temperature lies where the viscosity formula does not hold",
    HeatGap.RUN_TIME_BEFORE: "the running time from the last wipe to the earlier look is unknown",
    HeatGap.RUN_TIME_AFTER: "the running time from the last wipe to the later look is unknown",
    HeatGap.NOT_RUN_BEFORE: "it had not run between the last wipe and the earlier look",
    HeatGap.NOT_RUN_AFTER: "it had not run between the last wipe and the later look",
    WaitKind.OPEN: "open time",
    WaitKind.SKIN: "time until a skin has formed",
    WaitKind.FILLING: "cure before filling",
    WaitKind.RUNNING: "cure before running",
    GapShape.SLOT: "slot",
    GapShape.ANNULUS: "ring gap",
    Measure.AREA: "wet area",
    Measure.EXTENT: "length",
    Measure.GRADE: "grade",
    TrendState.GROWING: "grows",
    TrendState.SHRINKING: "shrinks",
    TrendState.LEVEL: "neither growth nor shrinking can be told",
    TrendState.CANNOT_SAY: "cannot say",
    GrowthGap.NO_HOURS: "running hours are recorded at none of its looks since the last wipe",
    GrowthGap.NOT_MEASURED: "no photo of it since the last wipe has a scale",
    GrowthGap.TOO_FEW: "too few looks since the last wipe",
}
