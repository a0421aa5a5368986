"""The photos page: find, add, assign and remove photos."""

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage
from PySide6.QtWidgets import QApplication

from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.pages.photo_sources import count_words, sources_in
from leaktrack.gui.pages.photos_page import PhotosPage
from leaktrack.gui.pages.places import PhotoPlace
from leaktrack.model.photo import Light, Photo
from leaktrack.settings import Settings
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.assign_photos import assign_photos
from tests.pictures import casting, write_photo

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def page(qtbot, session, inspected):
    session.engine_id = inspected.engine.id
    made = PhotosPage(session)
    qtbot.addWidget(made)
    made.resize(1000, 700)
    made.show()
    return made


@pytest.fixture
def new_photo(tmp_path):
    return write_photo(tmp_path / "new.jpg", casting(400, 300, seed=9))


def files(*paths):
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    return mime


def drag_enter(page, mime):
    event = QDragEnterEvent(
        page.rect().center(),
        Qt.DropAction.CopyAction,
        mime,
        LEFT,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(page, event)
    return event


def drop(page, mime):
    drag_enter(page, mime)  # Qt sends a drop to whoever took the drag before it
    event = QDropEvent(
        QPointF(page.rect().center()),
        Qt.DropAction.CopyAction,
        mime,
        LEFT,
        Qt.KeyboardModifier.NoModifier,
        QEvent.Type.Drop,
    )
    QApplication.sendEvent(page, event)


def titles(page):
    return [row.title for row in page.model.rows]


def test_all_photos_are_shown_with_their_zones(page):
    assert sorted(titles(page)) == ["Bank 1 cover", "Bank 1 cover", "Bank 1: Pan"]


def test_the_filter_shows_one_zone_of_one_inspection(page, inspected):
    page.filter.show_place(PhotoPlace(inspected.cover.id, inspected.second.id))

    assert [row.photo.id for row in page.model.rows] == [inspected.cover_second.id]


def test_a_filter_that_nothing_fits_offers_to_clear_it(qtbot, page, inspected):
    page.filter.show_place(PhotoPlace(inspected.pan.id, inspected.second.id))
    was_empty = page.model.rowCount() == 0

    page.filter.clear()

    assert was_empty
    assert page.model.rowCount() == 3


def test_hovering_says_what_a_drop_would_do(page, inspected, new_photo):
    page.filter.show_place(PhotoPlace(inspected.cover.id, inspected.second.id))

    event = drag_enter(page, files(new_photo))

    assert event.isAccepted()
    assert page.drop_target.sign_text == "Add 1 photo to Second look / Bank 1 cover"


def test_text_is_no_photo_to_be_dropped(page):
    mime = QMimeData()
    mime.setText("hello")

    event = drag_enter(page, mime)

    assert not event.isAccepted()
    assert page.drop_target.sign_text == ""


def test_dropped_photos_go_where_the_filter_stands(qtbot, page, project, inspected, new_photo):
    page.filter.show_place(PhotoPlace(inspected.pan.id, inspected.second.id))

    drop(page, files(new_photo))

    qtbot.waitUntil(lambda: len(project.all(Photo)) == 4)
    added = next(photo for photo in project.all(Photo) if photo.original_name == "new.jpg")
    assert (added.zone_id, added.inspection_id) == (inspected.pan.id, inspected.second.id)


def test_what_was_added_before_cancel_is_kept(qtbot, page, session, project, tmp_path, monkeypatch):
    (tmp_path / "many").mkdir()
    for number in range(3):
        write_photo(tmp_path / "many" / f"{number}.jpg", casting(400, 300, seed=9 + number))
    jobs = []
    session.background.job_started.connect(jobs.append)

    def cancelled_after_one(project, sources, *, progress, **place):
        def told(done, total, what):
            if done == 1:
                jobs[0].cancel()
            progress(done, total, what)

        return add_photos(project, sources, progress=told, **place)

    monkeypatch.setattr("leaktrack.gui.pages.photo_adder.add_photos", cancelled_after_one)
    drop(page, files(tmp_path / "many"))

    qtbot.waitUntil(lambda: page.added_list.isVisible())
    assert page.added_list.summary == "1 added, stopped early; what was finished is kept"
    assert len(project.all(Photo)) == 4


def test_what_was_not_added_is_named_with_the_reason(qtbot, page, session, tmp_path, new_photo):
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(new_photo.read_bytes()[:2000])

    with qtbot.waitSignal(page.adder.ended):
        page.add_sources([new_photo, tmp_path / "cover_1.jpg", broken])

    assert page.added_list.summary == "1 added, 1 here already, 1 refused"
    assert "cover_1.jpg" in page.added_list.lines[0]
    assert "broken.jpg" in page.added_list.lines[1]


def test_a_camera_with_a_clock_ahead_gets_a_line(qtbot, page, tmp_path):
    ahead = write_photo(
        tmp_path / "ahead.jpg", np.zeros((48, 64, 3), np.uint8), taken="2096:03:21 15:03:51"
    )

    with qtbot.waitSignal(page.adder.ended):
        page.add_sources([ahead])

    assert page.added_list.summary == "1 added"
    assert "which is still to come" in page.added_list.lines[0]


def test_adding_is_one_step_that_can_be_taken_back(qtbot, page, session, project, new_photo):
    with qtbot.waitSignal(page.adder.ended):
        page.add_sources([new_photo])

    session.undo_stack.undo()

    assert len(project.all(Photo)) == 3
    assert page.model.rowCount() == 3


def test_a_pasted_picture_becomes_a_photo(qtbot, page, project):
    picture = QImage(60, 40, QImage.Format.Format_RGB32)
    picture.fill(Qt.GlobalColor.darkGreen)
    QApplication.clipboard().setImage(picture)

    qtbot.mouseClick(page.paste_button, LEFT)

    qtbot.waitUntil(lambda: len(project.all(Photo)) == 4)
    pasted = next(photo for photo in project.all(Photo) if photo.width_px == 60)
    assert pasted.original_name.startswith("pasted ")


def test_selected_photos_are_assigned_in_one_step(qtbot, page, session, project, inspected):
    page.grid.selectAll()
    page.assign_panel.inspection_box.choose(inspected.second.id)

    qtbot.mouseClick(page.assign_panel.assign_button, LEFT)

    assert {photo.inspection_id for photo in project.all(Photo)} == {inspected.second.id}
    assert session.undo_stack.undoText() == "Assign 3 photos"


def test_the_light_of_several_photos_is_set_in_one_step(qtbot, page, session, project):
    page.grid.selectAll()
    said_before = page.assign_panel.light_box.itemText(0)
    page.assign_panel.light_box.choose("uv")

    qtbot.mouseClick(page.assign_panel.assign_button, LEFT)

    assert said_before == "as it is: not recorded"
    assert {photo.light for photo in project.all(Photo)} == {Light.UV}
    assert page.assign_panel.light_box.itemText(0) == "as it is: UV lamp"
    assert session.undo_stack.undoText() == "Say in which light"
    session.undo_stack.undo()
    assert {photo.light for photo in project.all(Photo)} == {None}


def test_photos_in_several_lights_say_so_and_the_light_can_be_taken_away(
    qtbot, page, session, project, inspected
):
    photo = inspected.pan_first
    session.do("light", assign_photos(project, [photo.id], light=Light.POWDER))
    page.grid.selectAll()
    several = page.assign_panel.light_box.itemText(0)
    page.grid.select_photo(photo.id)
    page.assign_panel.light_box.choose("none")

    qtbot.mouseClick(page.assign_panel.assign_button, LEFT)

    assert several == "as it is: several"
    assert project.get(Photo, photo.id) == photo


def test_assigning_nothing_is_no_step(qtbot, page, session, inspected):
    page.grid.select_photo(inspected.pan_first.id)
    page.assign_panel.inspection_box.choose("keep")

    qtbot.mouseClick(page.assign_panel.assign_button, LEFT)

    assert not session.undo_stack.canUndo()


def test_a_photo_without_a_zone_is_found_by_the_filter(qtbot, page, session, new_photo):
    with qtbot.waitSignal(page.adder.ended):
        page.add_sources([new_photo])

    qtbot.mouseClick(
        page.filter.unassigned_box, LEFT, pos=page.filter.unassigned_box.rect().center()
    )

    assert titles(page) == ["new.jpg"]
    assert page.model.rows[0].needs_attention


def test_removing_takes_a_photo_out_of_the_records_and_undo_brings_it_back(
    qtbot, page, session, project, inspected
):
    page.grid.select_photo(inspected.pan_first.id)

    qtbot.keyClick(page.grid, Qt.Key.Key_Delete)
    left = len(project.all(Photo))
    session.undo_stack.undo()

    assert left == 2
    assert project.get(Photo, inspected.pan_first.id) == inspected.pan_first
    assert project.photo_path(inspected.pan_first).is_file()


def test_a_photo_with_marks_is_not_removed_and_the_person_is_told_why(
    qtbot, page, session, project, inspected
):
    page.grid.select_photo(inspected.cover_first.id)

    with qtbot.waitSignal(session.failed) as told:
        qtbot.keyClick(page.grid, Qt.Key.Key_Delete)

    assert len(project.all(Photo)) == 3
    assert "cover_1.jpg" in str(told.args[0])


def test_opening_a_photo_asks_for_it(qtbot, page, session, inspected):
    page.grid.select_photo(inspected.pan_first.id)

    with qtbot.waitSignal(session.photo_wanted) as asked:
        qtbot.keyClick(page.grid, Qt.Key.Key_Return)

    assert asked.args[0] == inspected.pan_first.id


def test_what_is_offered_is_counted_in_words(tmp_path):
    photo = tmp_path / "a.jpg"

    assert count_words([tmp_path, photo, photo]) == "1 folder and 2 photos"


def test_files_come_before_the_picture_that_a_file_manager_adds(tmp_path, qapp):
    mime = files(tmp_path / "a.jpg")
    mime.setImageData(QImage(4, 4, QImage.Format.Format_RGB32))

    assert sources_in(mime) == (tmp_path / "a.jpg",)


@pytest.mark.parametrize("percent", [100, 150])
def test_nothing_is_out_of_sight_in_a_narrow_page(qtbot, page, qapp, percent):
    """The room that the page has in a window of usual size, beside logbook and with large text."""
    apply_theme(qapp, Settings(text_percent=percent))
    page.resize(860, 420)
    qtbot.wait(50)

    wide = [
        each.accessibleName() or type(each).__name__
        for each in (page.add_button, page.folder_button, page.paste_button, page.assign_panel)
        if each.mapTo(page, each.rect().topRight()).x() >= 860
    ]
    assert wide == []
    assert page.minimumSizeHint().width() <= 860
