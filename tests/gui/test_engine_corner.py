from dataclasses import replace

from leaktrack.gui.look.panels import row_with
from leaktrack.gui.panels.engine_corner import EngineCorner
from leaktrack.gui.session import Session
from leaktrack.model.engine import Engine
from leaktrack.model.record import added, replaced


def test_the_corner_follows_a_new_name(session: Session, qtbot):
    corner = EngineCorner(session)
    qtbot.addWidget(corner)
    engine = session.project.get(Engine, session.engine_id)

    session.do("Rename engine", replaced(engine, replace(engine, name="Old boat engine")))

    assert corner.heading.text() == "Old boat engine"


def test_the_first_engine_of_a_project_comes_to_hand(empty_session: Session, qtbot):
    corner = EngineCorner(empty_session)
    qtbot.addWidget(corner)
    assert empty_session.engine_id is None
    engine = Engine(name="V6")

    empty_session.do("Add engine", added(engine))

    assert empty_session.engine_id == engine.id


def test_one_of_several_engines_can_be_chosen(session: Session, qtbot):
    corner = EngineCorner(session)
    qtbot.addWidget(corner)
    corner.show()
    other = Engine(name="Spare engine")
    session.do("Add engine", added(other))
    assert corner.picker.isVisible()

    corner.picker.activated.emit(row_with(corner.picker, other.id))

    assert session.engine_id == other.id
