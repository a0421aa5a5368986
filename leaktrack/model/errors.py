"""The failures we foresee.

::

    LeakTrackError
    |-- BadInput            what was typed or passed cannot be right
    |-- Cancelled           the user stopped a long piece of work
    |-- UnreadablePhoto     a photo file cannot be opened
    |-- UnreadableVideo     a video file cannot be opened
    |-- MissingRecord       a record that something points at is not there
    |-- ReportFailed        a report could not be written
    `-- ProjectError
        |-- ProjectNotFound     no project in that folder
        |-- ProjectExists       there is something in that folder already
        |-- NewerProject        made by a newer leaktrack
        |-- DamagedProject      the database does not hold together
        |-- ReadOnlyProject     opened for looking only
        `-- ChangedMeanwhile    somebody else edited the same record first
"""


class LeakTrackError(Exception):
    """A failure we foresaw. Its text says what happened, what is kept and what to do next."""


class BadInput(LeakTrackError):
    """What was typed or passed cannot be right."""


class Cancelled(LeakTrackError):
    """The user stopped a long piece of work; what was finished is kept."""


class UnreadablePhoto(LeakTrackError):
    """A photo file cannot be opened."""


class UnreadableVideo(LeakTrackError):
    """A video file cannot be opened."""


class MissingRecord(LeakTrackError):
    """A record that something points at is not there."""


class ReportFailed(LeakTrackError):
    """A report could not be written."""


class ProjectError(LeakTrackError):
    """A project folder cannot be used as asked."""


class ProjectNotFound(ProjectError):
    """There is no project in that folder."""


class ProjectExists(ProjectError):
    """There is something in that folder already."""


class NewerProject(ProjectError):
    """The project was made by a newer leaktrack."""


class DamagedProject(ProjectError):
    """The project's database does not hold together."""


class ReadOnlyProject(ProjectError):
    """The project is open for looking only."""


class ChangedMeanwhile(ProjectError):
    """Somebody else changed the same record first."""
