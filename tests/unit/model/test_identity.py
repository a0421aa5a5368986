from itertools import pairwise

from leaktrack.model.identity import new_id


def test_keys_made_one_after_the_other_sort_in_that_order():
    keys = [new_id() for _ in range(2000)]

    assert all(earlier < later for earlier, later in pairwise(keys))


def test_a_key_says_that_it_is_of_version_7():
    key = new_id()

    assert (key.version, key.variant) == (7, "specified in RFC 4122")
