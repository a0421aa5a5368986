"""Print how well the imaging does on photos whose truth is known.

``python -m tests.accuracy align --truth FOLDER``; the folder is described in ``truth.py``. Without
one, the environment variable LEAKTRACK_TRUTH is used; without that, nothing is measured.
"""

import argparse
import sys

from tests.accuracy import (
    learn_bead,
    learn_footage,
    learn_sets,
    learn_weights,
    learn_wet,
    measure_align,
    measure_bead,
    measure_bolts,
    measure_debris,
    measure_doubt,
    measure_footage,
    measure_footage_speed,
    measure_glow,
    measure_grow,
    measure_likeness,
    measure_neighbours,
    measure_outside,
    measure_plan_speed,
    measure_quality,
    measure_redo,
    measure_scale,
    measure_speed,
    measure_stations,
    measure_trace,
    measure_wet,
)
from tests.accuracy.truth import ENVIRONMENT_VARIABLE, truth_folder, zones

MEASURES = {
    "align": measure_align.report,
    "align-sets": measure_neighbours.report_sets,
    "bolts": measure_bolts.report,
    "corrections": measure_neighbours.report_corrections,
    "glow": measure_glow.report,
    "grow": measure_grow.report,
    "likeness": measure_likeness.report,
    "learn": learn_weights.report,
    "learn-sets": learn_sets.report,
    "learn-wet": learn_wet.report,
    "doubt": measure_doubt.report,
    "quality": measure_quality.report,
    "scale": measure_scale.report,
    "speed": measure_speed.report,
    "stations": measure_stations.report,
    "wet": measure_wet.report,
    "wet-shipped": measure_wet.report_shipped,
}
OF_FOLDER = {
    "bead": measure_bead.report,
    "debris": measure_debris.report,
    "footage": measure_footage.report,
    "footage-speed": measure_footage_speed.report,
    "learn-footage": learn_footage.report,
}
"""What has truth files of its own in the folder."""

WITHOUT_TRUTH = {
    "learn-bead": learn_bead.report,
    "outside": measure_outside.report,
    "plan-speed": measure_plan_speed.report,
    "redo": measure_redo.report,
    "trace": measure_trace.report,
}
"""What brings its own."""


def main() -> int:
    """Measure and print; return 0, also where there is no truth to measure against."""
    parser = argparse.ArgumentParser(prog="python -m tests.accuracy", description=__doc__)
    parser.add_argument("what", choices=[*MEASURES, *OF_FOLDER, *WITHOUT_TRUTH])
    parser.add_argument("--truth", help="folder with photos and truth files")
    parser.add_argument("--every", type=int, default=1, help="take only every n-th case")
    chosen = parser.parse_args()
    if chosen.what in WITHOUT_TRUTH:
        WITHOUT_TRUTH[chosen.what]()
        return 0
    folder = truth_folder(chosen.truth)
    if folder is None:
        print(f"Skipped: no truth. Give --truth FOLDER or set {ENVIRONMENT_VARIABLE}.")
        return 0
    if chosen.what in OF_FOLDER:
        OF_FOLDER[chosen.what](folder)
        return 0
    MEASURES[chosen.what](zones(folder), chosen.every)
    return 0


if __name__ == "__main__":
    sys.exit(main())
