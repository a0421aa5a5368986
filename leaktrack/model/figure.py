"""A figure that somebody can trust: its value with the bounds it lies between."""

from dataclasses import dataclass


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
