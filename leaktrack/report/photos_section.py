"""Tell what each inspection saw: zone by zone, every photo with its marks and a table of them."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from uuid import UUID

from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Fluid, LeakMark, SeepageGrade, wetness
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx, area_px2
from leaktrack.model.words import word
from leaktrack.report.amounts import amount, count, sentence, taken
from leaktrack.report.contents import (
    Block,
    Cell,
    Gallery,
    Paragraph,
    Picture,
    Place,
    Section,
    ShownMark,
    Subheading,
    Table,
)
from leaktrack.report.findings import Findings
from leaktrack.report.naming import Names, by_id


def photos_section(findings: Findings, names: Names) -> Section:
    """Return the section with all photos of all inspections."""
    photos = _Photos(findings, names)
    blocks: list[Block] = []
    for zone_id in (*(zone.id for zone in findings.zones), None):
        shown = photos.of_zone(zone_id)
        if shown:
            title = names.zone(zone_id) if zone_id else "Photos of no zone"
            blocks += [Subheading(sentence(title)), *shown]
    if not blocks:
        blocks = [Paragraph("There are no photos yet.")]
    return Section("Photos", tuple(blocks))


class _Photos:
    """The photos of a report with their marks."""

    def __init__(self, findings: Findings, names: Names) -> None:
        self._findings = findings
        self._names = names
        self._leaks = by_id(findings.leaks)
        self._marks: dict[UUID, list[LeakMark]] = {}
        for mark in findings.marks:
            self._marks.setdefault(mark.photo_id, []).append(mark)

    def of_zone(self, zone_id: UUID | None) -> list[Block]:
        """Return the blocks of one zone, oldest inspection first.

        A zone without any mark needs no more than its photos beside each other.
        """
        looks = [(one, self._taken(zone_id, one)) for one in self._findings.inspections]
        if not any(photos for _, photos in looks) and zone_id is None:
            return []
        is_marked = any(self._marks.get(photo.id) for _, photos in looks for photo in photos)
        if not is_marked:
            return self._side_by_side(looks)
        blocks: list[Block] = []
        for inspection, photos in looks:
            blocks.append(Subheading(sentence(self._names.inspection(inspection)), 4))
            blocks += self._of_inspection(inspection, photos)
        return blocks

    def _taken(self, zone_id: UUID | None, inspection: Inspection) -> list[Photo]:
        return [
            photo
            for photo in self._findings.photos
            if photo.zone_id == zone_id and photo.inspection_id == inspection.id
        ]

    def _side_by_side(self, looks: list[tuple[Inspection, list[Photo]]]) -> list[Block]:
        pictures = [
            replace(picture, caption=f"{self._names.inspection(inspection)}. {picture.caption}")
            for inspection, photos in looks
            for photo in photos
            if (picture := self._picture(photo, [], inspection))
        ]
        missed = [self._names.inspection(inspection) for inspection, photos in looks if not photos]
        blocks: list[Block] = [Paragraph("No marks.", introduces=True)] if pictures else []
        if missed:
            blocks.append(Paragraph(f"Not photographed: {'; '.join(missed)}.", is_quiet=True))
        return [*blocks, Gallery(tuple(pictures))] if pictures else blocks

    def _of_inspection(self, inspection: Inspection, photos: list[Photo]) -> list[Block]:
        if not photos:
            return [Paragraph("Not photographed.", is_quiet=True)]
        blocks: list[Block] = []
        plain: list[Picture] = []
        for photo in photos:
            marks = sorted(self._marks.get(photo.id, ()), key=self._number)
            picture = self._picture(photo, marks, inspection)
            if picture and not marks:
                plain.append(picture)
                continue
            blocks += [picture] if picture else [Paragraph(f"{_name(photo)} cannot be opened.")]
            if marks:
                blocks.append(self._table(photo, marks))
        return [*blocks, Gallery(tuple(plain))] if plain else blocks

    def _number(self, mark: LeakMark) -> int:
        leak = self._leaks.get(mark.leak_id)
        return leak.number if leak else 0

    def _picture(
        self, photo: Photo, marks: list[LeakMark], inspection: Inspection
    ) -> Picture | None:
        file = self._findings.pictures.get(photo.id)
        if file is None:
            return None
        where = f"{sentence(self._names.zone(photo.zone_id))}, {self._names.inspection(inspection)}"
        return Picture(
            file=file.file,
            width_px=file.width_px,
            height_px=file.height_px,
            alternative=f"{where}: {marks_in_words(marks)}",
            caption=photo_caption(photo),
            marks=tuple(_shown(mark, self._number(mark), photo) for mark in marks),
        )

    def _table(self, photo: Photo, marks: list[LeakMark]) -> Table:
        rows = tuple(
            (
                Cell(f"Leak {self._number(mark)}", is_heading=True),
                Cell(grade=mark.grade),
                Cell(_wet_area(mark, photo)),
                Cell(_remarks(mark)),
            )
            for mark in marks
        )
        return Table(
            caption=f"Marks in {_name(photo)}",
            columns=("Leak", "Grade", "Wet area", "What was seen"),
            rows=rows,
            widths=(2, 3, 3, 7),
        )


def marks_in_words(marks: list[LeakMark]) -> str:
    """Return how many marks of which grade there are, wettest first.

    >>> from uuid import uuid4
    >>> drip = LeakMark(leak_id=uuid4(), photo_id=uuid4(), grade=SeepageGrade.DRIP)
    >>> marks_in_words([drip]), marks_in_words([])
    ('1 mark: 1 drip', 'no marks')
    """
    if not marks:
        return "no marks"
    grades = Counter(mark.grade for mark in marks)
    wettest_first = sorted(grades, key=lambda grade: wetness(grade) or 0, reverse=True)
    parts = ", ".join(f"{grades[grade]} {word(grade)}" for grade in wettest_first)
    return f"{count(len(marks), 'mark')}: {parts}"


def photo_caption(photo: Photo) -> str:
    """Return a photo's name, when it was taken and in which light."""
    parts = [_name(photo)]
    if photo.taken:
        parts.append(f"taken {taken(photo.taken)}")
    if photo.light:
        parts.append(word(photo.light))
    return ", ".join(parts) + (f". {photo.note}" if photo.note else "")


def _name(photo: Photo) -> str:
    return photo.original_name or f"photo {photo.sha256[:8]}"


def _shown(mark: LeakMark, number: int, photo: Photo) -> ShownMark:
    source = mark.source_px
    return ShownMark(
        number,
        mark.grade,
        _place(source, photo) if source else None,
        tuple(_place(corner, photo) for corner in mark.outline_px),
    )


def _place(point: PointPx, photo: Photo) -> Place:
    # The centre of the top left pixel is (0, 0), so the photo's edge is half a pixel before it.
    return Place((point.x + 0.5) / photo.width_px, (point.y + 0.5) / photo.height_px)


def _wet_area(mark: LeakMark, photo: Photo) -> str:
    if not mark.outline_px:
        return ""
    if photo.mm_per_px is None:
        return "no scale"
    return f"about {amount(area_px2(mark.outline_px) * photo.mm_per_px**2, 'mm²')}"


def _remarks(mark: LeakMark) -> str:
    return sentence("; ".join(_remark_parts(mark)))


def _remark_parts(mark: LeakMark) -> Iterator[str]:
    if mark.fluid is not Fluid.UNKNOWN:
        yield word(mark.fluid)
    if mark.has_hanging_drop:
        yield "a drop hangs"
    if mark.drops_per_minute is not None:
        yield f"{amount(mark.drops_per_minute)} drops per minute"
    if mark.did_reappear is False:
        yield "stayed away after wiping"
    if mark.reappears_after_min is not None:
        yield f"wet again {amount(mark.reappears_after_min, 'min')} after wiping"
    if mark.source_px is None and mark.grade is not SeepageGrade.NOT_SEEN:
        yield "source outside this photo"
    if mark.note:
        yield mark.note
