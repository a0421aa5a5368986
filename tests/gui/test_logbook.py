from dataclasses import replace
from datetime import UTC, datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from leaktrack.gui.item_models.logbook_model import LogbookModel, entry_sentence, is_wanted
from leaktrack.gui.panels.logbook_panel import LogbookPanel
from leaktrack.gui.session import Session
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import TestRun
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.logbook import EntryKind, LogbookEntry
from leaktrack.model.record import replaced

LOOK = LogbookEntry(
    EntryKind.INSPECTION,
    new_id(),
    datetime(2026, 3, 22, 9, tzinfo=UTC),
    "After 320 km",
    "4 photos",
    SeepageGrade.DRIP,
    needs_attention=True,
)
EARLIER_LOOK = replace(
    LOOK, record_id=new_id(), at=datetime(2026, 3, 20, 9, tzinfo=UTC), title="After 60 km"
)
FIRST_LOOK = replace(
    LOOK, record_id=new_id(), at=datetime(2026, 3, 12, 9, tzinfo=UTC), title="Baseline"
)
JOB = LogbookEntry(
    EntryKind.SEALING_JOB, new_id(), datetime(2026, 3, 7, 9, tzinfo=UTC), "Head cover", "Grey paste"
)
ENTRIES = (LOOK, EARLIER_LOOK, FIRST_LOOK, JOB)


@pytest.fixture
def model(qtmodeltester) -> LogbookModel:
    model = LogbookModel()
    model.set_entries(ENTRIES)
    qtmodeltester.check(model, force_py=True)
    return model


def _key(entry: LogbookEntry) -> tuple[EntryKind, object]:
    return entry.kind, entry.record_id


def test_an_entry_is_read_out_with_kind_grade_and_what_is_amiss():
    sentence = entry_sentence(LOOK)

    assert sentence.startswith("Inspection, ")
    assert sentence.endswith("After 320 km, 4 photos, worst grade 4 drip, needs attention")


@pytest.mark.parametrize(
    ("text", "kinds", "is_found"),
    [
        ("", frozenset(), True),
        ("320 PHOTOS", frozenset(), True),
        ("320 gasket", frozenset(), False),
        ("drip", frozenset({EntryKind.INSPECTION}), True),
        ("", frozenset({EntryKind.CHECK}), False),
    ],
)
def test_the_filter_wants_every_word_and_one_of_the_kinds(text, kinds, is_found):
    assert is_wanted(LOOK, text, kinds) is is_found


def test_only_inspections_can_be_ticked(model: LogbookModel):
    is_tickable = [
        bool(model.flags(model.index(row)) & Qt.ItemFlag.ItemIsUserCheckable) for row in range(4)
    ]

    assert is_tickable == [True, True, True, False]


def test_a_third_tick_takes_the_place_of_the_first(model: LogbookModel):
    model.toggle(_key(LOOK))
    model.toggle(_key(EARLIER_LOOK))
    model.toggle(_key(FIRST_LOOK))

    assert model.ticked == (_key(EARLIER_LOOK), _key(FIRST_LOOK))


def test_ticked_entries_come_in_the_order_of_time(model: LogbookModel):
    assert model.in_time_order([_key(LOOK), _key(FIRST_LOOK)]) == (_key(FIRST_LOOK), _key(LOOK))


@pytest.fixture
def panel(session: Session, qtbot) -> LogbookPanel:
    panel = LogbookPanel(session)
    qtbot.addWidget(panel)
    panel.resize(280, 700)
    panel.show()
    qtbot.waitUntil(lambda: panel.model.rowCount() > 0, timeout=10_000)
    return panel


def _rows(panel: LogbookPanel, kind: EntryKind) -> list[int]:
    entries = [panel.model.entry(panel.model.index(row)) for row in range(panel.model.rowCount())]
    return [row for row, entry in enumerate(entries) if entry.kind is kind]


def test_the_newest_inspection_comes_to_hand_first(panel: LogbookPanel, session: Session):
    newest = panel.model.entry(panel.model.index(_rows(panel, EntryKind.INSPECTION)[0]))

    assert session.entry == _key(newest)


def test_a_click_takes_an_entry_in_hand(panel: LogbookPanel, session: Session):
    index = panel.model.index(_rows(panel, EntryKind.TEST_RUN)[0])

    QTest.mouseClick(
        panel.list.viewport(),
        Qt.MouseButton.LeftButton,
        pos=panel.list.visualRect(index).center(),
    )

    assert session.entry == _key(panel.model.entry(index))


def test_the_arrow_keys_walk_through_the_logbook(panel: LogbookPanel, session: Session):
    panel.list.setCurrentIndex(panel.model.index(0))

    QTest.keyClick(panel.list, Qt.Key.Key_Down)

    assert session.entry == _key(panel.model.entry(panel.model.index(1)))


def test_two_inspections_ticked_by_the_space_bar_are_compared(
    panel: LogbookPanel, session: Session
):
    later, earlier = _rows(panel, EntryKind.INSPECTION)[:2]

    panel.list.setCurrentIndex(panel.model.index(earlier))
    QTest.keyClick(panel.list, Qt.Key.Key_Space)
    panel.list.setCurrentIndex(panel.model.index(later))
    QTest.keyClick(panel.list, Qt.Key.Key_Space)

    assert session.entry == _key(panel.model.entry(panel.model.index(later)))
    assert session.earlier_entry == _key(panel.model.entry(panel.model.index(earlier)))


def test_ctrl_and_a_click_compare_with_the_inspection_in_hand(
    panel: LogbookPanel, session: Session
):
    later, earlier = _rows(panel, EntryKind.INSPECTION)[:2]
    panel.list.setCurrentIndex(panel.model.index(later))

    QTest.mouseClick(
        panel.list.viewport(),
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.ControlModifier,
        panel.list.visualRect(panel.model.index(earlier)).center(),
    )

    assert session.entry == _key(panel.model.entry(panel.model.index(later)))
    assert session.earlier_entry == _key(panel.model.entry(panel.model.index(earlier)))


def test_a_click_on_the_tick_does_not_lose_the_first_tick(panel: LogbookPanel, session: Session):
    later, earlier = (panel.model.index(row) for row in _rows(panel, EntryKind.INSPECTION)[:2])
    delegate = panel.list.itemDelegate()

    for index in (later, earlier):
        place = delegate.tick_rect(panel.list.visualRect(index)).center()
        QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=place)

    assert session.earlier_entry == _key(panel.model.entry(earlier))


def test_another_entry_ends_the_comparison(panel: LogbookPanel, session: Session):
    later, earlier = _rows(panel, EntryKind.INSPECTION)[:2]
    panel.model.toggle(_key(panel.model.entry(panel.model.index(later))))
    panel.model.toggle(_key(panel.model.entry(panel.model.index(earlier))))

    panel.list.setCurrentIndex(panel.model.index(_rows(panel, EntryKind.TEST_RUN)[0]))

    assert panel.model.ticked == ()
    assert session.earlier_entry is None


def test_a_filter_without_a_hit_says_so_and_can_be_cleared(panel: LogbookPanel, qtbot):
    shown = panel.model.rowCount()
    panel.filter.setText("no such thing anywhere")
    assert panel.no_hit.button.isVisible()

    qtbot.mouseClick(panel.no_hit.button, Qt.MouseButton.LeftButton)

    assert panel.model.rowCount() == shown


def test_an_edit_does_not_move_the_list(panel: LogbookPanel, session: Session, qtbot):
    panel.resize(280, 300)
    panel.list.verticalScrollBar().setValue(90)
    run = session.project.all(TestRun)[0]

    session.do("Change minutes", replaced(run, replace(run, minutes=777)))

    def titles() -> str:
        rows = range(panel.model.rowCount())
        return " ".join(panel.model.entry(panel.model.index(row)).detail for row in rows)

    qtbot.waitUntil(lambda: "777" in titles(), timeout=10_000)
    assert panel.list.verticalScrollBar().value() == 90


def test_an_empty_logbook_says_what_belongs_there(empty_session: Session, qtbot):
    panel = LogbookPanel(empty_session)
    qtbot.addWidget(panel)
    panel.show()

    assert panel.empty.isVisible()
