"""What follows from a mark, in words: the verdict, other people's classes, a grade that fits."""

from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.model.leak import LeakMark, wetness
from leaktrack.model.photo import Photo
from leaktrack.model.severity import PublishedClasses
from leaktrack.model.words import grade_words, word
from leaktrack.workflows.judge_leaks import judgement, observations_of, proposed_grade
from leaktrack.workflows.project import Project


@dataclass(frozen=True, slots=True)
class JudgementWords:
    """What to show beside a mark.

    Attributes:
        summary: The verdict with its reason; and a wetter grade if the answers speak for one.
        sources: Published classes and where the rule comes from, for who wants to know.
    """

    summary: str
    sources: str


def judgement_words(project: Project, mark_id: UUID) -> JudgementWords:
    """Return what follows from a mark of the project.

    Raises:
        MissingRecord: There is no such mark.
    """
    judged, classes = judgement(project, mark_id)
    mark = project.get(LeakMark, mark_id)
    verdict = word(judged.verdict)
    lines = [f"{verdict[0].upper()}{verdict[1:]}. {judged.reason}", _wetter_grade(project, mark)]
    sources = [_class_words(classes) if classes else "", judged.source]
    return JudgementWords("\n".join(filter(None, lines)), "\n".join(filter(None, sources)))


def _wetter_grade(project: Project, mark: LeakMark) -> str:
    proposal = proposed_grade(observations_of(mark, project.get(Photo, mark.photo_id)))
    given, fitting = wetness(mark.grade), wetness(proposal.grade)
    if given is None or fitting is None or fitting <= given or proposal.fired is None:
        return ""
    sentence = QCoreApplication.translate("mark_judgement", "The answers speak for %s: %s")
    return str(sentence % (grade_words(proposal.grade), proposal.fired.because))


def _class_words(classes: PublishedClasses) -> str:
    parts = [f"ISO/TR 11340: {classes.iso_tr_11340}"]
    if classes.pmcs is not None:
        parts.append(f"PMCS: {word(classes.pmcs)}")
    if classes.din_3761:
        parts.append(f"DIN 3761: {' / '.join(word(term) for term in classes.din_3761)}")
    return ", ".join(parts)
