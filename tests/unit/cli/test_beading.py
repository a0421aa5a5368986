"""``leaktrack bead``: the document, the words, and what it says of input that cannot be."""

import json

import numpy as np
import pytest
from PIL import Image

from leaktrack.cli.main import main
from tests.paint_beads import Painting, painted


@pytest.fixture(scope="module")
def bench(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bench")
    seen = painted(
        Painting(gaps=((30.0, 33.0),), reach_mm=(64.0, 17.0), px_per_mm=8.0, wander=0.03)
    )
    Image.fromarray(seen.rgb).save(folder / "bead.png")
    last = np.array(seen.rgb.shape[1::-1])
    is_seen = ((seen.path_px > 4) & (seen.path_px < last - 5)).all(axis=1)
    rows = np.column_stack([seen.path_px, seen.along_mm])[is_seen][::12]
    (folder / "path.csv").write_text(
        "x,y,s_mm\n" + "".join(f"{x:.2f},{y:.2f},{s:.2f}\n" for x, y, s in rows)
    )
    (folder / "plain.csv").write_text("x,y\n" + "".join(f"{x:.2f},{y:.2f}\n" for x, y, _ in rows))
    ends = rows[[0, -1]]
    (folder / "ends.csv").write_text("x,y\n" + "".join(f"{x:.2f},{y:.2f}\n" for x, y, _ in ends))
    (folder / "far.csv").write_text("x,y\n10,10\n99999,10\n")
    return folder


def run(bench, *arguments):
    return main(["bead", str(bench / "bead.png"), *arguments])


def test_the_document_keeps_its_promise(bench, capsys):
    assert run(bench, "--path", str(bench / "path.csv"), "--bead-mm", "3", "--json") == 0

    told = json.loads(capsys.readouterr().out)
    assert (told["state"], told["verdict"]) == ("read", "defective")
    (gap,) = told["defects"]
    assert gap["kind"] == "gap"
    assert gap["start_mm"] == pytest.approx(30, abs=1)
    assert gap["end_mm"] == pytest.approx(33, abs=1)
    assert gap["min_width_mm"] == 0
    assert 0.5 <= gap["score"] <= 1
    widths = [point["width_mm"] for point in told["profile"]]
    assert np.median(widths) == pytest.approx(3.0, rel=0.1)
    assert {"s_mm", "width_mm", "offset_mm"} <= told["profile"][0].keys()


def test_without_scale_the_keys_end_in_px(bench, capsys):
    assert run(bench, "--path", str(bench / "plain.csv"), "--json") == 0

    told = json.loads(capsys.readouterr().out)
    assert told["scale"] is None
    assert {"s_px", "width_px", "offset_px"} <= told["profile"][0].keys()
    assert {"start_px", "end_px", "min_width_px"} <= told["defects"][0].keys()


def test_people_read_what_is_wrong_and_what_is_allowed(bench, capsys):
    assert run(bench, "--path", str(bench / "path.csv"), "--bead-mm", "3") == 0

    told = " ".join(capsys.readouterr().out.split())
    assert "bead.png: defective." in told
    assert "Allowed: 2.2 to 3.8 mm" in told or "Allowed: 2.3 to 3.8 mm" in told
    assert "gap" in told


def test_a_point_far_outside_is_named_with_its_line(bench, capsys):
    assert run(bench, "--path", str(bench / "far.csv")) == 1

    assert "far.csv, line 3" in capsys.readouterr().err


def test_a_missing_column_is_named(bench, tmp_path, capsys):
    (tmp_path / "odd.csv").write_text("x,s_mm\n1,2\n")

    assert run(bench, "--path", str(tmp_path / "odd.csv")) == 1

    assert "there is no column y" in capsys.readouterr().err


def test_two_clicks_are_enough_where_the_bead_is_followed(bench, capsys):
    assert run(bench, "--path", str(bench / "ends.csv"), "--follow", "--json") == 0

    told = json.loads(capsys.readouterr().out)
    assert [each["kind"] for each in told["defects"]] == ["gap"]


def test_following_and_telling_places_do_not_go_together(bench, capsys):
    assert run(bench, "--path", str(bench / "path.csv"), "--follow") == 1

    assert "finds its own length" in capsys.readouterr().err


def test_holes_are_told_with_the_side_on_which_the_bead_passes(bench, capsys):
    # The path runs to the right; by its map one hole lies 7.97 mm off it, one on it.
    rows = np.loadtxt(bench / "path.csv", delimiter=",", skiprows=1)
    (ax, ay), (bx, by) = rows[len(rows) // 4, :2], rows[3 * len(rows) // 4, :2]
    table = bench / "holes.csv"
    table.write_text(f"id,x,y,radius\na,{ax:.1f},{ay - 60:.1f},2\nb,{bx:.1f},{by:.1f},2\n")
    paths = "--path", str(bench / "path.csv"), "--holes", str(table)

    assert run(bench, *paths, "--inside", "right", "--json") == 0

    told = json.loads(capsys.readouterr().out)["holes"]
    assert [(each["id"], each["side"]) for each in told] == [("a", "inside"), ("b", "over")]
    assert told[0]["clearance_mm"] == pytest.approx(7.97 - 2 - 1.5, abs=0.8)
    assert run(bench, *paths) == 0
    assert "over the hole" in capsys.readouterr().out
