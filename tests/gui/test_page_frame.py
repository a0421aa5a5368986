from PySide6.QtWidgets import QListWidget, QVBoxLayout, QWidget

from leaktrack.gui.look.page_frame import PageFrame
from leaktrack.gui.look.panels import TonedLabel


def _page(least_height: int) -> QWidget:
    page = QWidget()
    rows = QVBoxLayout(page)
    rows.addWidget(TonedLabel("Some words that go on in the next line where there is no room."))
    content = QListWidget()
    content.setMinimumHeight(least_height)
    rows.addWidget(content)
    return page


def test_a_page_gets_all_the_room_there_is(qtbot):
    frame = PageFrame(_page(50))
    qtbot.addWidget(frame)
    frame.resize(600, 400)
    frame.show()

    assert frame.widget().size() == frame.viewport().size()
    assert not frame.verticalScrollBar().isVisible()


def test_a_page_that_needs_more_scrolls_and_does_not_enlarge_its_frame(qtbot):
    frame = PageFrame(_page(900))
    qtbot.addWidget(frame)
    frame.resize(600, 400)
    frame.show()

    assert frame.height() == 400
    assert frame.widget().height() > 900
    assert frame.verticalScrollBar().isVisible()
    assert not frame.horizontalScrollBar().isVisible()


def test_a_page_that_grows_later_begins_to_scroll(qtbot):
    page = _page(50)
    frame = PageFrame(page)
    qtbot.addWidget(frame)
    frame.resize(600, 400)
    frame.show()

    page.findChild(QListWidget).setMinimumHeight(900)

    qtbot.waitUntil(frame.verticalScrollBar().isVisible, timeout=5000)
