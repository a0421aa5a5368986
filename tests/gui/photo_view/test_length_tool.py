"""Two clicks end in the two ends of a length."""

import pytest

from leaktrack.gui.photo_view import LengthTool
from leaktrack.gui.photo_view.tool import Pointer
from leaktrack.model.shapes import PointPx


def click(tool, *places):
    for x, y in places:
        tool.press(Pointer(PointPx(x, y)))
        tool.release(Pointer(PointPx(x, y)))


@pytest.fixture
def heard(qapp):
    """Return a list that takes down what a tool finishes with."""

    def listen(tool):
        values = []
        tool.finished.connect(values.append)
        return values

    return listen


def test_two_clicks_end_a_length(heard):
    tool = LengthTool()
    values = heard(tool)

    click(tool, (10, 20), (110, 20))

    assert values == [(PointPx(10, 20), PointPx(110, 20))]


def test_a_second_click_on_the_first_end_is_no_length(heard):
    tool = LengthTool()
    values = heard(tool)

    click(tool, (10, 20), (10, 20), (110, 20))

    assert values == [(PointPx(10, 20), PointPx(110, 20))]


def test_backspace_takes_the_first_end_of_a_length_back(heard):
    tool = LengthTool()
    values = heard(tool)
    click(tool, (10, 20))

    assert tool.take_back()
    assert not tool.take_back()
    click(tool, (50, 50), (90, 50))
    assert values == [(PointPx(50, 50), PointPx(90, 50))]
