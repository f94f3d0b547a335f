"""Words and numbers of a document in its language."""

from __future__ import annotations

import textwrap
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from importlib import resources
from typing import Any

from meshcore.units import METRES_PER_INCH

_MM = 1e-3
_FOOT_M = 12 * METRES_PER_INCH
#: A width or length is told in metres, or in feet, from here on.
_IN_METRES_FROM, _IN_FEET_FROM = 5.0, 10 * _FOOT_M
#: Thousands are parted from so many digits on.
_GROUP = 3


@dataclass(frozen=True, slots=True)
class Words:
    """Words of one language, by section and name."""

    language: str
    held: Mapping[str, Mapping[str, Any]]

    def say(self, section: str, entry: str, /, **filled: object) -> str:
        """Return a text with its names filled in.

        Notes
        -----
        What is filled in is never looked at for braces again, so it may hold any signs.
        """
        text = str(self.held[section][entry])
        return text.format_map(filled) if filled else text

    def of_lines(self, entry: str, labels: Sequence[str]) -> str:
        """Return the entry that speaks of one line, or the one that speaks of several."""
        return entry if len(labels) == 1 else f"{entry}_several"

    def among(self, section: str, name: str) -> str:
        """Return the word for a name; the name itself where there is none."""
        return str(self.held[section].get(name, name))

    def form(self, name: str, many: bool) -> str:
        """Return the word for a form, one or several of them."""
        one, several = self.held["forms"][name]
        return str(several if many else one)

    def number(self, value: float, places: int, *, trim: bool = False) -> str:
        """Write a number as the language does.

        Examples
        --------
        >>> words("de").number(12345.5, 2), words("fr").number(0.75, 3, trim=True)
        ('12.345,50', '0,75')
        """
        rounded = Decimal(repr(value)).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
        whole, _, rest = f"{rounded:,.{places}f}".partition(".")
        if trim:
            rest = rest.rstrip("0")
        numbers = self.held["numbers"]
        whole = whole.replace(",", str(numbers["thousands"]))
        return whole + (str(numbers["decimal"]) + rest if rest else "")

    def money(self, minor: int, digits: int, currency: str = "") -> str:
        """Write an amount of whole minor units.

        Examples
        --------
        >>> words("en").money(-1234550, 2, "EUR"), words("es").money(1234, 0, "JPY")
        ('-12,345.50 EUR', '1.234 JPY')
        """
        text = f"{Decimal(minor).scaleb(-digits):,.{digits}f}"
        whole, _, rest = text.partition(".")
        numbers = self.held["numbers"]
        whole = whole.replace(",", str(numbers["thousands"]))
        return f"{whole}{numbers['decimal'] if rest else ''}{rest} {currency}".rstrip()

    def quoted(self, text: str) -> str:
        """Write what others typed, in the language's quotation marks.

        Examples
        --------
        >>> words("en").quoted("wk 50"), words("de").quoted("KW 50")
        ('“wk 50”', '„KW 50“')
        """
        first, last = self.held["numbers"]["quotes"]
        return f"{first}{text}{last}"

    def day(self, day: date) -> str:
        """Write a date.

        Examples
        --------
        >>> words("de").day(date(2026, 3, 1))
        '1. März 2026'
        """
        numbers = self.held["numbers"]
        month = numbers["months"][day.month - 1]
        return str(numbers["date"]).format(day=day.day, month=month, year=day.year)

    def fine(self, metres: float, inches_first: bool) -> str:
        """Write a wire or an aperture, with the other unit beside it.

        Examples
        --------
        >>> words("en").fine(0.000635, True), words("de").fine(0.000635, False)
        ('0.025 in (0.635 mm)', '0,635 mm (0,025 in)')
        """
        inches = f"{self.number(metres / METRES_PER_INCH, 4, trim=True)} in"
        return _both(inches, f"{self.number(metres / _MM, 3, trim=True)} mm", inches_first)

    def width(self, metres: float, inches_first: bool) -> str:
        """Write a width, with the other unit beside it.

        Examples
        --------
        >>> words("en").width(1.2192, True)
        '48 in (1,219.2 mm)'
        """
        inches = f"{self.number(metres / METRES_PER_INCH, 2, trim=True)} in"
        return _both(inches, f"{self.number(metres / _MM, 1, trim=True)} mm", inches_first)

    def one_unit(self, metres: float, inches: bool) -> str:
        """Write a size in one unit alone.

        Examples
        --------
        >>> words("en").one_unit(0.0254, True), words("en").one_unit(0.0254, False)
        ('1 in', '25.4 mm')
        """
        if inches:
            return f"{self.number(metres / METRES_PER_INCH, 2, trim=True)} in"
        return f"{self.number(metres / _MM, 1, trim=True)} mm"

    def length(self, metres: float, inches_first: bool) -> str:
        """Write a length, with the other unit beside it: long ones in metres and feet.

        Examples
        --------
        >>> words("en").length(30.48, True), words("en").length(0.25, False)
        ('100 ft (30.48 m)', '250 mm (9.84 in)')
        """
        long_us = f"{self.number(metres / _FOOT_M, 2, trim=True)} ft"
        short_us = f"{self.number(metres / METRES_PER_INCH, 2, trim=True)} in"
        long_si = f"{self.number(metres, 3, trim=True)} m"
        short_si = f"{self.number(metres / _MM, 1, trim=True)} mm"
        return _both(
            long_us if metres >= _IN_FEET_FROM else short_us,
            long_si if metres >= _IN_METRES_FROM else short_si,
            inches_first,
        )


def _both(inches: str, metric: str, inches_first: bool) -> str:
    return f"{inches} ({metric})" if inches_first else f"{metric} ({inches})"


def shortened(text: str, most: int) -> str:
    """Return a text in so many signs at most, cut between words where there are any.

    Examples
    --------
    >>> shortened("Bakery by the Weir", 12), shortened("Donaudampfschifffahrt", 8)
    ('Bakery by …', 'Donauda…')
    """
    kept = textwrap.shorten(text, most, placeholder=_MORE)
    return kept if kept != _MORE.strip() else f"{text[: most - 1]}…"


#: What stands for the rest of a text that is cut short.
_MORE = " …"


@cache
def words(language: str) -> Words:
    """Return the words of a language; English for one that is not known."""
    folder = resources.files("meshcore.documents").joinpath("words")
    file = folder.joinpath(f"{language}.toml")
    if not file.is_file():
        return words("en")
    return Words(language, tomllib.loads(file.read_text("utf-8")))
