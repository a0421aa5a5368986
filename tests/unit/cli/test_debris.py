"""``leaktrack debris``: the document and the words."""

import json

import pytest
from PIL import Image

from leaktrack.cli.main import main
from tests.paint_debris import painted


@pytest.fixture(scope="module")
def paper(tmp_path_factory):
    path = tmp_path_factory.mktemp("paper") / "paper.png"
    Image.fromarray(painted(7).rgb).save(path)
    return path


def test_the_document_keeps_its_promise(paper, capsys):
    assert main(["debris", str(paper), "--target-mm", "30", "--json"]) == 0

    told = json.loads(capsys.readouterr().out)
    assert told["state"] == "read"
    assert told["scale"]["mm_per_px"] == pytest.approx(0.1, rel=0.01)
    lengths = [one["length_mm"] for one in told["particles"]]
    assert lengths == sorted(lengths, reverse=True)
    assert {"x", "y", "length_mm", "width_mm", "area_mm2", "kind"} <= told["particles"][0].keys()
    assert sum(sum(each.values()) for each in told["counts"].values()) == len(lengths)


def test_the_words_tell_counts_and_what_they_do_not_mean(paper, capsys):
    assert main(["debris", str(paper)]) == 0

    told = " ".join(capsys.readouterr().out.split())
    assert "particles of 0.4 mm and more" in told
    assert "dark clump" in told
    assert "not what they are made of" in told


def test_a_target_that_cannot_be_is_refused(paper, capsys):
    assert main(["debris", str(paper), "--target-mm", "0"]) == 1
    assert "target" in capsys.readouterr().err
