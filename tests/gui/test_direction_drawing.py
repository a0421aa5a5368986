"""Two clicks tell which way is down in a photo."""

import pytest
from PySide6.QtCore import QPointF, Qt

from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from tests.gui.inspected_engine import inspect_engine

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def inspected(empty_session, tmp_path):
    return inspect_engine(empty_session.project, tmp_path)


@pytest.fixture
def marking(qtbot, empty_session, inspected):
    session = empty_session
    session.engine_id = inspected.engine.id
    page = InspectPage(session)
    qtbot.addWidget(page)
    page.resize(1200, 800)
    page.show()
    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id), zone_id=inspected.cover.id)
    qtbot.waitUntil(lambda: page.marking.directions.down_action.isEnabled(), timeout=60_000)
    yield page.marking
    page.close()


def draw(qtbot, marking, action, *places):
    action.trigger()
    view = marking.photo_pane.view
    for x, y in places:
        place = view.viewportTransform().map(QPointF(x, y)).toPoint()
        qtbot.mouseClick(view.viewport(), LEFT, pos=place)


def test_arrows_say_which_way_is_down_and_which_way_the_air_blew_and_can_be_taken_back(
    qtbot, marking, empty_session, inspected
):
    def stored():
        return empty_session.project.get(Photo, inspected.cover_first.id)

    marking.directions.down_action.trigger()
    assert "straight below it" in marking.photo_pane.view.tool.hint

    draw(qtbot, marking, marking.directions.down_action, (100, 200), (400, 200))
    draw(qtbot, marking, marking.directions.air_action, (300, 100), (100, 300))

    assert (stored().down_deg, stored().air_deg) == pytest.approx((90, -45), abs=1)
    assert empty_session.undo_stack.undoText() == "Draw which way the air blew"
    empty_session.undo_stack.undo()
    assert stored().air_deg is None
