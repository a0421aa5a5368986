"""Find out which characters the fonts at hand can show; a PDF/UA may not hold any others."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from typst import PDFStandard

STANDARDS: "list[PDFStandard]" = ["ua-1", "a-2a"]
"""What the PDF keeps to: PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2)."""

STAND_IN = "\u25a1"
"""An empty square: stands for a character that no font at hand can show."""

_LAST_EUROPEAN = "\u024f"  # end of Latin Extended-B; the fonts that come with typst have all before

_PROBE = b"""\
#set document(title: "probe")
#set text(font: "Libertinus Serif", lang: "en")
#for c in sys.inputs.characters.codepoints() { par(text(c)) }
"""


def only_showable(data: Any) -> Any:
    """Return the data with ``STAND_IN`` for each character that no font at hand can show.

    Which fonts there are differs from machine to machine, beyond those that come with typst:
    letters of Europe always show, others do where the system has a font for them.
    """
    unusual = "".join(sorted({c for c in _all_text(data) if c > _LAST_EUROPEAN}))
    missing = _unshowable(unusual, _prober()) if unusual else ""
    return replaced(data, missing) if missing else data


def only_european(data: Any) -> Any:
    """Return the data with ``STAND_IN`` for everything but letters of Europe."""
    return replaced(data, "".join({c for c in _all_text(data) if c > _LAST_EUROPEAN}))


def replaced(data: Any, characters: str) -> Any:
    """Return the data with ``STAND_IN`` for each of these characters."""
    table = str.maketrans(dict.fromkeys(characters, STAND_IN))

    def walk(value: Any) -> Any:
        if isinstance(value, str):
            return value.translate(table)
        if isinstance(value, dict):
            return {key: walk(part) for key, part in value.items()}
        return [walk(part) for part in value] if isinstance(value, list) else value

    return walk(data)


def _all_text(data: Any) -> set[str]:
    if isinstance(data, str):
        return set(data)
    parts = data.values() if isinstance(data, dict) else data if isinstance(data, list) else ()
    return set().union(*map(_all_text, parts))


def _unshowable(characters: str, can_show: Callable[[str], bool]) -> str:
    """Return those that cannot be shown, by halving: about a millisecond for each try."""
    if can_show(characters):
        return ""
    if len(characters) == 1:
        return characters
    half = len(characters) // 2
    return _unshowable(characters[:half], can_show) + _unshowable(characters[half:], can_show)


def _prober() -> Callable[[str], bool]:
    import typst

    compiler = typst.Compiler(font_paths=typst.Fonts())

    def can_show(characters: str) -> bool:
        try:
            compiler.compile(
                input=_PROBE,
                format="pdf",
                pdf_standards=STANDARDS,
                sys_inputs={"characters": characters},
            )
        except typst.TypstError:
            return False
        return True

    return can_show
