from leaktrack.report.showable import STAND_IN, only_european, only_showable


def test_text_that_the_fonts_have_stays_as_it_is():
    data = {"title": "Größe Ж ≤ 4 mm²", "rows": [["ok", 3, None, True]]}

    assert only_showable(data) == data


def test_only_the_characters_that_no_font_has_are_replaced():
    # Anatolian hieroglyphs: in no font that comes with typst or usually with a system.
    data = {"rows": [["a\U00014400b\U00014646c", "plain"]]}

    assert only_showable(data) == {"rows": [[f"a{STAND_IN}b{STAND_IN}c", "plain"]]}


def test_the_last_resort_keeps_letters_of_europe_alone():
    assert only_european(["Größe Ж"]) == [f"Größe {STAND_IN}"]
