"""Redo: what to do and in which order, ticked off, edited and kept by click and by key."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from leaktrack.gui.pages.redo_page import RedoPage
from leaktrack.gui.plan.plan_solver import PlanSolver
from leaktrack.model.caution import Caution
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import replaced
from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoPlan, RedoTask
from leaktrack.workflows.plan_redo import new_access_step
from tests.gui.filling_in import click, press, type_in
from tests.gui.looking import unnamed
from tests.leaking_engine import tell


@pytest.fixture
def story(project, session):
    told = tell(project)
    session.engine_id = told.engine.id
    return told


@pytest.fixture
def solved():
    """Ask for it where the plan itself is wanted, not only what is written down."""


@pytest.fixture
def page(qtbot, session, story, request, monkeypatch):
    if "solved" not in request.fixturenames:
        monkeypatch.setattr(PlanSolver, "renew", lambda *_: None)
    made = RedoPage(session)
    qtbot.addWidget(made)
    made.resize(1000, 800)
    made.show()
    made.desk.tabs.show_part("all")
    read(made)
    return made


def read(page):
    """Wait until the lists show the records of now."""
    _wait(lambda: page.is_read)


def solve(page):
    """Wait until the plan is worked out."""
    _wait(lambda: page.is_read and not page.desk.solver.is_busy)


def _wait(is_there):
    for _ in range(2000):
        if is_there():
            return
        QTest.qWait(5)
    raise TimeoutError


def texts(rows):
    return [row.text for row in rows.rows]


def test_a_task_says_why_it_is_on_the_list(page):
    assert texts(page.lists.tasks)[0].name == "Seal the cover again"
    assert texts(page.lists.tasks)[0].reason == "Because: suspected cause of leak 2"


def test_hours_are_told_alone_and_with_the_others(page):
    assert texts(page.lists.tasks)[0].detail == (
        "3.5 h with the others on the list, 3.5 h alone, then 24 h of curing"
    )


def test_steps_stand_in_the_order_of_coming_off(page, project, session, story):
    step, edit = new_access_step(project, story.engine.id, "Drain the oil", 0.5)
    session.do("add", edit)
    intake = project.get(AccessStep, story.intake.id)

    session.do("need", replaced(intake, _with_needs(intake, step)))
    read(page)

    assert [(text.number, text.name) for text in texts(page.lists.steps)] == [
        ("1.", "Drain the oil"),
        ("2.", "Take off the intake"),
    ]


def test_ticking_a_task_strikes_it_but_keeps_it_within_reach(page, project, session, story):
    page.lists.tasks.rows[0].tick.setFocus()

    press(page.lists.tasks.rows[0].tick, Qt.Key.Key_Space)
    read(page)

    assert project.get(RedoTask, story.cover_task.id).is_done
    assert [text.name for text in texts(page.lists.tasks)] == []
    assert [text.name for text in texts(page.lists.done)] == ["Seal the cover again"]
    assert session.undo_stack.undoText() == "Tick off Seal the cover again"


def test_a_tick_can_be_taken_back(page, project, session, story):
    click(page.lists.tasks.rows[0].tick)

    session.undo_stack.undo()
    read(page)

    assert not project.get(RedoTask, story.cover_task.id).is_done
    assert [text.name for text in texts(page.lists.tasks)] == ["Seal the cover again"]


def test_a_step_that_is_off_costs_nothing_any_more(page):
    click(page.lists.steps.rows[0].tick)
    read(page)

    assert texts(page.lists.tasks)[0].detail.startswith(
        "2 h with the others on the list, 2 h alone"
    )


def test_the_keyboard_stays_on_a_row_that_went_to_another_list(qtbot, page):
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    page.lists.tasks.rows[0].tick.setFocus()

    press(page.lists.tasks.rows[0].tick, Qt.Key.Key_Space)
    read(page)

    assert page.focusWidget() is page.lists.done.rows[0].tick


def test_what_has_no_task_is_named_and_a_button_writes_it(page, project, story):
    named = [button.accessibleName() for button in page.wanted.buttons]

    click(page.wanted.buttons[named.index("Write a task: Drain strainer")])

    written = project.all(RedoTask, check_id=story.strainer.id)
    assert [(task.name, task.joint_id) for task in written] == [
        ("Drain strainer", story.sump_gasket.id)
    ]
    assert page.editor.record == written[0]


def test_hours_typed_into_a_new_task_are_one_step(page, project, session):
    click(page.wanted.buttons[0])
    steps_before = session.undo_stack.count()

    type_in(page.editor.form.fields["hours"], "1,5")

    assert session.undo_stack.count() == steps_before + 1
    assert project.get(RedoTask, page.editor.record.id).hours == 1.5


def test_a_need_is_ticked_in_a_list(page, project, story):
    click(page.task_button)
    needs = page.editor.form.fields["needs"]

    press(needs.boxes[story.intake.id], Qt.Key.Key_Space)

    assert project.get(RedoTask, page.editor.record.id).needs == (story.intake.id,)


def test_a_caution_of_a_step_is_said_on_the_page(page, project, story):
    click(page.lists.steps.rows[0].edit_button)
    click(page.editor.form.fields["cautions"].boxes[Caution.HOT_OIL])

    click(page.editor.back_button)
    read(page)

    assert project.get(AccessStep, story.intake.id).cautions == (Caution.HOT_OIL,)
    assert page.lists.cautions.isVisible()


def test_steps_that_need_each_other_are_refused_with_a_sentence(page, project, story):
    click(page.step_button)
    new_id = page.editor.record.id
    press(page.editor.form.fields["needs"].boxes[story.intake.id], Qt.Key.Key_Space)
    page.open_record(story.intake.id)

    press(page.editor.form.fields["needs"].boxes[new_id], Qt.Key.Key_Space)

    assert "Take off the intake" in page.editor.form.fields["needs"].complaint
    assert project.get(AccessStep, story.intake.id).needs == ()


def test_emptied_hours_count_as_none(page, project, story):
    click(page.lists.tasks.rows[0].edit_button)

    type_in(page.editor.form.fields["hours"], "")

    assert project.get(RedoTask, story.cover_task.id).hours == 0


def test_escape_leads_back_to_the_row_that_was_edited(qtbot, page):
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    click(page.lists.steps.rows[0].edit_button)

    press(page.editor.back_button, Qt.Key.Key_Escape)
    read(page)

    assert page.focusWidget() is page.lists.steps.rows[0].edit_button


def test_removing_a_task_leads_back_to_the_list(page, project, story):
    click(page.lists.tasks.rows[0].edit_button)

    click(page.editor.remove_button)

    assert project.find(RedoTask, story.cover_task.id) is None
    assert page.stack.currentIndex() == 0


def test_the_plan_is_kept_with_its_remark(solved, page, project, session, story):
    page.desk.tabs.show_part("choice")
    page.desk.decide(story.cover_task.id, RedoDecision.MUST)
    solve(page)
    page.keep_row.note_field.line.setText("At easter")

    click(page.keep_row.keep_button)

    read(page)

    assert [plan.note for plan in project.all(RedoPlan)] == ["At easter"]
    assert "At easter" in page.plan_card.text.text()
    assert session.undo_stack.undoText() == "Keep the plan"


def test_a_plan_picked_in_the_logbook_is_shown(solved, page, project, session, story):
    page.desk.tabs.show_part("choice")
    page.desk.decide(story.cover_task.id, RedoDecision.MUST)
    solve(page)
    page.keep_row.note_field.line.setText("First idea")
    click(page.keep_row.keep_button)
    solve(page)
    page.keep_row.note_field.line.setText("Second idea")
    click(page.keep_row.keep_button)
    first = next(plan for plan in project.all(RedoPlan) if plan.note == "First idea")

    session.pick(entry=(EntryKind.REDO_PLAN, first.id))
    read(page)

    assert "First idea" in page.plan_card.text.text()


def test_totals_say_what_doing_it_together_saves(page, session, project, story):
    click(page.task_button)
    task = page.editor.record
    session.do("hang", replaced(task, _for_check(task, story)))
    click(page.editor.back_button)
    read(page)

    assert page.lists.totals.text().splitlines()[:2] == [
        "All in one teardown: 3.5 h of work.",
        "One by one, each with its own teardown: 5 h, so together saves 1.5 h.",
    ]


def test_every_control_has_a_name(page):
    assert unnamed(page) == []


def test_every_control_of_the_editor_has_a_name(page):
    click(page.lists.tasks.rows[0].edit_button)

    assert unnamed(page) == []


def test_an_engine_without_causes_says_what_to_do(qtbot, session):
    page = RedoPage(session)
    qtbot.addWidget(page)
    page.show()
    read(page)

    assert page.stack.currentIndex() != 0


def _with_needs(step, need):
    return AccessStep(
        **{name: getattr(step, name) for name in step.__dataclass_fields__ if name != "needs"},
        needs=(need.id,),
    )


def _for_check(task, story):
    kept = {name: getattr(task, name) for name in task.__dataclass_fields__}
    return RedoTask(**{**kept, "check_id": story.strainer.id, "needs": (story.intake.id,)})
