import tomllib
from math import exp, log

import pytest

from leaktrack.analysis.weighing import Pair, posterior, weights_of
from leaktrack.model.errors import BadInput
from tests.unit.analysis.trace_weights import WEIGHTS, told

OWN = "my own"


def with_own(text):
    return weights_of(told(), tomllib.loads(text), ("shipped", OWN))


def test_the_shipped_weights_are_whole_and_each_says_where_it_comes_from():
    for section in told().values():
        for entry in section.values():
            assert entry["source"].strip()
    assert 0 < WEIGHTS.joints_share < 1
    assert WEIGHTS.own == ()


def test_an_own_file_changes_only_what_it_names():
    changed = with_own(
        '[clue.leaked_before]\nif_cause = 0.5\notherwise = 0.1\nsource = "forty own engines"'
    )

    assert changed.clues["leaked_before"] == Pair(0.5, 0.1)
    assert changed.clues["fitted_later"] == WEIGHTS.clues["fitted_later"]
    assert changed.own == ("clue.leaked_before",)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[clues.leaked_before]\n", r"\[clues\] is no section"),
        ("share = 3", "share must be a section"),
        ("[clue.leeked_before]\nif_cause = 0.5", r"\[clue\.leeked_before\] is no entry"),
        ("[share.unknown]\nshare = 0.2", r'needs a source; where there is none, write "own judg'),
        ('[share.unknown]\nshare = 0.2\nsource = " "', "needs a source"),
        ('[share.unknown]\nsource = "me"', "share must be a number"),
        ('[share.unknown]\nshare = "much"\nsource = "me"', "share must be a number"),
        ('[share.unknown]\nshare = nan\nsource = "me"', "share must be a number"),
        ('[share.unknown]\nshare = true\nsource = "me"', "share must be a number"),
        ('[share.unknown]\nshare = 1.3\nsource = "me"', "is 1.3, but must lie between 0 and 1"),
        ('[place.at]\nvalue = 1.5\nsource = "me"', "is 1.5, but must lie between 0 and 1"),
        ('[part.gasket]\nfactor = 0\nsource = "me"', "is 0, but must be more than 0"),
        ('[part.gasket]\nfaktor = 1\nsource = "me"', "has no field faktor, but factor and source"),
        ('[share.unknown]\nshare = 0.95\nsource = "me"', "leaves nothing for the joints"),
        ('[place.below]\nvalue = 0.5\nsource = "me"', "must add up to less than 1"),
        ('[history.leaks]\nvalue = 20\nsource = "me"', "must be less than"),
        ("[part]\ngasket = 3", r"\[part\.gasket\] must have factor and source"),
    ],
)
def test_what_is_wrong_in_an_own_file_is_said_with_its_name_and_a_way_out(text, said):
    with pytest.raises(BadInput, match=said) as refused:
        with_own(text)

    assert OWN in str(refused.value)
    assert "remove your own file" in str(refused.value)


def test_a_shipped_file_with_a_missing_entry_is_refused():
    less = told()
    del less["clue"]["growing"]

    with pytest.raises(BadInput, match=r"shipped cannot be used: \[clue\.growing\] is missing"):
        weights_of(less, {}, ("shipped", OWN))


def test_a_clue_that_is_absent_weighs_the_other_way():
    pair = Pair(0.8, 0.1)

    assert pair.weight(True) == pytest.approx(log(8))
    assert pair.weight(False) == pytest.approx(log(0.2 / 0.9))
    assert pair.weight(None) == 0


def test_chances_sum_to_one_even_where_the_odds_are_beyond_what_a_number_holds():
    chances = posterior([-2000.0, -2001.0, -5000.0])

    assert sum(chances) == pytest.approx(1.0)
    assert chances[0] / chances[1] == pytest.approx(exp(1))
