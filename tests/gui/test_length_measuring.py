"""Two clicks and a typed length give a photo its scale."""

import pytest
from PySide6.QtCore import QPointF, Qt

from leaktrack.gui.pages import length_measuring
from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from tests.gui.inspected_engine import inspect_engine

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def inspected(empty_session, tmp_path):
    return inspect_engine(empty_session.project, tmp_path)


@pytest.fixture
def pane(qtbot, empty_session, inspected):
    """The photo of the first look, with its tools."""
    session = empty_session
    session.engine_id = inspected.engine.id
    page = InspectPage(session)
    qtbot.addWidget(page)
    page.resize(1200, 800)
    page.show()
    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id), zone_id=inspected.cover.id)
    pane = page.marking.photo_pane
    qtbot.waitUntil(lambda: pane.length_action.isEnabled(), timeout=60_000)
    yield pane
    page.close()


def click_ends(qtbot, pane):
    pane.length_action.trigger()
    for x, y in ((100, 200), (400, 200)):
        place = pane.view.viewportTransform().map(QPointF(x, y)).toPoint()
        qtbot.mouseClick(pane.view.viewport(), LEFT, pos=place)


def answer(monkeypatch, text, is_accepted=True):
    monkeypatch.setattr(
        "leaktrack.gui.dialogs.length_dialog.QInputDialog.getText",
        lambda *_: (text, is_accepted),
    )


def test_the_scale_is_the_typed_length_over_the_clicked_one(
    qtbot, pane, empty_session, inspected, monkeypatch
):
    answer(monkeypatch, "60,5")

    with qtbot.waitSignal(empty_session.records_changed, timeout=60_000):
        click_ends(qtbot, pane)

    photo = empty_session.project.get(Photo, inspected.cover_first.id)
    assert photo.mm_per_px == pytest.approx(60.5 / 300, rel=0.02)
    assert photo.scale_source == "typed length, 60.5 mm"
    assert pane.view.tool is None


def test_what_is_no_number_is_told_and_changes_nothing(
    qtbot, pane, empty_session, inspected, monkeypatch
):
    answer(monkeypatch, "wide")

    with qtbot.waitSignal(empty_session.failed) as told:
        click_ends(qtbot, pane)

    assert "is no number" in str(told.args[0])
    assert empty_session.project.get(Photo, inspected.cover_first.id).mm_per_px is None


def test_changing_one_s_mind_changes_nothing(qtbot, pane, empty_session, inspected, monkeypatch):
    asked = []
    monkeypatch.setattr(length_measuring, "ask_for_length", lambda *_: asked.append(1))

    click_ends(qtbot, pane)

    assert asked == [1]
    assert empty_session.project.get(Photo, inspected.cover_first.id).mm_per_px is None
