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
