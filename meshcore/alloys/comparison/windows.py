"""What each number of a service may be, as data: outside its window it is a slip of the pen."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class Window:
    """Least and most that a field may be, in its unit, and why."""

    least: float
    most: float
    unit: str
    why: str

    def holds(self, value: float) -> bool:
        """Whether a value lies inside; one that nobody knows (NaN) does."""
        return math.isnan(value) or self.least <= value <= self.most

    def __str__(self) -> str:
        """Write it with its unit and reason."""
        unit = f" {self.unit}" if self.unit else ""
        return f"between {self.least:,g} and {self.most:,g}{unit} ({self.why})"


@cache
def windows() -> Mapping[str, Window]:
    """Return the window of every number of `Conditions`.

    Examples
    --------
    >>> print(windows()["ph"])
    between 0 and 14 (the scale of water)
    """
    file = resources.files(__package__) / "data" / "windows.toml"
    held = tomllib.loads(file.read_text(encoding="utf-8"))
    return {field: Window(**ends) for field, ends in held.items()}
