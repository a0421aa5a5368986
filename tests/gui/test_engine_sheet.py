from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from leaktrack.gui.panels.engine_sheet_panel import EngineSheetPanel, wettest
from leaktrack.gui.panels.face_group import NET_PLACES
from leaktrack.gui.panels.zone_card import ZoneCardButton, card_sentence
from leaktrack.gui.session import Session
from leaktrack.model.engine import FaceSide, Zone
from leaktrack.model.engine_sheet import ZoneCard
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import replaced


@pytest.fixture
def panel(session: Session, qtbot) -> EngineSheetPanel:
    panel = EngineSheetPanel(session)
    qtbot.addWidget(panel)
    panel.resize(900, 160)
    panel.show()
    qtbot.waitUntil(lambda: len(panel.cards) > 0, timeout=10_000)
    return panel


def _card(grade: SeepageGrade, *past: SeepageGrade) -> ZoneCard:
    zone = Zone(face_id=new_id(), name="Front cover")
    return ZoneCard(zone, None, grade, tuple((new_id(), each) for each in (*past, grade)))


def test_a_zone_is_read_out_with_its_grade_and_its_past():
    card = _card(SeepageGrade.DRIP, SeepageGrade.NOT_SEEN, SeepageGrade.SEEP)

    assert card_sentence(card, "Front") == "Front cover, Front: 4 drip; before: not seen, 2 seep"


def test_every_face_has_a_place_of_its_own_on_the_unfolded_engine():
    assert set(NET_PLACES) == set(FaceSide)
    assert len(set(NET_PLACES.values())) == len(FaceSide)


def test_every_zone_has_a_card(panel: EngineSheetPanel, session: Session):
    zone_ids = {zone.id for zone in session.project.all(Zone)}

    assert {card.zone_id for card in panel.cards} == zone_ids


def test_the_wettest_zone_comes_to_hand_first(qtbot):
    grades = (SeepageGrade.NOT_SEEN, SeepageGrade.DRY, SeepageGrade.SEEP, SeepageGrade.STAIN)
    cards = [ZoneCardButton(_card(grade), "Front") for grade in grades]
    for card in cards:
        qtbot.addWidget(card)

    assert wettest(cards) is cards[2]


def test_a_click_takes_a_zone_in_hand(panel: EngineSheetPanel, session: Session):
    QTest.mouseClick(panel.cards[1], Qt.MouseButton.LeftButton)

    assert session.zone_id == panel.cards[1].zone_id


def test_the_arrow_keys_walk_from_zone_to_zone(panel: EngineSheetPanel, session: Session):
    QTest.mouseClick(panel.cards[0], Qt.MouseButton.LeftButton)

    QTest.keyClick(panel.cards[0], Qt.Key.Key_Right)

    assert session.zone_id == panel.cards[1].zone_id


def test_a_zone_picked_elsewhere_is_the_checked_card(panel: EngineSheetPanel, session: Session):
    session.pick(zone_id=panel.cards[2].zone_id)

    assert [card.isChecked() for card in panel.cards].index(True) == 2


def test_the_sheet_shows_how_it_was_at_the_inspection_in_hand(
    panel: EngineSheetPanel, session: Session, qtbot
):
    baseline, *_others = session.project.all(Inspection)

    session.pick(entry=(EntryKind.INSPECTION, baseline.id))

    qtbot.waitUntil(lambda: all(len(card.card.ribbon) <= 1 for card in panel.cards), timeout=10_000)


def test_the_cards_stay_and_follow_an_edit(panel: EngineSheetPanel, session: Session, qtbot):
    before = panel.cards
    zone = session.project.get(Zone, before[0].zone_id)

    session.do("Rename zone", replaced(zone, replace(zone, name="Lid")))

    qtbot.waitUntil(lambda: before[0].text() == "Lid", timeout=10_000)
    assert panel.cards == before


def test_a_project_without_zones_says_how_to_begin(empty_session: Session, qtbot):
    panel = EngineSheetPanel(empty_session)
    qtbot.addWidget(panel)
    panel.show()

    with qtbot.waitSignal(panel.set_up_wanted):
        QTest.mouseClick(panel.empty.button, Qt.MouseButton.LeftButton)
