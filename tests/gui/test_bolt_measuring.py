"""The dialog shows the scale that bolts give with its error, before anybody takes it."""

import pytest

from leaktrack.gui.dialogs.bolt_scale_dialog import BoltScaleDialog
from leaktrack.gui.pages import bolt_measuring, carried_marks, marking
from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.model.engine import Bolt
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.workflows.scale_by_spacing import shown_bolts
from tests.gui import looking
from tests.gui.inspected_engine import inspect_engine


@pytest.fixture
def inspected(empty_session, tmp_path):
    return inspect_engine(empty_session.project, tmp_path)


@pytest.fixture
def dialog(qtbot, empty_session, inspected):
    """Of the photo of the first look, whose line shows bolts 1 to 3, 200 px apart."""
    project, photo_id = empty_session.project, inspected.cover_first.id
    made = BoltScaleDialog(project, photo_id, shown_bolts(project, photo_id), "metric")
    qtbot.addWidget(made)
    made.show()
    return made


def test_nothing_can_be_taken_before_a_distance_is_typed(dialog):
    assert "Type how far" in dialog.says
    assert not dialog.take_button.isEnabled()
    assert not dialog.recorded.isEnabled()  # no place of a bolt is recorded


def test_the_scale_is_told_with_its_errors(dialog):
    dialog.distance.setText("60")

    assert dialog.says.startswith("0.15 mm per pixel. Lengths along the bolts are known to ± ")
    assert "areas to ± " in dialog.says
    assert dialog.take_button.isEnabled()


@pytest.mark.parametrize("typed", ["sixty", "-1", "0", "1e9"])
def test_bad_numbers_are_told_and_cannot_be_taken(dialog, typed):
    dialog.distance.setText("60")
    dialog.distance.setText(typed)

    assert dialog.says
    assert "mm per pixel" not in dialog.says
    assert not dialog.take_button.isEnabled()


def test_the_same_bolt_twice_is_told(dialog):
    dialog.distance.setText("60")
    dialog.last_box.setCurrentIndex(0)

    assert "Choose two bolts" in dialog.says


def test_nothing_is_unnamed_too_small_or_cut(qtbot, dialog):
    dialog.distance.setText("60")
    qtbot.wait(20)

    assert looking.too_small(dialog, 24) == []
    assert looking.cut(dialog) == []


@pytest.fixture
def page(qtbot, empty_session, inspected, monkeypatch):
    for place, slow in ((carried_marks, "propose_at_first"), (marking, "carried_lines")):
        monkeypatch.setattr(place, slow, lambda *_: ())
    session = empty_session
    session.engine_id = inspected.engine.id
    page = InspectPage(session)
    qtbot.addWidget(page)
    page.show()
    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id), zone_id=inspected.cover.id)
    yield page
    page.close()


def test_taking_it_is_one_step_that_undo_takes_back(page, empty_session, inspected, monkeypatch):
    def accept(dialog):
        dialog.distance.setText("60")
        dialog.accept()
        return True

    monkeypatch.setattr(bolt_measuring.BoltScaleDialog, "exec", accept)
    page.marking.bolts.action.trigger()
    project = empty_session.project
    taken = project.get(Photo, inspected.cover_first.id)
    empty_session.undo_stack.undo()

    assert taken.mm_per_px == pytest.approx(0.15, rel=0.01)
    assert "60 mm apart" in taken.scale_source
    assert project.get(Photo, inspected.cover_first.id) == inspected.cover_first
    assert len(project.all(Bolt)) == 3


def test_a_photo_without_a_line_says_what_to_do(qtbot, page, empty_session, inspected):
    empty_session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))

    with qtbot.waitSignal(empty_session.failed) as told:
        page.marking.bolts.action.trigger()

    assert "Draw the line first" in str(told.args[0])
