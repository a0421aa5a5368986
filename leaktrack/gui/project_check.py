"""Check a project's files in the background and say how it came out."""

from functools import partial
from typing import TYPE_CHECKING

from leaktrack.gui.panels.message_bar import MessageBar

if TYPE_CHECKING:
    from leaktrack.gui.session import Session
    from leaktrack.workflows.check_project import CheckReport


def check_in_background(session: "Session", messages: MessageBar) -> None:
    """Read every photo file once and compare it with the records."""
    # Late: wanted once in a while, and never while the window starts.
    from leaktrack.workflows.check_project import check

    session.background.run_job(
        messages.tr("Checking the project's files"),
        lambda job: check(session.project, job.progress),
        then=partial(_show, messages),
        owner=messages,
        failed=session.report,
    )


def _show(messages: MessageBar, report: "CheckReport") -> None:
    if report.is_sound:
        sound = messages.tr("All {count} files are whole, and the records hold together.")
        messages.show_news(sound.format(count=report.photos_checked + report.clips_checked))
        return
    told = messages.tr(
        "{count} of the project's files are not as recorded. Nothing was changed. "
        "Copy them back from a backup of the project folder, then check again."
    )
    details = "\n".join(f"{each.kind.value}: {each.what}" for each in report.problems)
    messages.show_failure(told.format(count=len(report.problems)), details)
