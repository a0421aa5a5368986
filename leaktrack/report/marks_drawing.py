"""Draw leak marks over a photo: outline, source and a tag with the leak's number and grade."""

from dataclasses import dataclass

from leaktrack.model.palette import CHALK, INK
from leaktrack.model.words import grade_words
from leaktrack.report.colors import LIGHT, fill, ink_on
from leaktrack.report.contents import Picture, Place, ShownMark
from leaktrack.report.markup import Attributes, Markup, element, joined, void

LONGEST = 1600.0
"""Longer side of the drawing's view box; sizes below are in its units."""

_TEXT = 40.0
_TAG_HEIGHT = 60.0
_LETTER = 0.56 * _TEXT  # a little more than the average width, so that no tag is too short
_PADDING = 14.0
_REACHES = (90.0, 150.0, 230.0, 330.0)  # how far a tag may sit from its source, nearest first
_DIRECTIONS = ((1, -1), (-1, -1), (1, 1), (-1, 1), (0, -1), (0, 1), (1, 0), (-1, 0))
_MARGIN = 8.0


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle in the drawing."""

    left: float
    top: float
    width: float
    height: float

    def overlaps(self, other: "Box") -> bool:
        """Whether the two share some ground."""
        return (
            self.left < other.left + other.width
            and other.left < self.left + self.width
            and self.top < other.top + other.height
            and other.top < self.top + self.height
        )


def view_size(picture: Picture) -> tuple[float, float]:
    """Return width and height of the drawing that lies over a picture."""
    scale = LONGEST / max(picture.width_px, picture.height_px)
    return picture.width_px * scale, picture.height_px * scale


def marks_drawing(picture: Picture) -> Markup:
    """Return the marks of a picture as SVG elements, in a view box of ``view_size``.

    Lines are double, ink around chalk, so that they show on any photo.
    """
    width, height = view_size(picture)
    shown = [mark for mark in picture.marks if mark.source or mark.outline]
    anchors = [_scaled(_anchor(mark), width, height) for mark in shown]
    kept_free = [Box(x - 16, y - 16, 32, 32) for x, y in anchors]
    tags: list[Box] = []
    for mark, anchor in zip(shown, anchors, strict=True):
        tags.append(_tag_box(mark, anchor, kept_free + tags, Box(0, 0, width, height)))
    return joined(
        *(_outline(mark, width, height) for mark in shown),
        *(_leader(anchor, tag) for anchor, tag in zip(anchors, tags, strict=True)),
        *(_source(mark, anchor) for mark, anchor in zip(shown, anchors, strict=True)),
        *(_tag(mark, tag) for mark, tag in zip(shown, tags, strict=True)),
    )


def _anchor(mark: ShownMark) -> Place:
    """Return where the tag's leader ends: at the source, or else on top of the wet area."""
    return mark.source or min(mark.outline, key=lambda place: place.y)


def _scaled(place: Place, width: float, height: float) -> tuple[float, float]:
    return place.x * width, place.y * height


def _outline(mark: ShownMark, width: float, height: float) -> Markup | None:
    if not mark.outline:
        return None
    corners = (_scaled(place, width, height) for place in mark.outline)
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in corners) + "Z"
    return _double(path, 4)


def _leader(anchor: tuple[float, float], tag: Box) -> Markup:
    x, y = anchor
    nearest_x = min(max(x, tag.left + 8), tag.left + tag.width - 8)
    nearest_y = min(max(y, tag.top), tag.top + tag.height)
    return _double(f"M{x:.1f} {y:.1f}L{nearest_x:.1f} {nearest_y:.1f}", 3)


def _source(mark: ShownMark, anchor: tuple[float, float]) -> Markup | None:
    if mark.source is None:
        return None
    x, y = anchor
    ring: Attributes = {"cx": x, "cy": y, "r": 11.0, "fill": "none"}
    return joined(
        void("circle", **ring, stroke=INK, stroke_width=9),
        void("circle", **ring, stroke=CHALK, stroke_width=4),
    )


def _double(path: str, width: float) -> Markup:
    line: Attributes = {
        "d": path,
        "fill": "none",
        "stroke_linejoin": "round",
        "stroke_linecap": "round",
    }
    return joined(
        void("path", **line, stroke=INK, stroke_width=width + 5),
        void("path", **line, stroke=CHALK, stroke_width=width),
    )


def _tag(mark: ShownMark, box: Box) -> Markup:
    number_width = _number_width(mark)
    ground = fill(LIGHT, mark.grade)
    baseline = box.top + _TAG_HEIGHT / 2 + 0.35 * _TEXT
    text: Attributes = {"y": baseline, "text_anchor": "middle", "font_size": _TEXT}
    return joined(
        void(
            "rect",
            x=box.left,
            y=box.top,
            width=box.width,
            height=box.height,
            rx=7,
            fill=INK,
            stroke=CHALK,
            stroke_width=3,
        ),
        void(
            "rect",
            x=box.left + number_width,
            y=box.top + 4,
            width=box.width - number_width - 4,
            height=box.height - 8,
            rx=4,
            fill=ground,
        ),
        element(
            "text",
            str(mark.number),
            x=box.left + number_width / 2,
            fill=CHALK,
            font_weight="bold",
            **text,
        ),
        element(
            "text",
            grade_words(mark.grade),
            x=box.left + number_width + (box.width - number_width) / 2,
            fill=ink_on(ground),
            **text,
        ),
    )


def _number_width(mark: ShownMark) -> float:
    return len(str(mark.number)) * _LETTER + 2 * _PADDING


def _tag_size(mark: ShownMark) -> tuple[float, float]:
    grade_width = len(grade_words(mark.grade)) * _LETTER * 0.9 + 2 * _PADDING
    return _number_width(mark) + grade_width, _TAG_HEIGHT


def _tag_box(mark: ShownMark, anchor: tuple[float, float], taken: list[Box], photo: Box) -> Box:
    """Return the nearest free place for a tag; the first one inside the photo if all are taken."""
    width, height = _tag_size(mark)
    x, y = anchor
    boxes = [
        _inside(
            Box(
                x + right * reach * 0.6 + (right - 1) / 2 * width,
                y + down * reach + (down - 1) / 2 * height,
                width,
                height,
            ),
            photo,
        )
        for reach in _REACHES
        for right, down in _DIRECTIONS
    ]
    return next((box for box in boxes if not any(box.overlaps(other) for other in taken)), boxes[0])


def _inside(box: Box, photo: Box) -> Box:
    left = min(max(box.left, _MARGIN), photo.width - box.width - _MARGIN)
    top = min(max(box.top, _MARGIN), photo.height - box.height - _MARGIN)
    return Box(left, top, box.width, box.height)
