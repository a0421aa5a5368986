import pytest

from leaktrack.model.errors import BadInput
from leaktrack.workflows.read_weights import weights
from leaktrack.workflows.trace_leak import trace
from tests.leaking_engine import tell


@pytest.fixture
def own(project, tmp_path):
    project.own_weights_file = tmp_path / "trace_weights.toml"
    return project.own_weights_file


def test_without_an_own_file_the_programs_weights_count(project, own):
    assert weights(project).own == ()


def test_an_own_file_changes_a_trace_and_the_trace_says_so(project, own):
    story = tell(project)
    before = trace(project, story.gap_leak.id)
    own.write_text(
        '[share.unknown]\nshare = 0.5\nsource = "nobody writes anything down here"\n', "utf-8"
    )

    after = trace(project, story.gap_leak.id)

    assert after.candidates[0].chance < before.candidates[0].chance
    assert after.own_weights == ("share.unknown",)


def test_an_own_file_that_cannot_be_used_is_said_with_its_path_and_a_way_out(project, own):
    for data, said in [
        (b"[share.unknown\n", "cannot be read: .*line 1"),
        (b"\xff\xfe", "cannot be read"),
        (b"[clue.luck]\nif_cause = 0.5", r"\[clue.luck\] is no entry"),
    ]:
        own.write_bytes(data)
        with pytest.raises(BadInput, match=said) as refused:
            weights(project)
        assert str(own) in str(refused.value)
        assert "remove your own file" in str(refused.value)
