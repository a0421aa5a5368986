"""Where the arrow keys lead among the bars of a schedule."""

from collections.abc import Sequence

from PySide6.QtCore import Qt

from leaktrack.gui.plan.schedule_layout import Lane
from leaktrack.model.work_sheet import DatedSlot

_ALONG = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_ACROSS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}


def neighbour(lanes: Sequence[Lane], here: DatedSlot | None, key: Qt.Key) -> DatedSlot | None:
    """Return the bar that a key leads to from a bar; None where it leads nowhere.

    Left and right stay on a lane, up and down go to what happens about the same time; Home and End
    lead to the first and the last of all. With no bar in hand, every arrow leads to the first.
    """
    every = sorted(
        ((one.begin_h, row, one) for row, lane in enumerate(lanes) for one in lane.slots),
        key=lambda each: each[:2],
    )
    if not every:
        return None
    if key is Qt.Key.Key_End:
        return every[-1][2]
    is_arrow = key in _ALONG or key in _ACROSS
    found = next((row for _, row, one in every if one == here), None)
    if key is Qt.Key.Key_Home or (is_arrow and found is None):
        return every[0][2]
    if here is None or found is None:
        return None
    if key in _ALONG:
        own = lanes[found].slots
        place = own.index(here) + _ALONG[key]
        return own[place] if 0 <= place < len(own) else None
    if key in _ACROSS:
        return _across(lanes, here, found, _ACROSS[key])
    return None


def _across(lanes: Sequence[Lane], here: DatedSlot, row: int, step: int) -> DatedSlot | None:
    row += step
    while 0 <= row < len(lanes):
        if lanes[row].slots:
            middle = here.begin_h + here.end_h
            return min(lanes[row].slots, key=lambda one: abs(one.begin_h + one.end_h - middle))
        row += step
    return None
