"""Write elements of HTML and SVG so that no text of the user can be taken for markup."""

import html
import unicodedata

Value = str | float | bool | None
Attributes = dict[str, Value]
"""Attributes by name, as ``element`` takes them."""


class Markup(str):
    """Text that is markup already. Everything else is escaped before it stands in a document."""

    __slots__ = ()


def element(name: str, /, *children: str | None, **attributes: Value) -> Markup:
    """Return an element with its children.

    Args:
        name: Of the element.
        children: Markup stays, other text is escaped; None is left out.
        attributes: ``class_`` stands for class, other underscores for hyphens; values are escaped;
            None and False are left out, True gives a bare attribute.

    >>> element("p", "1 < 2", class_="quiet")
    '<p class="quiet">1 &lt; 2</p>'
    """
    inside = joined(*children)
    return Markup(f"<{name}{_attributes(attributes)}>{inside}</{name}>")


def void(name: str, /, **attributes: Value) -> Markup:
    """Return an element that has no children.

    >>> void("img", alt='a "drip"')
    '<img alt="a &quot;drip&quot;"/>'
    """
    return Markup(f"<{name}{_attributes(attributes)}/>")


def joined(*children: str | None) -> Markup:
    """Return the children one after the other, escaping what is not markup."""
    return Markup("".join(_escaped(child) for child in children if child is not None))


def clean(text: str) -> str:
    r"""Return the text without characters that no document may hold.

    Control characters are forbidden in XML, and PDF/A forbids those of private use: no two
    fonts agree on them. Line breaks stay.

    >>> clean("a\x00b\r\nc")
    'ab\nc'
    """
    text = text.replace("\r\n", "\n").replace("\t", " ")
    if text.isprintable():
        return text
    return "".join(c for c in text if c == "\n" or unicodedata.category(c) not in _FORBIDDEN)


_FORBIDDEN = frozenset({"Cc", "Cs", "Co", "Cn"})  # control, half a pair, private, unassigned


def _escaped(child: str) -> str:
    return child if isinstance(child, Markup) else html.escape(clean(child))


def _attributes(attributes: Attributes) -> str:
    texts: list[str] = []
    for key, value in attributes.items():
        name = key.rstrip("_").replace("_", "-")
        if value is True:
            texts.append(f" {name}")
        elif value is not None and value is not False:
            texts.append(f' {name}="{html.escape(clean(_number(value)))}"')
    return "".join(texts)


def _number(value: str | float) -> str:
    return value if isinstance(value, str) else f"{round(value, 2):g}"
