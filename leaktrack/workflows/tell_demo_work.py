"""Tell what the demo engine's people did: photos, lines, sealing jobs, marks, verdicts, a plan."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from uuid import UUID

from leaktrack.model.caution import Caution
from leaktrack.model.engine import LinePoint
from leaktrack.model.errors import BadInput
from leaktrack.model.leak import Fluid, SeepageGrade
from leaktrack.model.photo import TakenAt
from leaktrack.model.record import Edit
from leaktrack.model.redo_plan import AnyOf, RedoPart, StepNeed
from leaktrack.model.sealing_job import BeadPlace, Part, PartCondition, SealingJob, TorquePass
from leaktrack.model.trace import CauseState
from leaktrack.workflows.add_photos import Outcome, add_photos
from leaktrack.workflows.audit_bead import audit_bead, keep_audit
from leaktrack.workflows.carry_joint_lines import carry_joint_line
from leaktrack.workflows.clips import add_clip
from leaktrack.workflows.draw_joint_line import draw_joint_line
from leaktrack.workflows.mark_leaks import MarkFacts, add_leak
from leaktrack.workflows.measure_scale import measure_scale
from leaktrack.workflows.plan_redo import keep_plan, new_access_step, new_task
from leaktrack.workflows.project import Progress
from leaktrack.workflows.record_sealing_job import add_evidence, record_job
from leaktrack.workflows.tell_demo_story import DemoStory, Told, only, point_of, time_of
from leaktrack.workflows.trace_leak import set_verdict


def add_story_photos(story: DemoStory, progress: Progress) -> None:
    """Copy the photos into the project.

    Raises:
        BadInput: A photo is missing or damaged.
        Cancelled: Stopped by ``progress``.
    """
    wanted = list(_photo_places(story))
    for done, (name, place) in enumerate(wanted):
        progress(done, len(wanted), name)
        batch = add_photos(story.project, [story.folder / "photos" / name], **place)
        result = batch.results[0]
        if result.outcome is Outcome.REFUSED or result.photo is None:
            raise BadInput(f"The demo photo {name} cannot be used: {result.reason}")
        story.apply(batch.edit)
        story.keys[name] = result.photo.id


def _photo_places(story: DemoStory) -> Iterator[tuple[str, Told]]:
    for name, told in story.told["photos"].items():
        yield (
            name,
            {
                "zone_id": story.key(told["zone"]),
                "inspection_id": story.key(told["inspection"]),
            },
        )
    for told in story.told["checks"]:
        for name in told["photos"]:
            yield name, {"check_id": story.key(told["key"])}
    for told in story.told["jobs"]:
        for name in told["photos"]:
            yield name, {}


def measure_scales(story: DemoStory) -> None:
    """Take the scale of the photos in which the printed target lies, 30 mm wide.

    Raises:
        BadInput: A target is not found.
    """
    for name in story.told["with_target"]:
        story.apply(measure_scale(story.project, story.key(name)))


def draw_lines(story: DemoStory, progress: Progress) -> None:
    """Draw each joint once; carry the line to the zone's other photos and look at it there.

    Where the program is not sure of a carried line, the people dragged it right by hand.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    for told in story.told["zones"]:
        joint_id = story.key(told["joint"]["name"])
        _draw(story, joint_id, told["reference_photo"], told["joint"]["line"])
    zones = {told["name"]: told for told in story.told["zones"]}
    later = list(story.told["corrected_lines"].items())
    for done, (name, corrected) in enumerate(later):
        progress(done, len(later), f"joint line in {name}")
        zone = zones[story.told["photos"][name]["zone"]]
        joint_id = story.key(zone["joint"]["name"])
        proposal = carry_joint_line(story.project, joint_id, story.key(name))
        if proposal is not None and proposal.is_sure:
            points = proposal.line.points
            story.apply(draw_joint_line(story.project, joint_id, story.key(name), points))
        else:
            _draw(story, joint_id, name, corrected)


def _draw(story: DemoStory, joint_id: UUID, photo: str, line: list[Told]) -> None:
    points = [
        LinePoint(
            point_of(point["at"]),
            point.get("bolt"),
            point_of(point["head"]) if "head" in point else None,
        )
        for point in line
    ]
    story.apply(draw_joint_line(story.project, joint_id, story.key(photo), points))


def tell_jobs(story: DemoStory) -> None:
    """Record the sealing jobs with their photos and the footage."""
    told_clip = story.told["clip"]
    clip, edit = add_clip(
        story.project,
        story.folder / told_clip["file"],
        told_clip["name"],
        _camera_time(told_clip["recorded"]),
    )
    story.apply(edit)
    for told in story.told["jobs"]:
        job = SealingJob(
            joint_id=story.key(told["joint"]),
            material_id=story.key(told["material"]),
            done_at=datetime.fromisoformat(told["done_at"]),
            bead_place=BeadPlace(told["bead_place"]),
            bead_laid_at=time_of(told["bead_laid_at"]),
            closed_at=time_of(told["closed_at"]),
            filled_at=time_of(told["filled_at"]),
            unknown_facts=tuple(told.get("unknown", ())),
            **only(
                told,
                *("key", "joint", "material", "done_at", "bead_place", "bead_laid_at"),
                *("closed_at", "filled_at", "unknown", "torque", "parts", "photos", "spans"),
            ),
        )
        story.apply(_job_edit(story, job, told))
        story.keys[told["key"]] = job.id
        for span in told["spans"]:
            story.apply(add_evidence(story.project, job.id, clip_id=clip.id, **span))


def measure_beads(story: DemoStory, progress: Progress) -> None:
    """Draw each joint in the photos of its bare flange; measure the bead in some and keep it.

    Some photos are left for whoever tries the program.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    lines, measured = story.told["bead_lines"], story.told["beads_measured"]
    for told in story.told["jobs"]:
        for name in told["photos"]:
            if name in lines:
                _draw(story, story.key(told["joint"]), name, lines[name])
            if name in measured:
                progress(measured.index(name), len(measured), f"bead in {name}")
                audit = audit_bead(story.project, story.key(told["key"]), story.key(name))
                story.apply(keep_audit(story.project, audit))


def _job_edit(story: DemoStory, job: SealingJob, told: Told) -> Edit:
    passes = [
        TorquePass(sealing_job_id=job.id, number=number, **torque)
        for number, torque in enumerate(told["torque"], start=1)
    ]
    parts = [
        Part(
            sealing_job_id=job.id,
            condition=PartCondition(part["condition"]),
            **only(part, "condition"),
        )
        for part in told["parts"]
    ]
    return record_job(story.project, job, passes, parts, [story.key(n) for n in told["photos"]])


def _camera_time(text: str) -> TakenAt:
    at = datetime.fromisoformat(text)
    offset = at.utcoffset()
    minutes = None if offset is None else round(offset / timedelta(minutes=1))
    return TakenAt(at.replace(tzinfo=None), minutes)


def tell_marks(story: DemoStory) -> None:
    """Mark and grade what was wet, and what was looked at and dry."""
    joints = {told["number"]: story.key(told["joint"]) for told in story.told["leaks"]}
    # Leaks are numbered as they are met, so that the story's numbers and the project's agree.
    for told in sorted(story.told["marks"], key=lambda mark: mark["leak"]):
        facts = MarkFacts(
            source_px=point_of(told["source"]),
            outline_px=tuple(point_of(pair) for pair in told.get("outline", ())),
            fluid=Fluid(told.get("fluid", "unknown")),
            has_hanging_drop=told.get("has_hanging_drop"),
            note=told.get("note", ""),
        )
        mark, edit = add_leak(
            story.project,
            story.key(told["photo"]),
            SeepageGrade(told["grade"]),
            leak_id=story.keys.get(f"leak {told['leak']}"),
            joint_id=joints[told["leak"]],
            **facts,
        )
        story.apply(edit)
        story.keys[f"leak {told['leak']}"] = mark.leak_id


def tell_verdicts(story: DemoStory) -> None:
    """Set what the people decided about causes."""
    for told in story.told["causes"]:
        job_id = story.key(told["job"])
        joint = next(job["joint"] for job in story.told["jobs"] if job["key"] == told["job"])
        story.apply(
            set_verdict(
                story.project,
                story.key(f"leak {told['leak']}"),
                job_id,
                CauseState(told["state"]),
                told["reason"],
                story.key(f"{joint}/{told['bolt']}") if told["bolt"] else None,
                decided_at=time_of(told["decided_at"]),
            )
        )


def tell_plan(story: DemoStory) -> None:
    """Write down access steps and tasks, and keep the plan they decided on."""
    tell_redo_work(story)
    plan = story.told["plan"]
    story.apply(keep_plan(story.project, story.engine_id, plan["note"], time_of(plan["made_at"])))


_OF_WORK = ("needs", "cautions", "parts", "tools")


def tell_redo_work(story: DemoStory) -> None:
    """Write down access steps and tasks."""
    for told in story.told["steps"]:
        step, edit = new_access_step(
            story.project,
            story.engine_id,
            **only(told, "key", *_OF_WORK),
            **_work(story, told),
        )
        story.apply(edit)
        story.keys[told["key"]] = step.id
    for told in story.told["tasks"]:
        _, edit = new_task(
            story.project,
            story.engine_id,
            joint_id=story.key(told["joint"]) if told["joint"] else None,
            check_id=story.key(told["check"]) if told["check"] else None,
            **only(told, "joint", "check", *_OF_WORK),
            **_work(story, told),
        )
        story.apply(edit)


def _work(story: DemoStory, told: Told) -> Told:
    return {
        "needs": [_need(story, need) for need in told["needs"]],
        "cautions": [Caution(name) for name in told["cautions"]],
        "parts": [RedoPart(**part) for part in told.get("parts", ())],
        "tools": told.get("tools", ()),
    }


def _need(story: DemoStory, told: str | Told) -> StepNeed:
    if isinstance(told, str):
        return story.key(told)
    return AnyOf(tuple(tuple(map(story.key, route)) for route in told["any_of"]))
