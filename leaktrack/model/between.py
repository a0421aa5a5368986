"""Figures that are known only within bounds."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Between:
    """A figure that lies between two bounds; the unit stands in the name of what holds it.

    Attributes:
        low: The lower bound.
        high: The upper bound; infinite where nothing bounds it.
    """

    low: float
    high: float

    def times(self, factor: float) -> "Between":
        """Return it multiplied by a known factor of 0 or more.

        >>> Between(1.0, 2.0).times(3.0)
        Between(low=3.0, high=6.0)
        """
        return Between(self.low * factor, self.high * factor)

    def plus(self, other: "Between") -> "Between":
        """Return the bounds of the sum.

        >>> Between(1.0, 2.0).plus(Between(0.5, 4.0))
        Between(low=1.5, high=6.0)
        """
        return Between(self.low + other.low, self.high + other.high)


@dataclass(frozen=True, slots=True)
class Figure:
    """A value, and between which bounds it lies; what the bounds mean says whoever makes it."""

    value: float
    low: float
    high: float

    @property
    def is_exact(self) -> bool:
        """Whether no bounds are known: what it was made from had no tolerance."""
        return self.low == self.high

    def words(self, unit: str = "", decimals: int = 1) -> str:
        """Return the value with its bounds.

        >>> Figure(19.54, 15.2, 23.8).words("%"), Figure(25.0, 25.0, 25.0).words("%")
        ('19.5 % (15.2 to 23.8)', '25.0 %')
        """
        after = f" {unit}" if unit else ""
        shown = f"{self.value:.{decimals}f}{after}"
        if self.is_exact:
            return shown
        return f"{shown} ({self.low:.{decimals}f} to {self.high:.{decimals}f})"
