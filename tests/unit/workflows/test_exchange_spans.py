"""Spans of footage leave the project and come back as evidence."""

from pathlib import Path

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.footage_span import NamedSpan
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.workflows.clips import add_clip
from leaktrack.workflows.exchange_spans import (
    evidence_edit,
    read_spans,
    spans_of_clip,
    write_spans,
)

VIDEO = Path(__file__).parents[3] / "demo_project" / "assembly_video.mp4"


@pytest.fixture
def clip(filled, project):
    made, edit = add_clip(project, VIDEO, "Assembly day")
    project.apply(edit)
    return made


@pytest.fixture
def job(project, clip):
    return project.all(SealingJob)[0]


@pytest.fixture
def kept(project, clip, job):
    spans = [(clip.id, NamedSpan(8_240, 24_760, "bead laid")), (clip.id, NamedSpan(500, 900))]
    project.apply(evidence_edit(project, job.id, spans))
    return spans


@pytest.mark.parametrize("ending", [".vtt", ".txt"])
def test_evidence_written_and_read_is_the_same(project, clip, kept, tmp_path, ending):
    file = tmp_path / f"spans{ending}"
    write_spans(project, clip.id, file)

    told = read_spans(project, file)

    assert [(each, span.start_ms, span.end_ms) for each, span in told] == [
        (clip.id, 500, 900),
        (clip.id, 8_240, 24_760),
    ]
    assert told[1][1].name.endswith(": bead laid")


def test_spans_that_a_job_has_are_not_kept_twice(project, clip, job, kept, tmp_path):
    file = tmp_path / "spans.vtt"
    write_spans(project, clip.id, file)

    with pytest.raises(BadInput, match="has all of these spans already"):
        evidence_edit(project, job.id, read_spans(project, file))


def test_reading_is_taken_back_in_one_step(project, clip, job):
    before = project.all(Evidence)
    inverse = project.apply(evidence_edit(project, job.id, [(clip.id, NamedSpan(1, 2, "x"))]))

    project.apply(inverse)

    assert project.all(Evidence) == before


def test_a_span_beyond_the_clip_is_refused(project, clip, job):
    with pytest.raises(BadInput, match="does not lie within 'Assembly day'"):
        evidence_edit(project, job.id, [(clip.id, NamedSpan(0, clip.duration_ms + 1))])


def test_a_list_that_names_no_clip_needs_an_open_one(project, clip, tmp_path):
    file = tmp_path / "spans.vtt"
    file.write_text("WEBVTT\n\n00:01.000 --> 00:02.000\nbead")

    with pytest.raises(BadInput, match="does not say which video"):
        read_spans(project, file)
    assert read_spans(project, file, clip.id) == ((clip.id, NamedSpan(1_000, 2_000, "bead")),)


def test_a_list_of_another_video_is_refused(project, clip, kept, tmp_path):
    file = tmp_path / "spans.vtt"
    write_spans(project, clip.id, file)
    file.write_text(file.read_text().replace(clip.sha256, "0" * 64))

    with pytest.raises(BadInput, match="not in the project"):
        read_spans(project, file, clip.id)


def test_what_is_no_text_is_refused_with_its_line(project, clip, tmp_path):
    file = tmp_path / "spans.vtt"
    file.write_bytes(b"WEBVTT\n\n\xff\xfe")

    with pytest.raises(BadInput, match=r"spans\.vtt, line 3: it is no UTF-8"):
        read_spans(project, file, clip.id)


def test_a_clip_without_spans_writes_nothing(project, clip, tmp_path):
    file = tmp_path / "spans.vtt"

    with pytest.raises(BadInput, match="nothing to write"):
        write_spans(project, clip.id, file)
    assert not file.exists()


def test_spans_without_an_end_reach_to_the_clip_s_end(project, clip, job):
    project.apply(evidence_edit(project, job.id, [(clip.id, NamedSpan(5_000, None))]))

    assert [each.end_ms for each in spans_of_clip(project, clip.id)] == [clip.duration_ms]
