import pikepdf
import pytest

from leaktrack.cli.main import main


def test_a_page_of_targets_is_written(tmp_path, capsys):
    path = tmp_path / "targets.pdf"

    status = main(["targets", str(path)])

    assert status == 0
    assert f"Targets: {path}" in capsys.readouterr().out
    with pikepdf.open(path) as opened:
        assert len(opened.pages) == 1


def test_the_document_says_what_is_on_the_page(tmp_path, json_of):
    path = tmp_path / "targets.pdf"

    told = json_of("targets", str(path), "--paper", "Letter", "--side-mm", "25")

    assert (told["pdf"], told["paper"], told["ruler_mm"]) == (str(path), "Letter", 100)
    assert told["targets"][0] == {"dictionary": "DICT_4X4_50", "id": 0, "side_mm": 25}
    assert {one["side_mm"] for one in told["targets"]} == {25, 20, 15}


def test_a_file_that_is_there_is_left_alone(tmp_path, capsys):
    path = tmp_path / "targets.pdf"
    path.write_text("mine")

    status = main(["targets", str(path)])

    assert status == 1
    assert "was left alone" in capsys.readouterr().err
    assert path.read_text() == "mine"
    assert main(["targets", str(path), "--overwrite"]) == 0
    assert path.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("side", ["5", "200", "nan"])
def test_a_side_that_does_not_go_on_the_page_is_refused(tmp_path, capsys, side):
    assert main(["targets", str(tmp_path / "targets.pdf"), "--side-mm", side]) == 1
    assert "does not go on the page" in capsys.readouterr().err
    assert list(tmp_path.glob("*.pdf")) == []


def test_a_folder_that_is_not_there_is_told(tmp_path, capsys):
    assert main(["targets", str(tmp_path / "nowhere" / "targets.pdf")]) == 1
    assert "cannot be written" in capsys.readouterr().err


def test_a_side_that_is_no_number_is_wrong_usage(tmp_path):
    assert main(["targets", str(tmp_path / "targets.pdf"), "--side-mm", "wide"]) == 2
