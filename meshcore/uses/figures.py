"""The figures by which a use is stated, as people type them, to SI values."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal, TypeAlias

from meshcore.messages import Message
from meshcore.reading.numbers.readings import NO_HINTS
from meshcore.reading.sizes.amounts import Amount, read_amount
from meshcore.reading.texts import is_blank, read_text
from meshcore.reading.vocabulary import doubtful, fold, words
from meshcore.units import METRES_PER_INCH, SPEEDS_M_S
from meshcore.uses.plain import plain
from meshcore.uses.relations.sieves import (
    aperture_designated,
    aperture_numbered,
    aperture_printed,
)

FigureKind: TypeAlias = Literal[
    "length", "share", "angle", "number", "choice", "speed", "pressure", "frequency", "line load",
    "section", "decibel", "sieve", "size",
]  # fmt: skip
#: Value of a figure: SI, or the choice; NaN where it is left blank.
Value: TypeAlias = float | str

_NEWTONS_PER_POUND = 4.4482216152605
#: Pound per square inch, and the conventional inch and millimetre of water [Pa] (NIST SP 811, from
#: memory).
_PA_PER_PSI, _PA_PER_INCH_OF_WATER, _PA_PER_MM_OF_WATER = 6894.757293168, 249.08891, 9.80665
_AMOUNTS: Mapping[str, Amount] = MappingProxyType(
    {
        kind: Amount(topic, {unit: (factor, 0.0) for unit, factor in units.items()},
                     "a number with a unit", f'"{example}"')
        for kind, topic, units, example in (
            ("speed", "unit_speed", SPEEDS_M_S, "2 m/s"),
            ("pressure", "unit_pressure",
             {"Pa": 1.0, "kPa": 1e3, "mbar": 1e2, "bar": 1e5, "psi": _PA_PER_PSI,
              "inH2O": _PA_PER_INCH_OF_WATER, "mmH2O": _PA_PER_MM_OF_WATER}, "50 Pa"),
            ("frequency", "unit_frequency",
             {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}, "1 GHz"),
            ("line load", "unit_line_load",
             {"N/m": 1.0, "kN/m": 1e3, "N/mm": 1e3, "lbf/in": _NEWTONS_PER_POUND / METRES_PER_INCH},
             "20 kN/m"),
            ("section", "unit_section", {"mm2/m": 1e-6, "cm2/m": 1e-4}, "131 mm²/m"),
            ("decibel", "unit_decibel", {"dB": 1.0}, "40 dB"),
        )
    }
)  # fmt: skip


#: No share is above the whole [-].
_WHOLE_SHARE = 1.0
#: A figure typed as its limit is within it, however it was computed [-].
_DUST = 1e-9


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a use.

    Parameters
    ----------
    name, label
        Its name, and what a form calls it.
    kind
        What it is.
    example
        How it is written.
    default
        What is taken where it is left blank; empty where it must be given or may be left out.
    needed
        Whether it must be given.
    choices
        What may be chosen.
    note
        What it means, in a sentence.
    most
        The greatest that its relation covers [SI].
    whole
        Whether it is a count.
    of_range
        Which end is taken where a sentence gives a range; empty where neither stands for it.
    smallest_first
        Whether choices are sizes, the smallest first, so that one does for those behind it.
    least, why
        The least that its relation covers [SI], and why, where that is to be said.
    usual
        Between which it mostly lies [SI]: outside it is doubted, not refused.
    usual_by
        The same by what is chosen for another figure, as by the fluid.
    """

    name: str
    label: str
    kind: FigureKind
    example: str
    default: str = ""
    needed: bool = False
    choices: tuple[str, ...] = ()
    note: str = ""
    most: float = math.inf
    whole: bool = False
    least: float = 0.0
    why: str = ""
    of_range: Literal["", "least", "greatest"] = ""
    smallest_first: bool = False
    usual: tuple[float, float] = (0.0, math.inf)
    usual_by: Mapping[str, tuple[float, float]] = field(default_factory=dict)


def read_figures(
    figures: Sequence[Figure], texts: Mapping[str, str]
) -> tuple[dict[str, Value], tuple[Message, ...]]:
    """Read the figures of a use.

    Parameters
    ----------
    figures
        Those that the use has.
    texts
        Figure → as typed; blank ones are as good as left out.

    Returns
    -------
    Figure → value [SI], NaN or empty where it was left out; and what cannot be read, is missing
    or is no figure of the use.

    Examples
    --------
    >>> cut = Figure("cut_size", "Cut size", "length", "6 mm", needed=True)
    >>> read_figures([cut], {"cut_size": "6 mm"})[0]
    {'cut_size': 0.006}
    >>> for one in read_figures([cut], {"cut_siz": "6 mm"})[1]:
    ...     print(one)
    cut_siz: read "6 mm" — no figure of this use. Write cut_size.
    cut_size: blank — it is needed. Write it as "6 mm".
    """
    wrong = [_unknown(name, text, figures) for name, text in texts.items()
             if name not in {one.name for one in figures}]  # fmt: skip
    values: dict[str, Value] = {}
    for one in figures:
        text = " ".join(str(texts.get(one.name, "")).split())
        if is_blank(text):
            text = one.default
        if not text:
            values[one.name] = "" if one.kind == "choice" else math.nan
            if one.needed:
                mend = f'it is needed. Write it as "{one.example}".'
                wrong.append(Message(one.name, "", mend, code="use.figure_missing"))
            continue
        read = _read(one, text)
        if isinstance(read, Message):
            wrong.append(read)
        else:
            values[one.name] = read
    return values, tuple(wrong)


def _unknown(name: str, text: str, figures: Sequence[Figure]) -> Message:
    names = [one.name for one in figures]
    near = difflib.get_close_matches(name, names, 1) or names
    mend = f"no figure of this use. Write {', '.join(near)}."
    return Message(name, str(text), mend, code="use.figure_unknown")


def _read(one: Figure, text: str) -> Value | Message:
    if one.kind == "choice":
        known = {fold(choice): choice for choice in one.choices}
        if fold(text) in known:
            return known[fold(text)]
        word = fold(text)
        meant = {words("use_choice").get(word), *doubtful("use_choice").get(word, ()),
                 words("use_choice_alone").get(word)}  # fmt: skip
        if len(named := [choice for choice in one.choices if choice in meant]) == 1:
            return named[0]
        mend = f"not one of {', '.join(one.choices)}."
        return Message(one.name, text, mend, code="use.choice_unknown")
    read = _SIEVES[one.kind](one, text) if one.kind in _SIEVES else _read_amount(one, text)
    if isinstance(read, Message):
        return read
    if not (read > 0 or (one.kind == "angle" and read == 0)):
        mend = f'it is to be above nothing. Write it as "{one.example}".'
        return Message(one.name, text, mend, code="use.figure_not_above_zero")
    return _within_range(one, text, read)


def _read_amount(one: Figure, text: str) -> float | Message:
    if one.kind in _AMOUNTS:
        reading = read_amount(text, _AMOUNTS[one.kind], one.name, "", NO_HINTS)
    else:
        kind = "length" if one.kind == "size" else one.kind
        reading = read_text(text, kind, one.name)  # type: ignore[arg-type]
    return reading if isinstance(reading, Message) else reading.value


def _read_size(one: Figure, text: str) -> float | Message:
    """Read a length, or the aperture of a sieve that is named by its number."""
    aperture = aperture_numbered(text)
    if aperture is None:
        return _read_amount(one, text)
    mend = f'no sieve of ASTM E11 has this number. Write a size, as "{one.example}".'
    unknown = Message(one.name, text, mend, code="use.sieve_number_unknown")
    return aperture if math.isfinite(aperture) else unknown


def _read_sieve(one: Figure, text: str) -> float | Message:
    """Read the aperture of a test sieve, by its designation or as a size."""
    if math.isfinite(aperture := aperture_designated(text)):
        return aperture
    if text.replace(".", "", 1).isdigit():
        mend = (f'a bare number. Write "No. {text}" for the sieve of that number of ASTM E11, or '
                f'the aperture with its unit, as "{text} µm" or "{text} mm".')  # fmt: skip
        return Message(one.name, text, mend, code="use.sieve_bare")
    reading = read_text(text, "length", "aperture")
    if not isinstance(reading, Message) and reading.unit == "in":
        printed = aperture_printed(reading.value / METRES_PER_INCH, _decimals(text))
        return printed if math.isfinite(printed) else reading.value
    if isinstance(reading, Message) or not reading.value > 0:
        mend = 'no test sieve of ASTM E11 is designated so. Write its aperture, as "150 µm".'
        return Message(one.name, text, mend, code="use.sieve_unknown")
    return reading.value


def _decimals(text: str) -> int:
    return sum(sign.isdigit() for sign in text.replace(",", ".").partition(".")[2])


#: Kinds that name sieves too, and how each is read.
_SIEVES: Mapping[str, Callable[[Figure, str], float | Message]] = MappingProxyType(
    {"sieve": _read_sieve, "size": _read_size}
)


def _within_range(one: Figure, text: str, value: float) -> float | Message:
    if one.whole and value != round(value):
        mend = f'a count is whole. Write it as "{one.example}".'
        return Message(one.name, text, mend, code="use.figure_not_whole")
    if value < one.least * (1.0 - _DUST):
        mend = f'out of range{one.why}. Write it as "{one.example}".'
        return Message(one.name, text, mend, code="use.figure_too_small")
    most = min(one.most, _WHOLE_SHARE) if one.kind == "share" else one.most
    if value > most * (1.0 + _DUST):
        shown = {"share": f"{most:.0%}", "angle": f"{math.degrees(most):.0f}°"}.get(
            one.kind, plain(most, 4)
        )
        mend = f'out of range: at most {shown}. Write it as "{one.example}".'
        return Message(one.name, text, mend, code="use.figure_too_large")
    return value
