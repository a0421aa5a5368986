"""A library of access steps and tasks that engines take theirs from."""

from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.caution import Caution
from leaktrack.model.engine import SealKind
from leaktrack.model.redo_plan import RedoPart
from leaktrack.model.redo_problem import Need
from leaktrack.model.redo_terms import WorkEstimate


@dataclass(frozen=True, slots=True, kw_only=True)
class LibraryStep:
    """An access step of no certain engine; its needs are ids of other steps of the library."""

    id: str
    name: str
    hours: float
    refit_hours: float = 0.0
    money: float = 0.0
    needs: tuple[Need, ...] = ()
    parts: tuple[RedoPart, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LibraryTask:
    """A task of no certain engine.

    Attributes:
        name: Where it says {joint}, the name of the joint goes.
        fits: Words in the name of a joint that it seals again; all words of one text must be there.
            Empty for a task that is about no joint.
        seal_kinds: Kinds of seal that it is for; empty for all.
    """

    id: str
    name: str
    hours: float
    money: float = 0.0
    cure_h: float = 0.0
    does_cure_block_refit: bool = False
    needs: tuple[Need, ...] = ()
    fits: tuple[str, ...] = ()
    seal_kinds: tuple[SealKind, ...] = ()
    parts: tuple[RedoPart, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class RedoLibrary:
    """All that can be taken."""

    steps: tuple[LibraryStep, ...]
    tasks: tuple[LibraryTask, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A step or task of the library, as it is for one engine.

    Attributes:
        joint_ids: Joints that a task fits and for which the engine has no such task yet.
        joint_names: Their names.
        is_taken: The engine has it, for every joint that it fits.
        estimate: How long it takes: taking off for a step.
        refit: How long putting back takes; None for a task.
    """

    item: LibraryStep | LibraryTask
    joint_ids: tuple[UUID, ...] = ()
    joint_names: tuple[str, ...] = ()
    is_taken: bool
    estimate: WorkEstimate
    refit: WorkEstimate | None = None
