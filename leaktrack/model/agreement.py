"""How well two people agree who graded the same places, and the grades of the second one."""

from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from leaktrack.model.figure import Figure
from leaktrack.model.identity import new_id
from leaktrack.model.leak import SeepageGrade


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindGrade:
    """The grade that somebody gave a leak in a photo without seeing what others gave it.

    Attributes:
        graded_by: Who; never empty.
    """

    id: UUID = field(default_factory=new_id)
    leak_id: UUID
    photo_id: UUID
    grade: SeepageGrade
    graded_by: str
    graded_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Kappa:
    """How well two people agree beyond chance: 1 always, 0 as often as by chance.

    Attributes:
        figure: With its 95 % interval; None where it is undefined: both gave one single grade.
    """

    figure: Figure | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """Two people's grades of the same places, held against each other.

    Attributes:
        first: Who graded first, or what stands for it where nobody wrote it down.
        second: Who graded after.
        count: Places that both could see.
        same: Of these, with the same grade.
        near: With grades one apart.
        unseen: Places that one of them could not see; they count nowhere else.
        higher: Places where the second person's grade is higher.
        lower: Where it is lower.
        table: Rows: the first person's grade 0 to 5, columns: the second's.
    """

    first: str
    second: str
    count: int
    same: int
    near: int
    unseen: int
    higher: int
    lower: int
    plain: Kappa
    linear: Kappa
    quadratic: Kappa
    table: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Agreements:
    """How well all people agree who graded places of an engine.

    Attributes:
        pairs: Each two of them with places in common.
        people: How many graded the places that all of them graded.
        together: How many places that were.
        fleiss: Fleiss' kappa of three people and more; None: fewer, or undefined.
    """

    pairs: tuple[Agreement, ...]
    people: int = 0
    together: int = 0
    fleiss: float | None = None
