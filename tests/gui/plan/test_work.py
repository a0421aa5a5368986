"""Writing work down and ticking it off: ways in, parts, the library, the work sheet."""

import pytest
from PySide6.QtCore import Qt

from leaktrack.gui.plan.library_dialog import LibraryDialog
from leaktrack.gui.plan.work_fields import parse_parts
from leaktrack.model.errors import BadInput
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoDecision, RedoPart, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import WorkTime
from tests.gui.filling_in import click, press


def choose_from(box, text):
    row = box.findText(text)
    assert row > 0
    box.setCurrentIndex(row)
    box.activated.emit(row)


def test_a_choice_of_ways_in_is_put_together_and_taken_apart(bench):
    short = bench.step("Short way")
    bench.show()
    cover, intake = bench.story.cover_task, bench.story.intake
    bench.page.open_record(cover.id)
    needs = bench.page.editor.form.fields["needs"]

    choose_from(needs.way_boxes[-1], "Take off the intake")
    choose_from(needs.way_boxes[1], "Short way")  # "or another way…"

    stored = bench.project.get(RedoTask, cover.id).needs
    assert stored == (intake.id, AnyOf(((intake.id,), (short,))))

    press(needs.boxes[intake.id], Qt.Key.Key_Space)
    assert bench.project.get(RedoTask, cover.id).needs == (AnyOf(((intake.id,), (short,))),)

    click(needs.step_buttons[0])
    click(needs.step_buttons[0])
    assert bench.project.get(RedoTask, cover.id).needs == ()


def test_parts_are_typed_as_a_list_and_refused_with_a_sentence(bench):
    bench.show()
    bench.page.open_record(bench.story.cover_task.id)
    field = bench.page.editor.form.fields["parts"]

    field.text.setPlainText("2 x Cover gasket\nSealant\nHoist eye (used again)")
    field.text.left.emit()

    assert bench.project.get(RedoTask, bench.story.cover_task.id).parts == (
        RedoPart("Cover gasket", 2),
        RedoPart("Sealant"),
        RedoPart("Hoist eye", is_single_use=False),
    )
    field.text.setPlainText("0 x Bolt")
    field.text.left.emit()
    assert "0 x Bolt" in field.complaint
    assert field.text.toPlainText() == "0 x Bolt"
    with pytest.raises(BadInput):
        parse_parts("(used again)")


def test_work_is_ticked_off_with_its_hours_and_the_rest_is_planned_anew(bench):
    bench.desk.decide(bench.story.cover_task.id, RedoDecision.MUST)
    bench.show()
    bench.desk.tabs.show_part("sheet")
    row = bench.desk.sheet.row(bench.story.intake.id, WorkKind.TAKE_OFF)

    row.hours_field.line.setText("a lot")
    click(row.done_button)
    assert "a lot" in row.hours_field.complaint
    row.hours_field.line.setText("1,4")
    click(row.done_button)
    bench.settle()

    assert bench.project.get(AccessStep, bench.story.intake.id).is_done
    (time,) = bench.project.all(WorkTime)
    assert (time.hours, time.kind) == (1.4, WorkKind.TAKE_OFF)
    kinds = [(one.line.name, one.line.kind) for one in bench.desk.sheet.rows]
    assert ("Take off the intake", WorkKind.TAKE_OFF) not in kinds
    assert ("Take off the intake", WorkKind.REFIT) in kinds

    bench.session.undo_stack.undo()
    assert bench.project.all(WorkTime) == ()
    assert not bench.project.get(AccessStep, bench.story.intake.id).is_done


def test_a_kept_plan_is_told_beside_the_choice_of_now(bench):
    bench.desk.decide(bench.story.cover_task.id, RedoDecision.MUST)
    bench.show()
    click(bench.page.keep_row.keep_button)
    bench.settle()

    bench.desk.decide(bench.story.cover_task.id, RedoDecision.NEVER)
    bench.settle()

    assert "Not worth it any more: Seal the cover again" in bench.page.plan_card.since.text()


def test_what_is_ticked_in_the_library_is_one_step_with_what_it_needs(bench, monkeypatch):
    bench.show()
    asked = []

    def ticked(dialog):
        asked.append(dialog.take_button.isEnabled())
        free = next(box for box in dialog.boxes.values() if box.isEnabled())
        free.click()
        asked.append(dialog.take_button.isEnabled())
        return True

    monkeypatch.setattr(LibraryDialog, "exec", ticked)
    tasks_before = len(bench.project.all(RedoTask))

    click(bench.page.library_button)

    assert asked == [False, True]
    assert len(bench.project.all(RedoTask)) > tasks_before
    assert bench.session.undo_stack.count() == 1
