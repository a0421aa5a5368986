"""Tell what to do in a teardown day by day, in words and as a document."""

from typing import Any

from leaktrack.cli.printing import say
from leaktrack.model.redo_benefit import WeighedRedo
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_sentences import clock_words, curing_words, part_words, work_words
from leaktrack.model.words import DEFER, word
from leaktrack.model.work_sheet import CLOCK_H, SheetDay, SheetLine, WorkSheet

Document = dict[str, Any]


def tell_sheet(sheet: WorkSheet, weighed: WeighedRedo) -> None:
    """Print the work sheet."""
    for cure in sheet.curing:
        say(curing_words(cure))
    if not sheet.days:
        say(weighed.answer.conflict or "Nothing is worth taking the engine apart for.")
        return
    for day in sheet.days:
        _tell_day(day)
    say(f"Ready on day {sheet.ready_day}, {clock_words(sheet.ready_h % CLOCK_H)}, all cures over.")
    if sheet.parts:
        say()
        say("Parts and fluids to have at hand:")
        for one in sheet.parts:
            say(f"{part_words(one.part)}, for: {', '.join(one.taken_by)}", indent="  - ")
    if sheet.cautions:
        say("Caution:")
        for caution in sheet.cautions:
            say(word(caution), indent="  - ")
        say(DEFER, indent="  ")


def _tell_day(day: SheetDay) -> None:
    say(f"Day {day.number}")
    worker: int | None = 0
    for line in day.lines:
        if line.worker != worker:
            worker = line.worker
            say("curing by itself" if worker is None else f"person {worker}", indent="  ")
        _tell_line(line)


def _tell_line(line: SheetLine) -> None:
    more = " (goes on)" if line.goes_on else ""
    begun = " (begun before)" if line.is_continued else ""
    if line.worker is None:
        day, at = divmod(line.end_h, CLOCK_H)
        until = clock_words(at) if not day else f"{clock_words(at)}, {day:g} d on"
        say(f"[ ] {work_words(line.kind, line.name)}, until {until}", indent="    ")
        return
    what = work_words(line.kind, line.name)
    told = f"[ ] {clock_words(line.begin_h)}  {what}, {round(line.hours, 2):g} h"
    say(f"{told}{begun}{more}", indent="    ")
    for name, texts in (
        ("with", line.tools),
        ("parts", tuple(map(part_words, line.parts))),
        ("how", line.instructions),
        ("caution", tuple(one.value.replace("_", " ") for one in line.cautions)),
    ):
        if texts:
            say(f"{name}: {'; '.join(texts)}", indent="          ")


def sheet_document(sheet: WorkSheet) -> Document:
    """Return the same as a JSON-ready document."""
    return {
        "ready_h": sheet.ready_h,
        "ready_day": sheet.ready_day if sheet.days else None,
        "day_hours": sheet.day_hours,
        "curing": [
            {"name": one.name, "until": one.until.isoformat(), "blocks_refit": one.blocks_refit}
            for one in sheet.curing
        ],
        "days": [
            {"day": day.number, "lines": [_line(line) for line in day.lines]} for day in sheet.days
        ],
        "parts": [
            {
                "name": one.part.name,
                "count": one.part.count,
                "single_use": one.part.is_single_use,
                "for": list(one.taken_by),
            }
            for one in sheet.parts
        ],
        "cautions": [word(caution) for caution in sheet.cautions],
    }


def _line(line: SheetLine) -> Document:
    return {
        "id": str(line.record_id),
        "kind": line.kind.value,
        "name": line.name,
        "worker": line.worker,
        "begin_h": line.begin_h,
        "end_h": line.end_h,
        "hours": line.hours,
        "whole_hours": line.whole_hours,
        "is_cure": line.kind is WorkKind.CURE,
        "is_continued": line.is_continued,
        "goes_on": line.goes_on,
        "tools": list(line.tools),
        "parts": [part.name for part in line.parts],
        "instructions": list(line.instructions),
        "cautions": [one.value for one in line.cautions],
    }
