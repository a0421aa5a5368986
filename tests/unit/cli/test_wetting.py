"""The truth is what was drawn: one stain on a casting that is else the same, in other light."""

import json

import numpy as np
import pytest
from PIL import Image

from leaktrack.cli import wetting
from leaktrack.cli.main import main
from leaktrack.imaging.spotting.masking import filled
from leaktrack.model.shapes import PointPx
from leaktrack.model.wet_search import WetKind, WetRegion, WetSearch
from tests.pictures import Stain, casting, relit, stained, write_photo

SIZE = (1000, 750)
STAIN = Stain(420, 520, radius_px=34, darkness=0.5)


@pytest.fixture(scope="module")
def photos(tmp_path_factory):
    folder = tmp_path_factory.mktemp("photos")
    dry = casting(*SIZE)
    wet, is_wet = stained(dry, STAIN)
    np.save(folder / "truth.npy", is_wet)
    write_photo(folder / "before.jpg", dry)
    write_photo(folder / "after.jpg", relit(wet, gain=0.95), orientation=8)
    write_photo(folder / "black.jpg", np.zeros((750, 1000, 3), np.uint8))
    write_photo(folder / "tiny.png", dry[:20, :20])
    (folder / "text.jpg").write_text("not a photo")
    return folder


@pytest.fixture(scope="module", autouse=True)
def _one_cache(tmp_path_factory):
    """Find the points of a photo once for the whole module."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("LEAKTRACK_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def finds(monkeypatch):
    """Let the search find this, without looking; return what it was asked."""
    asked = {}

    def finds(*regions, state="aligned", unassessed=(), scale=None):
        def find(before, after, matcher, target_side_mm, progress, cache_folder):
            progress(0, 1, "nothing")
            asked.update(before=[path.name for path in before], side_mm=target_side_mm)
            return WetSearch(state, regions, unassessed, scale)

        monkeypatch.setattr(wetting, "find_wet_in_files", find)
        return asked

    return finds


def square(x, y, side):
    return (
        PointPx(x, y), PointPx(x + side, y), PointPx(x + side, y + side), PointPx(x, y + side)
    )  # fmt: skip


def region(x, y, side=20, score=0.9, kind=WetKind.WET, area_mm2=None, sigma=None):
    return WetRegion(square(x, y, side), float(side**2), area_mm2, sigma, score, kind)


def command(photos, *more, before="before.jpg", after="after.jpg"):
    return ["wet", str(photos / before), str(photos / after), *more]


def pixels(path):
    with Image.open(path) as image:  # noqa: TID251 - looks at the file itself
        assert (image.format, image.mode) == ("PNG", "L")
        return np.asarray(image)


@pytest.mark.slow
def test_a_new_stain_is_found_in_the_upright_photo(photos, tmp_path, capsys):
    mask = tmp_path / "wet.png"

    status = main(command(photos, "--mask", str(mask), "--json"))

    told = capsys.readouterr()
    document = json.loads(told.out)
    truth = np.load(photos / "truth.npy")
    best = filled([[PointPx(*corner) for corner in document["regions"][0]["polygon"]]], SIZE) == 255
    assert status == 0
    assert document["state"] == "aligned"
    assert document["size_px"] == list(SIZE)
    assert document["scale"] is None
    assert document["regions"][0]["area_mm2"] is None
    assert (best & truth).sum() / (best | truth).sum() > 0.5
    assert pixels(mask).shape == truth.shape
    assert "Mask: " in told.err


@pytest.mark.parametrize(
    ("before", "after"), [("black.jpg", "after.jpg"), ("before.jpg", "black.jpg"),
                          ("tiny.png", "after.jpg"), ("before.jpg", "tiny.png")],
)  # fmt: skip
def test_photos_with_nothing_in_common_are_said_to_have_failed(photos, json_of, before, after):
    document = json_of(*command(photos, before=before, after=after))

    assert (document["state"], document["regions"]) == ("failed", [])
    assert "nothing was searched" in document["warnings"][0]


def test_only_likely_newly_wet_regions_are_in_the_mask(photos, tmp_path, finds, capsys):
    mask = tmp_path / "wet.png"
    finds(
        region(100, 200, 20, 0.5),
        region(300, 200, 20, 0.49),
        region(500, 200, 20, 0.9, WetKind.DRIED),
        region(990, 740, 20, 0.9),
    )

    assert main(command(photos, "--mask", str(mask))) == 0

    found = pixels(mask)
    assert found.shape == (SIZE[1], SIZE[0])
    assert set(np.unique(found)) == {0, 255}
    assert (found[200:221, 100:121] == 255).all()
    assert (found == 255).sum() == 21 * 21 + 10 * 10  # corners are middles of pixels


def test_the_document_keeps_dried_regions_apart_and_tells_the_scale(photos, json_of, finds):
    class Scale:
        mm_per_px = 0.1

    finds(
        region(100, 200, 20, 0.91234, area_mm2=4.0, sigma=0.3),
        region(500, 200, 20, 0.8, WetKind.DRIED),
        scale=Scale(),
        unassessed=(square(0, 0, 100),),
    )

    document = json_of(*command(photos, "--target-mm", "25"))

    assert document["regions"] == [
        {
            "kind": "wet",
            "score": 0.9123,
            "area_px": 400.0,
            "area_mm2": 4.0,
            "area_sigma_mm2": 0.3,
            "polygon": [[100, 200], [120, 200], [120, 220], [100, 220]],
        }
    ]
    assert [one["kind"] for one in document["dried"]] == ["dried"]
    assert document["unassessed"] == [[[0, 0], [100, 0], [100, 100], [0, 100]]]
    assert document["scale"] == {"source": "target", "side_mm": 25.0, "mm_per_px": 0.1}
    assert document["warnings"] == ["About 1 % of the photo could not be assessed."]


def test_the_newest_of_several_earlier_photos_is_the_last_named(photos, finds, capsys):
    asked = finds()
    names = ("before.jpg", "black.jpg", "after.jpg")

    assert main(["wet", *(str(photos / name) for name in names)]) == 0

    assert asked == {"before": ["black.jpg", "before.jpg"], "side_mm": 30.0}


def test_the_table_tells_chance_area_and_place_of_what_is_likely(photos, finds, capsys):
    finds(region(100, 200, area_mm2=4.0, sigma=1.2), region(300, 200, score=0.1))

    main(command(photos))

    told = " ".join(capsys.readouterr().out.split())
    assert "after.jpg: aligned." in told
    assert "wet very likely, 90 % 4 +- 1 mm2 100, 200 20 x 20" in told
    assert "Unlikely ones left out: 1" in told


@pytest.mark.parametrize("regions", [(), (region(1, 1, score=0.2),)])
def test_nothing_found_is_never_told_as_dry(photos, finds, capsys, regions):
    finds(*regions)

    main(command(photos))

    assert "Nothing found that looks newly wet; look yourself." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("name", "complaint"),
    [
        ("there.png", "there.png is there already. It was left as it is."),
        ("nowhere/wet.png", "There is no folder "),
        ("wet.jpg", "give wet.jpg a name that ends in .png"),
    ],
)
def test_a_mask_is_never_written_over_anything(photos, tmp_path, finds, capsys, name, complaint):
    asked = finds()
    (tmp_path / "there.png").write_text("mine")

    assert main(command(photos, "--mask", str(tmp_path / name), "--json")) == 1

    told = capsys.readouterr()
    assert (told.out, asked) == ("", {})
    assert complaint in " ".join(told.err.split())
    assert (tmp_path / "there.png").read_text() == "mine"


@pytest.mark.parametrize(
    ("before", "after", "complaint"),
    [
        ("before.jpg", "text.jpg", "text.jpg is not a photo"),
        ("text.jpg", "after.jpg", "text.jpg is not a photo"),
        ("before.jpg", "none.jpg", "none.jpg cannot be opened: "),
    ],
)
def test_what_is_no_photo_is_refused(photos, capsys, before, after, complaint):
    assert main(command(photos, before=before, after=after)) == 1

    told = capsys.readouterr()
    assert told.out == ""
    assert complaint in told.err


@pytest.mark.parametrize("side", ["0", "-3", "nan", "5000"])
def test_a_target_of_no_size_is_refused(photos, capsys, side):
    assert main(command(photos, f"--target-mm={side}")) == 1
    assert "A target cannot be" in capsys.readouterr().err
