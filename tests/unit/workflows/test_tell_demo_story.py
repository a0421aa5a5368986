"""The demo's story is read whole, or refused in one sentence."""

import json
from pathlib import Path

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.workflows.tell_demo_story import STORY_FILE, read_story

STORY = Path(__file__).parents[3] / "demo_project" / STORY_FILE


def test_the_story_that_comes_along_is_whole():
    assert read_story(STORY)["engine"]["name"] == "W7"


@pytest.mark.parametrize("text", ["", '{"engine": ', "[]", "7", "\0\1", "{}"])
def test_a_damaged_story_is_told_in_one_sentence(text, tmp_path):
    (tmp_path / STORY_FILE).write_text(text)

    with pytest.raises(BadInput, match=r"engine\.json, cannot be read: .+ Install leaktrack again"):
        read_story(tmp_path / STORY_FILE)


@pytest.mark.parametrize("part", sorted(json.loads(STORY.read_text(encoding="utf-8"))))
def test_a_story_without_one_of_its_parts_is_refused(part, tmp_path):
    whole = json.loads(STORY.read_text(encoding="utf-8"))
    (tmp_path / STORY_FILE).write_text(json.dumps(whole | {part: None}))

    with pytest.raises(BadInput, match=f"its part '{part}' is missing or damaged"):
        read_story(tmp_path / STORY_FILE)
