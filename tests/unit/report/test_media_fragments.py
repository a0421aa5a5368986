"""Spans as links. The examples stand in W3C, Media Fragments URI 1.0, section 4.2.1."""

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.footage_span import NamedSpan
from leaktrack.report.media_fragments import as_fragment, as_uri_list, read_fragment, read_uri_list


@pytest.mark.parametrize(
    ("fragment", "start_ms", "end_ms"),
    [
        ("t=10,20", 10_000, 20_000),
        ("t=,20", 0, 20_000),
        ("t=10", 10_000, None),
        ("t=npt:10,20", 10_000, 20_000),
        ("t=120", 120_000, None),
        ("t=npt:120,121.5", 120_000, 121_500),
        ("t=0:02:00,121.5", 120_000, 121_500),
        ("t=npt:0:02:00,0:02:01.5", 120_000, 121_500),
        ("t=1&xywh=1,2,3,4&t=3,4", 3_000, 4_000),  # where it stands twice, the last one counts
        ("%74=%6ept:%310", 10_000, None),  # section 4.2: percent-encoded octets are decoded
    ],
)
def test_the_standard_s_examples_are_read(fragment, start_ms, end_ms):
    span = read_fragment(f"http://www.example.com/film.mp4#{fragment}")

    assert (span.start_ms, span.end_ms) == (start_ms, end_ms)


@pytest.mark.parametrize("span", [NamedSpan(0, 1), NamedSpan(83_450, 90_007), NamedSpan(5, None)])
def test_every_millisecond_comes_back(span):
    told = read_fragment(as_fragment("a%20film.mp4", span))

    assert told == NamedSpan(span.start_ms, span.end_ms, "", "a film.mp4")


def test_a_list_keeps_names_as_comments():
    spans = [NamedSpan(1_000, 2_000, "bead # 1"), NamedSpan(3_000, None, "")]

    told = read_uri_list(as_uri_list(("film.mp4", span) for span in spans), "a.txt")

    assert [(each.start_ms, each.end_ms, each.name) for each in told] == [
        (1_000, 2_000, "bead # 1"),
        (3_000, None, ""),
    ]


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        ("film.mp4", "has no #t="),
        ("film.mp4#t=clock:2009", "is no time in seconds"),
        ("film.mp4#t=20,10", "ends before it begins"),
        ("film.mp4#t=5,", "is no time in seconds"),
    ],
)
def test_a_bad_line_is_named(line, complaint):
    with pytest.raises(BadInput) as told:
        read_uri_list(f"# fine\nfilm.mp4#t=1,2\n\n{line}\n", "a.txt")

    assert str(told.value).startswith("a.txt, line 4: ")
    assert complaint in str(told.value)
