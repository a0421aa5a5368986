"""Tell the results of sums: the same way for all of them."""

from collections.abc import Sequence
from typing import Any

from leaktrack.cli.printing import say, say_json
from leaktrack.model.heat import Range

Document = dict[str, Any]


def range_document(told: Range | None) -> Document | None:
    """Return a range with its likely value; null where there is none."""
    if told is None:
        return None
    return {"least": told.least, "likely": told.likely, "most": told.most}


def tell_sum(
    name: str, document: Document, sentences: Sequence[str], assumes: str, *, as_json: bool
) -> int:
    """Print one sum, in sentences or as JSON, with what it assumes; return the exit status."""
    if as_json:
        say_json({
            "format": "leaktrack-sums", "version": 1, "sum": name, **document, "assumes": assumes
        })  # fmt: skip
        return 0
    for sentence in sentences:
        say(sentence)
    say(assumes)
    return 0
