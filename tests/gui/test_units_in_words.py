"""Tables, tags and charts of the window follow the units in use."""

from datetime import UTC, datetime

import pytest

from leaktrack.gui.item_models.changes_model import ChangeColumn, ChangeRow, ChangesModel
from leaktrack.gui.pages.bead_chart import BeadChart
from leaktrack.gui.pages.photo_contents import area_words
from leaktrack.model.bead_audit import BeadAudit, BeadPoint, BeadVerdict
from leaktrack.model.comparison import Change, LeakChange, Sighting
from leaktrack.model.identity import new_id
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.shapes import PointPx
from leaktrack.model.units import IMPERIAL, METRIC, told_in
from tests.leaking_engine import a_photo, a_square

BOTH = pytest.mark.parametrize("units", [METRIC, IMPERIAL])


@BOTH
def test_the_table_of_changes(qapp, units):
    seen = Sighting(
        new_id(), SeepageGrade.SEEP, area_px=9.0, area_mm2=504.6, area_sigma_mm2=41.2,
        extent_mm=38.2, extent_sigma_mm=1.64,
    )  # fmt: skip
    unscaled = Sighting(new_id(), SeepageGrade.STAIN, area_px=9.0)
    row = LeakChange(Leak(zone_id=new_id(), number=1), seen, unscaled, Change.SHRINKING)
    model = ChangesModel()
    model.set_rows([ChangeRow(row, "Cover")])

    with told_in(units):
        before, after = (
            model.data(model.index(0, column))
            for column in (ChangeColumn.BEFORE, ChangeColumn.AFTER)
        )

    wanted = {
        METRIC: ("2 seep\n505 ± 41 mm²\n38.2 ± 1.6 mm", "1 stain\n– mm² (no scale)"),
        IMPERIAL: ("2 seep\n0.782 ± 0.064 in²\n1.504 ± 0.065 in", "1 stain\n– in² (no scale)"),
    }
    assert (before, after) == wanted[units]


@BOTH
def test_the_area_of_a_mark(units):
    mark = LeakMark(
        leak_id=new_id(), photo_id=new_id(), grade=SeepageGrade.SEEP,
        source_px=PointPx(50, 50), outline_px=a_square(50, 50, 40),
    )  # fmt: skip

    with told_in(units):
        words = area_words(mark, a_photo(1, mm_per_px=0.5))

    assert words == {METRIC: "400 mm²", IMPERIAL: "0.62 in²"}[units]


@BOTH
def test_the_chart_of_a_bead(qtbot, units):
    points = tuple(
        BeadPoint(along, 3.0, 0.0, True, PointPx(along, 0)) for along in range(0, 30, 10)
    )
    chart = BeadChart()
    qtbot.addWidget(chart)
    with told_in(units):
        chart.show_audit(
            BeadAudit(
                sealing_job_id=new_id(), photo_id=new_id(), made_at=datetime.now(UTC),
                verdict=BeadVerdict.CONTINUOUS,
                unit="mm", points=points,
            )
        )  # fmt: skip
        words = chart.words_at(10.0)

    assert words == {METRIC: "10 mm, 3.0 mm wide", IMPERIAL: "0.39 in, 0.118 in wide"}[units]
