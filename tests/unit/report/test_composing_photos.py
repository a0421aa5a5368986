from dataclasses import replace

from leaktrack.report.composing import composed
from leaktrack.report.contents import (
    Gallery,
    Paragraph,
    Picture,
    Table,
)
from leaktrack.report.findings import PictureFile
from tests.unit.report import sample
from tests.unit.report.reading_contents import blocks, section, sentences
from tests.unit.report.sample import FINDINGS


def test_marked_photos_stand_large_with_a_table_and_plain_ones_beside_each_other():
    contents = composed(FINDINGS)

    marked = blocks(contents, "Photos", Picture)
    plain = blocks(contents, "Photos", Gallery)
    assert [picture.file for picture in marked] == ["p0.jpg", "p3.jpg"]
    assert [picture.file for picture in plain[0].pictures] == ["p1.jpg", "p2.jpg"]


def test_a_photo_says_in_words_which_marks_it_shows():
    picture = blocks(composed(FINDINGS), "Photos", Picture)[0]

    assert picture.alternative == (
        "Bank 1 cover, 4 April 2026, After 4 hours: 2 marks: 1 drip, 1 seep"
    )
    assert picture.caption == (
        "cover_i2.jpg, taken 4 April 2026, 16:05 by the camera's clock, white light"
    )


def test_marks_are_placed_as_fractions_of_the_photo_whose_pixels_are_half_a_pixel_off_its_edge():
    mark = blocks(composed(FINDINGS), "Photos", Picture)[0].marks[0]

    assert mark.source is not None
    assert (mark.source.x, mark.source.y) == (380.5 / 1000, 400.5 / 800)


def test_the_table_of_a_photo_tells_what_its_marks_say():
    table = next(
        one for one in blocks(composed(FINDINGS), "Photos", Table) if "cover_i2" in one.caption
    )

    assert [[cell.text for cell in row] for row in table.rows] == [
        ["Leak 1", "", "about 264 mm²", "Engine oil; 2 drops per minute; Runs down to the rib."],
        ["Leak 2", "", "about 45 mm²", "Wet again 180 min after wiping"],
    ]


def test_a_zone_that_was_not_photographed_says_so():
    quiet = [block for block in blocks(composed(FINDINGS), "Photos", Paragraph) if block.is_quiet]

    assert [block.text for block in quiet] == ["Not photographed."] * 3


def test_a_photo_that_cannot_be_opened_is_named_and_keeps_its_table():
    pictures = {key: file for key, file in FINDINGS.pictures.items() if file.file != "p0.jpg"}

    contents = composed(replace(FINDINGS, pictures=pictures))

    assert Paragraph("cover_i2.jpg cannot be opened.") in section(contents, "Photos").blocks
    assert "These photos could not be opened: cover_i2.jpg." in sentences(
        contents, "What this report does not know"
    )
    assert any("cover_i2" in table.caption for table in blocks(contents, "Photos", Table))


def test_wet_areas_without_a_scale_are_said_to_have_no_size():
    photos = tuple(replace(photo, mm_per_px=None) for photo in FINDINGS.photos)

    contents = composed(replace(FINDINGS, photos=photos))

    assert (
        "No scale is known for 1 photo with wet areas, so these have no size in mm²."
        in sentences(contents, "What this report does not know")
    )


def test_a_still_stands_for_the_span_of_its_clip():
    still = {sample.CLIP_EVIDENCE.id: PictureFile("still.jpg", 640, 360)}

    contents = composed(replace(FINDINGS, pictures={**FINDINGS.pictures, **still}))

    heading = "Where the leaks come from"
    gallery = blocks(contents, heading, Gallery)[0]
    assert [picture.file for picture in gallery.pictures] == ["p4.jpg", "still.jpg"]
    assert gallery.pictures[1].caption == (
        "Still from Assembly, 8 March, 0:08.2 to 0:24.8: bead, left to right"
    )
    assert not any("Footage" in text for text in sentences(contents, heading))


def test_the_photos_of_a_zone_without_marks_stand_beside_each_other_with_their_dates():
    contents = composed(replace(FINDINGS, marks=()))

    galleries = blocks(contents, "Photos", Gallery)
    assert [picture.caption for picture in galleries[0].pictures] == [
        "14 March 2026, Baseline, not yet run. cover_i0.jpg",
        "14 March 2026, Baseline, not yet run. cover_i0_b.jpg",
        "4 April 2026, After 4 hours. cover_i2.jpg, taken 4 April 2026, 16:05 by the camera's "
        "clock, white light",
    ]
    assert (
        Paragraph("Not photographed: 21 March 2026, After 25 minutes on the stand.", is_quiet=True)
        in section(contents, "Photos").blocks
    )
