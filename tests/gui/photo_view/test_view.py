"""The photo view: places on screen are places in the photo, by mouse and by keys."""

from uuid import uuid4

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

from leaktrack.gui.photo_view import (
    DrawnMark,
    FreehandTool,
    JointLineTool,
    PhotoView,
    PlacePointTool,
    PolygonTool,
    ViewState,
)
from leaktrack.gui.photo_view.loader import full_images
from leaktrack.gui.pixels import to_qimage, to_rgb
from leaktrack.model.engine import JointLine, LinePoint
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.shapes import PointPx
from leaktrack.workflows import show_photo
from leaktrack.workflows.add_photos import add_photos
from tests.pictures import write_photo

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def view(qtbot, session):
    made = PhotoView(session)
    qtbot.addWidget(made)
    made.resize(400, 300)
    made.show()
    return made


def black(width=100, height=75):
    return np.zeros((height, width, 3), np.uint8)


def on_screen(view, x, y):
    """Return where a place of the photo is in the viewport."""
    return view.viewportTransform().map(QPointF(x, y)).toPoint()


def click(qtbot, view, x, y, modifiers=Qt.KeyboardModifier.NoModifier):
    qtbot.mouseClick(view.viewport(), LEFT, modifiers, on_screen(view, x, y))


def drag(qtbot, view, start, stop):
    qtbot.mousePress(view.viewport(), LEFT, pos=on_screen(view, *start))
    qtbot.mouseMove(view.viewport(), on_screen(view, *stop))
    qtbot.mouseRelease(view.viewport(), LEFT, pos=on_screen(view, *stop))


def test_a_click_on_a_pixel_tells_that_pixel(qtbot, view):
    rgb = black()
    rgb[40, 61] = 255
    view.show_image(to_qimage(rgb))
    view.center_on_point(PointPx(61, 40), zoom=4)
    shown = to_rgb(view.viewport().grab().toImage())
    rows, cols = np.nonzero(shown[..., 0] == 255)
    places = []
    view.clicked.connect(places.append)

    qtbot.mouseClick(view.viewport(), LEFT, pos=QPoint(cols[0], rows[0]))
    qtbot.mouseClick(view.viewport(), LEFT, pos=QPoint(cols[-1], rows[-1]))

    assert [(round(place.x), round(place.y)) for place in places] == [(61, 40), (61, 40)]


def test_a_picture_at_a_quarter_of_the_photos_size_still_tells_photo_pixels(qtbot, view):
    rgb = black(25, 20)
    rgb[10, 15] = 255
    view.show_image(to_qimage(rgb), scale=4)
    shown = to_rgb(view.viewport().grab().toImage())
    rows, cols = np.nonzero(shown[..., 0] == 255)
    places = []
    view.clicked.connect(places.append)

    qtbot.mouseClick(view.viewport(), LEFT, pos=QPoint(round(cols.mean()), round(rows.mean())))

    assert places[0].x == pytest.approx(15.5 * 4 - 0.5, abs=0.5)
    assert places[0].y == pytest.approx(10.5 * 4 - 0.5, abs=0.5)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_mark_lands_on_the_same_pixel_as_in_the_analysis(
    qtbot, view, project, tmp_path, orientation
):
    rgb = np.full((300, 400, 3), 90, np.uint8)
    rgb[198:203, 98:103] = (255, 255, 0)
    path = write_photo(tmp_path / "turned.png", rgb, orientation=orientation)
    outcome = add_photos(project, [path])
    project.apply(outcome.edit)
    view.show_photo(outcome.added[0].id)
    qtbot.waitUntil(lambda: to_rgb(view.viewport().grab().toImage())[..., 0].max() == 255)
    shown = to_rgb(view.viewport().grab().toImage())
    rows, cols = np.nonzero((shown[..., 0] == 255) & (shown[..., 2] == 0))
    places = []
    tool = PlacePointTool()
    tool.finished.connect(places.append)
    view.set_tool(tool)

    middle = QPoint(round(cols.mean()), round(rows.mean()))
    qtbot.mouseClick(view.viewport(), LEFT, pos=middle)

    analysed = show_photo.full(project, outcome.added[0].id)
    assert tuple(analysed[round(places[0].y), round(places[0].x)]) == (255, 255, 0)


def test_clicking_a_mark_selects_it(qtbot, view):
    view.show_image(to_qimage(black(400, 300)))
    mark = LeakMark(
        leak_id=uuid4(), photo_id=uuid4(), grade=SeepageGrade.SEEP, source_px=PointPx(200, 150)
    )
    view.set_overlays([(mark, 7)])
    selected = []
    view.mark_selected.connect(selected.append)

    click(qtbot, view, 205, 152)

    assert selected == [mark.id]
    assert view.selected_mark_id == mark.id


def test_clicking_a_proposal_tells_its_leak(qtbot, view):
    view.show_image(to_qimage(black(400, 300)))
    proposal = DrawnMark(uuid4(), 3, None, PointPx(200, 150), label="check")
    view.set_overlays((), (), [proposal])
    selected = []
    view.proposal_selected.connect(selected.append)

    click(qtbot, view, 200, 150)

    assert selected == [proposal.key]


def test_a_drag_without_a_tool_pans_and_clicks_nothing(qtbot, view):
    view.show_image(to_qimage(black(4000, 3000)))
    view.center_on_point(PointPx(2000, 1500), zoom=4)
    before = on_screen(view, 2000, 1500)
    clicks = []
    view.clicked.connect(clicks.append)

    drag(qtbot, view, (2000, 1500), (2100, 1500))

    assert on_screen(view, 2000, 1500).x() > before.x()
    assert clicks == []


def test_space_pans_while_a_tool_is_in_hand(qtbot, view):
    view.show_image(to_qimage(black(4000, 3000)))
    view.center_on_point(PointPx(2000, 1500), zoom=4)
    view.set_tool(FreehandTool())
    before = on_screen(view, 2000, 1500)

    qtbot.keyPress(view, Qt.Key.Key_Space)
    drag(qtbot, view, (2000, 1500), (2100, 1500))
    qtbot.keyRelease(view, Qt.Key.Key_Space)

    assert on_screen(view, 2000, 1500).x() > before.x()
    assert view.tool.sketch.path == ()


def test_the_wheel_zooms_around_the_pointer(qtbot, view):
    view.show_image(to_qimage(black(4000, 3000)))
    view.center_on_point(PointPx(2000, 1500), zoom=2)
    pointer = on_screen(view, 1800, 1400)
    wheel = QWheelEvent(
        QPointF(pointer),
        QPointF(view.viewport().mapToGlobal(pointer)),
        QPoint(),
        QPoint(0, 240),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )

    QApplication.sendEvent(view.viewport(), wheel)

    assert view.view_state().zoom == pytest.approx(2 * 1.25**2)
    assert (on_screen(view, 1800, 1400) - pointer).manhattanLength() <= 2


def test_plus_minus_and_f_zoom_by_key(qtbot, view):
    view.show_image(to_qimage(black(4000, 3000)))

    qtbot.keyClick(view, Qt.Key.Key_Plus)
    zoomed_in = view.view_state().zoom
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    qtbot.keyClick(view, Qt.Key.Key_Minus)
    back = view.view_state().zoom
    qtbot.keyClick(view, Qt.Key.Key_F)

    assert zoomed_in == pytest.approx(1.25)
    assert back == pytest.approx(1.25)
    assert view.view_state().zoom == pytest.approx(1)


def test_another_view_of_another_size_shows_the_same_part(qtbot, session, view):
    other = PhotoView(session)
    qtbot.addWidget(other)
    other.resize(640, 480)
    other.show()
    view.show_image(to_qimage(black(4000, 3000)))
    other.show_image(to_qimage(black(2000, 1500)))
    view.center_on_point(PointPx(1000, 2000), zoom=3)

    other.set_view_state(view.view_state())

    assert other.view_state().centre_x == pytest.approx(0.25, abs=0.005)
    assert other.view_state().centre_y == pytest.approx(2 / 3, abs=0.005)
    assert other.view_state().zoom == pytest.approx(3)


def test_following_another_view_is_silent(qtbot, view):
    view.show_image(to_qimage(black(4000, 3000)))

    with qtbot.assertNotEmitted(view.view_changed):
        view.set_view_state(ViewState(0.4, 0.6, 2.0))


def test_even_a_corner_can_be_brought_to_the_middle(view):
    view.show_image(to_qimage(black(4000, 3000)))

    view.center_on_point(PointPx(0, 0), zoom=3)

    middle = QPoint(view.viewport().width() // 2, view.viewport().height() // 2)
    assert (on_screen(view, 0, 0) - middle).manhattanLength() <= 2


def test_the_photo_stays_fitted_when_the_window_grows(view):
    view.show_image(to_qimage(black(4000, 3000)))

    view.resize(800, 600)

    assert view.view_state().zoom == pytest.approx(1)


def test_arrows_and_enter_place_a_point_without_the_mouse(qtbot, view):
    view.show_image(to_qimage(black(400, 300)))
    places = []
    tool = PlacePointTool()
    tool.finished.connect(places.append)
    view.set_tool(tool)
    middle = view.mapToScene(view.viewport().rect().center())

    qtbot.keyClick(view, Qt.Key.Key_Right)
    qtbot.keyClick(view, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    step = 1 / view.transform().m11()
    assert places[0].x == pytest.approx(middle.x() + step)
    assert places[0].y == pytest.approx(middle.y() + 10 * step)
    assert view.tool is None


def test_enter_sets_corners_and_closes_where_the_crosshair_stands_still(qtbot, view):
    view.show_image(to_qimage(black(400, 300)))
    outlines = []
    tool = PolygonTool()
    tool.finished.connect(outlines.append)
    view.set_tool(tool)
    shift = Qt.KeyboardModifier.ShiftModifier

    for arrow in (Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_Left):
        qtbot.keyClick(view, arrow, shift)
        qtbot.keyClick(view, Qt.Key.Key_Return)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    assert len(outlines) == 1
    assert len(outlines[0]) == 3


def test_a_joint_line_is_clicked_bolt_by_bolt(qtbot, view):
    view.show_image(to_qimage(black(400, 300)))
    lines = []
    tool = JointLineTool(first_bolt=2)
    tool.finished.connect(lines.append)
    view.set_tool(tool)

    click(qtbot, view, 50, 100)
    click(qtbot, view, 150, 100)
    click(qtbot, view, 100, 104, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    assert [point.bolt_number for point in lines[0]] == [2, None, 3]
    assert view.tool is None


def test_escape_puts_the_tool_away(qtbot, view):
    view.show_image(to_qimage(black()))
    view.set_tool(PlacePointTool())

    qtbot.keyClick(view, Qt.Key.Key_Escape)

    assert view.tool is None


def test_the_listener_of_a_finished_tool_may_take_the_next_one(qtbot, view):
    view.show_image(to_qimage(black(400, 300)))
    following = PolygonTool()
    tool = PlacePointTool()
    tool.finished.connect(lambda _at: view.set_tool(following))
    view.set_tool(tool)

    click(qtbot, view, 100, 100)

    assert view.tool is following


def test_tab_leaves_the_photo(qtbot, session):
    page = QWidget()
    qtbot.addWidget(page)
    rows = QVBoxLayout(page)
    view, field = PhotoView(session), QLineEdit()
    rows.addWidget(view)
    rows.addWidget(field)
    page.show()
    view.setFocus()

    qtbot.keyClick(view, Qt.Key.Key_Tab)

    assert page.focusWidget() is field


def test_digits_are_left_to_the_page(view):
    event = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_3, Qt.KeyboardModifier.NoModifier, text="3")

    view.keyPressEvent(event)

    assert not event.isAccepted()


def test_the_full_picture_is_fetched_only_when_zoomed_in(qtbot, view, project, session, tmp_path):
    path = write_photo(tmp_path / "large.jpg", np.full((2400, 3200, 3), 90, np.uint8))
    outcome = add_photos(project, [path])
    project.apply(outcome.edit)
    photo_id = outcome.added[0].id
    view.show_photo(photo_id)
    qtbot.waitUntil(lambda: view.shown_width_px == 2048)

    was_here = full_images(session).get(photo_id) is not None
    view.center_on_point(PointPx(1600, 1200), zoom=1.6)

    qtbot.waitUntil(lambda: view.shown_width_px == 3200)
    assert not was_here


def test_no_more_than_two_full_pictures_stay_in_memory(qtbot, project, session, tmp_path):
    views = []
    for number in range(3):
        rgb = np.full((1800, 2400, 3), 40 * number, np.uint8)
        path = write_photo(tmp_path / f"photo_{number}.jpg", rgb)
        outcome = add_photos(project, [path])
        project.apply(outcome.edit)
        view = PhotoView(session)
        qtbot.addWidget(view)
        view.resize(300, 200)
        view.show_photo(outcome.added[0].id)
        qtbot.waitUntil(lambda: view.shown_width_px == 2048)  # noqa: B023 - waited for at once
        view.center_on_point(PointPx(9, 9), zoom=2)
        qtbot.waitUntil(lambda: view.shown_width_px == 2400)  # noqa: B023
        views.append(view)

    assert [view.shown_width_px for view in views] == [2048, 2400, 2400]


def test_a_photo_that_cannot_be_read_says_so(qtbot, view, project, tmp_path):
    path = write_photo(tmp_path / "photo.jpg", black(400, 300))
    outcome = add_photos(project, [path])
    project.apply(outcome.edit)
    project.photo_path(outcome.added[0]).unlink()

    view.show_photo(outcome.added[0].id)

    qtbot.waitUntil(lambda: view.notice != "")


def test_a_mark_is_drawn_where_it_is_stored(view):
    view.show_image(to_qimage(black(400, 300)))
    outline = (PointPx(100, 100), PointPx(200, 100), PointPx(200, 200), PointPx(100, 200))
    mark = LeakMark(
        leak_id=uuid4(), photo_id=uuid4(), grade=SeepageGrade.STREAM, outline_px=outline
    )
    view.set_overlays([(mark, 1)])

    shown = to_rgb(view.viewport().grab().toImage())

    edge, inside = on_screen(view, 200, 150), on_screen(view, 150, 150)
    assert shown[edge.y(), edge.x()].max() > 180
    assert shown[inside.y(), inside.x()].max() == 0


def test_marks_far_from_any_joint_get_no_tick(view):
    view.show_image(to_qimage(black(400, 300)))
    line = JointLine(
        joint_id=uuid4(),
        photo_id=uuid4(),
        points=(LinePoint(PointPx(0, 290), 1), LinePoint(PointPx(399, 290), 2)),
    )
    mark = LeakMark(
        leak_id=uuid4(), photo_id=uuid4(), grade=SeepageGrade.SEEP, source_px=PointPx(200, 50)
    )
    view.set_overlays([(mark, 1)], [line])

    shown = to_rgb(view.viewport().grab().toImage())

    between = on_screen(view, 200, 220)
    assert shown[between.y(), between.x()].max() == 0


def test_leaving_the_window_forgets_that_space_was_down(qtbot, view):
    view.show_image(to_qimage(black(400, 300)))
    places = []
    tool = PlacePointTool()
    tool.finished.connect(places.append)
    view.set_tool(tool)
    qtbot.keyPress(view, Qt.Key.Key_Space)

    QApplication.sendEvent(view, QFocusEvent(QEvent.Type.FocusOut))
    click(qtbot, view, 100, 100)

    assert len(places) == 1
