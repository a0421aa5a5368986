"""What is asked of the footage for a joint, a place along it, a mark: which photos, which boxes."""

from pathlib import Path

import pytest

from leaktrack.model.engine import Bolt, Joint, JointLine, LinePoint
from leaktrack.model.errors import BadInput
from leaktrack.model.footage import FootageAnswer, FoundSpan, Searched
from leaktrack.model.photo import Photo
from leaktrack.model.record import added
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.workflows import ask_footage
from leaktrack.workflows.ask_footage import ask_for_joint, ask_for_station, find_asked


def a_photo(name):
    return Photo(
        sha256=name.ljust(64, "0"), file_type="jpg", original_name=name, size_bytes=1,
        width_px=1000, height_px=800,
    )  # fmt: skip


@pytest.fixture
def joint(project, filled):
    """A joint with five bolts, 100 px apart in a photo from afar, 200 px in a close one."""
    zone_id = project.all(Joint)[0].zone_id
    joint = Joint(zone_id=zone_id, name="Sump", seal_kind=project.all(Joint)[0].seal_kind)
    project.apply(added(joint, *(Bolt(joint_id=joint.id, number=each) for each in range(1, 6))))
    return joint


def draw(project, joint, name, step_px):
    photo = a_photo(name)
    points = tuple(
        LinePoint(PointPx(100.0 + step_px * place, 400.0), place + 1) for place in range(5)
    )
    line = JointLine(joint_id=joint.id, photo_id=photo.id, points=points)
    project.apply(added(photo, line))
    return photo


def test_a_place_is_asked_for_where_it_is_seen_largest(project, joint):
    draw(project, joint, "afar", 100)
    close = draw(project, joint, "close", 200)

    ask = ask_for_station(project, joint.id, 2.5)

    assert ask.photo_id == close.id
    assert [query.place for query in ask.queries] == [PointPx(400, 400), PointPx(250, 400)]
    assert ask.queries[0].box.left == 100  # three bolt spacings, around the place
    assert ask.queries[0].box.width == 600
    assert ask.words == "Sump, bolt 2.5"


def test_a_photo_of_the_sealing_goes_before_a_larger_one(project, joint, filled):
    afar = draw(project, joint, "afar", 100)
    draw(project, joint, "close", 200)
    done_at = project.all(SealingJob)[0].done_at
    job = SealingJob(joint_id=joint.id, done_at=done_at)
    project.apply(added(job, Evidence(sealing_job_id=job.id, photo_id=afar.id)))

    assert ask_for_station(project, joint.id, 2.5).photo_id == afar.id
    assert ask_for_joint(project, joint.id).photo_id == afar.id


def test_boxes_stay_on_the_photo(project, joint):
    draw(project, joint, "close", 200)

    (query,) = ask_for_station(project, joint.id, 1.0).queries

    assert query.box.left == 0
    assert query.box.left + query.box.width <= 999


def test_a_joint_without_a_line_says_what_to_do(project, joint):
    with pytest.raises(BadInput, match="No photo has the line of 'Sump' at bolt 2"):
        ask_for_station(project, joint.id, 2.0)
    with pytest.raises(BadInput, match="Draw it in a photo"):
        ask_for_joint(project, joint.id)


def test_a_closed_joint_has_no_place_past_its_last_bolt(project, joint):
    closed = Joint(zone_id=joint.zone_id, name="Cap", seal_kind=joint.seal_kind, is_closed=True)
    photo = a_photo("cap")
    corners = ((300.0, 300.0), (600.0, 300.0), (450.0, 500.0))
    points = tuple(LinePoint(PointPx(*at), number + 1) for number, at in enumerate(corners))
    bolts = [Bolt(joint_id=closed.id, number=each) for each in (1, 2, 3)]
    line = JointLine(joint_id=closed.id, photo_id=photo.id, points=points)
    project.apply(added(closed, photo, *bolts, line))

    assert ask_for_station(project, closed.id, 4.0).queries[0].place == PointPx(300, 300)
    with pytest.raises(BadInput, match="runs back into its start after bolt 3"):
        ask_for_station(project, closed.id, 4.6)


def test_what_could_not_be_searched_is_passed_on(project, joint, monkeypatch):
    draw(project, joint, "close", 200)
    ask = ask_for_station(project, joint.id, 2.5)
    nothing = FootageAnswer(spans=(), notes=("broken",), searched=Searched.PART)
    monkeypatch.setattr(ask_footage, "find_in_clips", lambda *_: nothing)

    assert find_asked(project, ask, ()) == nothing


def test_the_next_photo_is_tried_where_the_first_is_not_found(project, joint, monkeypatch):
    draw(project, joint, "afar", 100)
    draw(project, joint, "close", 200)
    ask = ask_for_station(project, joint.id, 2.5)
    span = FoundSpan(video=Path("a.mp4"), start_ms=0, end_ms=9, best_ms=5, score=0.9)
    answers = iter([FootageAnswer(spans=(), notes=("broken",)),
                    FootageAnswer(spans=(span,), notes=("broken",))])  # fmt: skip
    asked = []

    def find(_project, query, _clips, _progress):
        asked.append(query)
        return next(answers)

    monkeypatch.setattr(ask_footage, "find_in_clips", find)

    assert find_asked(project, ask, ()) == FootageAnswer(spans=(span,), notes=("broken",))
    assert asked == list(ask.queries)
