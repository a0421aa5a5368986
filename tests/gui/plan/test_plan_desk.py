"""The plan: a word of the person turns the choice, and is taken back like everything else."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from leaktrack.gui.plan.plan_printing import plan_html
from leaktrack.gui.plan.plan_solver import Step
from leaktrack.model.redo_plan import AnyOf, RedoDecision, RedoTask
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.workflows.export_plan import PlanTable
from leaktrack.workflows.settle_redo import settle_terms
from tests.gui.filling_in import click, press, type_in
from tests.gui.looking import unnamed

COVER = "Seal the cover again"


@pytest.fixture
def shown(bench):
    bench.show()
    bench.desk.tree.take(bench.story.cover_task.id)
    return bench


def figures(desk):
    return {one.caption.text(): one.value.text() for one in desk.answer.figures}


def test_what_must_be_done_is_done_and_the_word_is_taken_back_by_undo(shown):
    assert shown.chosen == []  # a dry joint may as well be sealed later
    assert "must be done" in shown.desk.answer.hint.text()

    click(shown.desk.why.switch.buttons[RedoDecision.MUST])
    shown.settle()

    assert shown.chosen == [COVER]
    assert figures(shown.desk)["Redo"] == "1 of 1 tasks"
    assert figures(shown.desk)["Labour"] == "3.5 h"  # 1 off, 2 of sealing, 0.5 on again
    assert shown.session.undo_stack.undoText() == f"Must be done: {COVER}"

    shown.session.undo_stack.undo()
    shown.settle()

    assert shown.chosen == []
    assert shown.desk.why.switch.buttons[RedoDecision.DECIDE].isChecked()


def test_the_space_bar_goes_round_the_decisions(shown):
    told = []
    for _ in range(3):
        press(shown.desk.tree, Qt.Key.Key_Space)
        told.append(shown.project.get(RedoTask, shown.story.cover_task.id).decision)

    assert told == [RedoDecision.NEVER, RedoDecision.MUST, RedoDecision.DECIDE]


def test_of_words_in_a_row_the_last_one_is_answered(shown):
    answers = []
    shown.desk.solver.found.connect(lambda staged: answers.append(staged.weighed.answer.tasks))

    for decision in (RedoDecision.MUST, RedoDecision.NEVER, RedoDecision.MUST):
        shown.desk.decide(shown.story.cover_task.id, decision)
    assert shown.desk.solver.is_busy
    shown.settle()

    assert shown.chosen == [COVER]
    # The answer to "never" was stopped before it was shown.
    assert () not in answers


def test_stopping_leaves_what_was_known(shown):
    before = shown.desk.weighed
    shown.desk.solver.renew(shown.story.engine.id, shown.desk._read)

    shown.desk.solver.stop()

    assert shown.desk.solver.step is Step.NOTHING
    assert not shown.desk.solver.is_busy
    assert shown.desk.weighed is before


def test_what_makes_it_impossible_stands_in_place_of_the_order(shown):
    shown.desk.decide(shown.story.cover_task.id, RedoDecision.MUST)
    shown.desk.tabs.show_part("terms")

    type_in(shown.desk.terms.fields["hours_budget"], "2")
    shown.settle()

    said = "'Seal the cover again' must be done and takes at least 3.5 h of labour"
    assert shown.desk.answer.conflict.text().startswith(said)
    shown.desk.tabs.show_part("order")
    assert shown.desk.order.instead.text().startswith(said)
    assert not shown.desk.order.chart.isVisible()


def test_terms_that_cannot_be_stay_as_typed_with_a_sentence(shown):
    shown.desk.tabs.show_part("terms")
    field = shown.desk.terms.fields["workers"]

    type_in(field, "0")

    assert "1 to 1000" in field.complaint
    assert field.line.text() == "0"
    assert shown.project.all(RedoTerms) == ()


def test_a_chance_of_ones_own_counts_until_it_is_emptied(shown):
    field = shown.desk.why.chance_field
    worked_out = field.line.placeholderText()
    assert worked_out.startswith("worked out: ")

    type_in(field, "100")
    shown.settle()
    assert shown.project.get(RedoTask, shown.story.cover_task.id).chance == 1
    assert shown.chosen == [COVER]  # certain to come back, with the mess on top of the work
    assert "100 % of" in shown.desk.why.worth.text()

    type_in(field, "")
    shown.settle()
    assert shown.project.get(RedoTask, shown.story.cover_task.id).chance is None
    assert field.line.placeholderText() == worked_out


def test_a_way_in_that_is_taken_is_named_in_the_tree(bench):
    short, long = bench.step("Short way"), bench.step("Long way", refit_hours=3.0)
    sump = bench.task(
        "Seal the sump", needs=(AnyOf(((long,), (short,))),), decision=RedoDecision.MUST
    )
    bench.show()

    index = bench.desk.tree.nodes.index_of(sump)

    assert index.data() == "Seal the sump – by way of: Short way"
    assert index.parent().data() == "Short way"


def test_tables_are_saved_without_formulas(bench, tmp_path, monkeypatch):
    bench.task("=HYPERLINK(1)", decision=RedoDecision.MUST)
    bench.show()
    chosen = str(tmp_path / "tasks")
    monkeypatch.setattr(
        "leaktrack.gui.plan.plan_files.QFileDialog.getSaveFileName", lambda *_: (chosen, "")
    )

    bench.page.files.save(PlanTable.TASKS)

    lines = (tmp_path / "tasks.csv").read_bytes().decode("utf-8-sig").split("\r\n")
    assert lines[1].startswith("'=HYPERLINK(1),redo,must,1,")


def test_terms_of_a_kept_engine_are_shown_again(bench):
    terms = RedoTerms(engine_id=bench.story.engine.id, workers=3)
    bench.project.apply(settle_terms(bench.project, terms))
    task = bench.project.get(RedoTask, bench.story.cover_task.id)
    bench.project.apply(settle_terms(bench.project, replace(terms, hour_rate=90.0)))
    bench.desk.decide(task.id, RedoDecision.MUST)
    bench.show()

    assert bench.desk.terms.fields["hour_rate"].line.text() == "90"
    assert len(bench.desk.order.chart.lanes) == 4  # three people and one cure


def test_every_control_has_a_name(shown):
    for part in ("choice", "order", "sheet", "parts", "terms", "all"):
        shown.desk.tabs.show_part(part)

        assert unnamed(shown.page) == []


def test_what_is_printed_has_a_box_before_each_piece_of_work(bench):
    bench.desk.decide(bench.story.cover_task.id, RedoDecision.MUST)
    bench.show()

    document = plan_html(bench.desk.weighed, bench.desk.work_sheet, "Plan <W>")

    assert "<h1>Plan &lt;W&gt;</h1>" in document
    # Off, done and on again; the cure has none.
    assert document.count("[  ]") == 3
    assert "Let cure: Seal the cover again" in document
