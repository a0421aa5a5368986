"""How likely something is, in words that mean the same to everybody."""

_FROM: tuple[tuple[float, str], ...] = (
    (0.99, "virtually certain"),
    (0.90, "very likely"),
    (0.66, "likely"),
    (0.33, "about as likely as not"),
    (0.10, "unlikely"),
    (0.01, "very unlikely"),
    (0.0, "exceptionally unlikely"),
)
"""From which chance on which words hold.

Source:
    M. Mastrandrea et al., Guidance Note for Lead Authors of the IPCC Fifth Assessment Report on
    Consistent Treatment of Uncertainties, 2010, table 1.
"""


def chance_words(chance: float) -> str:
    """Return a chance between 0 and 1 in words and per cent.

    >>> chance_words(0.87), chance_words(0.5), chance_words(0.004)
    ('likely, 87 %', 'about as likely as not, 50 %', 'exceptionally unlikely, 0 %')
    """
    words = next(words for least, words in _FROM if chance >= least)
    return f"{words}, {percent_words(chance)}"


def percent_words(chance: float) -> str:
    """Return a chance between 0 and 1 in whole per cent.

    >>> percent_words(0.874)
    '87 %'
    """
    return f"{round(100 * chance)} %"
