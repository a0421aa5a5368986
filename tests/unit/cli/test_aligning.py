"""The truth is the matrix that the second photo was drawn with."""

import json

import numpy as np
import pytest

from leaktrack.cli.main import main
from tests.pictures import casting, relit, seen_through, tilt, write_photo

SIZE = (1000, 750)
MATRIX = tilt(*SIZE, turn_deg=4, zoom=1.08, lean=0.1)
PLACES = {"bolt 5": (500.0, 431.0), "rib": (300.0, 300.0), "pit": (720.5, 610.25)}
CORNER = (2.0, 2.0)


@pytest.fixture(scope="module")
def photos(tmp_path_factory):
    """A photo, the same seen from elsewhere, black and tiny ones, and one of another casting."""
    folder = tmp_path_factory.mktemp("photos")
    one = casting(*SIZE)
    write_photo(folder / "before.jpg", one)
    write_photo(folder / "after.jpg", relit(seen_through(one, MATRIX), gain=0.9))
    write_photo(folder / "turned.jpg", relit(seen_through(one, MATRIX), gain=0.9), orientation=6)
    write_photo(folder / "black.jpg", np.zeros((750, 1000, 3), np.uint8))
    write_photo(folder / "tiny.png", one[:20, :20])
    write_photo(folder / "one pixel.png", one[:1, :1])
    write_photo(folder / "other.jpg", casting(*SIZE, seed=7))
    (folder / "text.jpg").write_text("not a photo")
    return folder


@pytest.fixture(scope="module", autouse=True)
def _one_cache(tmp_path_factory):
    """Find the points of a photo once for the whole module."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("LEAKTRACK_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def points_file(tmp_path):
    file = tmp_path / "points.csv"
    places = {**PLACES, "corner": CORNER}
    file.write_text("id,x,y\n" + "".join(f"{name},{x},{y}\n" for name, (x, y) in places.items()))
    return str(file)


@pytest.fixture
def aligned(photos, points_file, json_of):
    def run(reference, new, points=points_file):
        return json_of("align", str(photos / reference), str(photos / new), "--points", points)

    return run


def seen_from_elsewhere(x, y):
    x, y, w = MATRIX @ (x, y, 1)
    return x / w, y / w


@pytest.mark.parametrize("new", ["after.jpg", "turned.jpg"])
def test_places_are_found_where_the_matrix_puts_them(aligned, new):
    document = aligned("before.jpg", new)

    assert document["state"] == "aligned"
    assert document["new_size_px"] == list(SIZE)
    assert [point["id"] for point in document["points"]] == [*PLACES, "corner"]
    for point, place in zip(document["points"], PLACES.values(), strict=False):
        assert point["state"] == "carried"
        away = np.hypot(*np.subtract((point["x"], point["y"]), seen_from_elsewhere(*place)))
        assert away < 3 * point["sigma_px"] < 15


def test_a_place_that_is_out_of_the_new_picture_has_no_numbers(aligned):
    assert min(seen_from_elsewhere(*CORNER)) < -20

    assert aligned("before.jpg", "after.jpg")["points"][-1] == {
        "id": "corner",
        "x": None,
        "y": None,
        "sigma_px": None,
        "state": "outside",
    }


def test_a_photo_lies_on_itself(aligned):
    document = aligned("before.jpg", "before.jpg")

    assert document["state"] == "aligned"
    assert document["warnings"][0] == "Both photos are the same file."
    for point, place in zip(document["points"], PLACES.values(), strict=False):
        assert (point["x"], point["y"]) == pytest.approx(place, abs=0.5)


@pytest.mark.parametrize(
    "new",
    [
        *("black.jpg", "one pixel.png"),
        *(pytest.param(new, marks=pytest.mark.thorough) for new in ("tiny.png", "other.jpg")),
    ],
)
def test_what_has_nothing_in_common_is_said_to_have_failed(aligned, new):
    document = aligned("before.jpg", new)

    assert document["state"] == "failed"
    assert "cannot be laid over before.jpg" in document["warnings"][0]
    assert {(one["x"], one["sigma_px"], one["state"]) for one in document["points"]} == {
        (None, None, "uncertain")
    }


def test_a_black_photo_does_not_even_lie_on_itself(aligned):
    assert aligned("black.jpg", "black.jpg")["state"] == "failed"


def test_the_table_says_what_its_numbers_mean(photos, points_file, capsys):
    before, after = str(photos / "before.jpg"), str(photos / "after.jpg")

    assert main(["align", before, after, "--points", points_file]) == 0

    told = " ".join(capsys.readouterr().out.split())
    assert "before.jpg to after.jpg: aligned." in told
    assert "Id x y +- px Place" in told
    assert "outside this photo" in told
    assert "about two of three places lie within it" in told


def test_a_person_is_told_when_it_failed(photos, points_file, capsys):
    before, black = str(photos / "before.jpg"), str(photos / "black.jpg")

    assert main(["align", before, black, "--points", points_file]) == 0

    told = " ".join(capsys.readouterr().out.split())
    assert told.startswith("before.jpg to black.jpg: failed. black.jpg cannot be laid over")
    assert "Id" not in told


@pytest.mark.parametrize(
    ("new", "complaint"),
    [("text.jpg", "text.jpg is not a photo"), ("none.jpg", "none.jpg cannot be opened: ")],
)
def test_what_is_no_photo_is_refused(photos, points_file, capsys, new, complaint):
    command = ["align", str(photos / "before.jpg"), str(photos / new), "--points", points_file]

    assert main(command) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert complaint in told.err


@pytest.mark.parametrize(
    ("rows", "complaint"),
    [
        ("a,1,2\nb,3,4\na,5,6", "line 4: id a stands in line 2 already"),
        ("a,1,2\nb,1000,4", "line 3: 1000, 4 is not in before.jpg, which is 1000 x 750 px"),
        ("a,-1,2", "line 2: -1, 2 is not in before.jpg"),
        ("a,1,two", "line 2: y is 'two', which is not a number"),
    ],
)
def test_points_that_cannot_be_are_refused_with_their_line(
    photos, tmp_path, capsys, rows, complaint
):
    file = tmp_path / "points.csv"
    file.write_text(f"id,x,y\n{rows}\n")
    before = str(photos / "before.jpg")

    assert main(["align", before, before, "--points", str(file), "--json"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert complaint in told.err


def test_the_points_are_asked_for(photos, capsys):
    assert main(["align", str(photos / "before.jpg"), str(photos / "after.jpg")]) == 2
    assert "--points" in capsys.readouterr().err


def test_what_was_found_once_is_found_in_the_cache(aligned, monkeypatch):
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher

    first = aligned("before.jpg", "after.jpg")
    monkeypatch.setattr(LearnedMatcher, "features", None)

    assert json.dumps(aligned("before.jpg", "after.jpg")) == json.dumps(first)


def test_more_photos_of_the_zone_are_read_too(photos, points_file, capsys):
    files = [str(photos / name) for name in ("before.jpg", "after.jpg", "text.jpg")]

    assert main(["align", *files[:2], "--points", points_file, "--through", files[2]]) == 1
    assert "text.jpg" in capsys.readouterr().err
