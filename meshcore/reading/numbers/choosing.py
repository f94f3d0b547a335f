"""Which reading of a size is meant: the one that alone is plausible for its field, or none."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from meshcore.messages import Message
from meshcore.reading import refusals
from meshcore.reading.numbers import plausible
from meshcore.reading.numbers.bare import HEADED_MOST, SAID, bare_units
from meshcore.reading.numbers.numerals import Number, shown
from meshcore.reading.numbers.readings import Hints
from meshcore.reading.sizes.measures import Measure
from meshcore.units import LENGTHS_M

#: Units that are written with the decimal point, so that a comma parts thousands in them.
_POINT_UNITS = frozenset({"in", "ft", "yd", "thou", "mi"})


@dataclass(frozen=True, slots=True)
class Sized:
    """One size in SI, with how it was chosen."""

    value: float
    half: float
    unit: str
    said: Message | None = None
    why: Message | None = None


def example(field: str) -> str:
    """Return how a size of a field is written."""
    return {
        "mesh_count": '"10 / in", "10 mesh" or "4 / cm"',
        "width": '"48 in" or "1220 mm"',
        "length": '"100 ft" or "30 m"',
    }.get(field, '"0.635 mm", "0.025 in", "3/4 in" or "25 µm"')


def field_words(field: str) -> str:
    """Write a field in words."""
    return field.replace("_", " ")


def choose(measure: Measure, field: str, unit: str, hints: Hints) -> Sized:
    """Choose the one plausible reading of a size; ``why`` says what is in doubt if there is none.

    Parameters
    ----------
    measure
        The size.
    field
        Whose window decides.
    unit
        Unit of the heading, for a size that has none.
    hints
        What the surroundings tell.
    """
    known = measure.unit or unit
    if not known:
        return _choose_bare(measure, field, hints)
    factor = LENGTHS_M[known]
    found = pick(
        list(measure.numbers),
        factor,
        field,
        hints,
        known,
        whole_is_total=field == "length",
        every_digit=field == "dimensions" or hints.form == "piece",
    )
    if isinstance(found, Message):
        return Sized(0.0, 0.0, known, why=found)
    number, said = found
    if measure.unit == "mil" and usual(field, number.value * 1e-3, 0.0, hints.form):
        return Sized(0.0, 0.0, known, why=refusals.mil(f"{number.value:g}"))
    if not measure.unit and number.value > HEADED_MOST.get((field, unit), number.value):
        headed = f"{shown(number.value)} {unit}"
        why = refusals.unit_unlikely(headed, field_words(field))
        return Sized(0.0, 0.0, known, why=why)
    value = number.value * factor
    if wrong := impossible(field, value, hints.form, f"{shown(number.value)} {known}"):
        return Sized(0.0, 0.0, known, why=wrong)
    return Sized(value, number.half * factor, known, said)


def impossible(field: str, value: float, form: str, shown_value: str) -> Message | None:
    """Return why a size cannot be meant at all; None where it can."""
    if field not in _JUDGED:
        return None
    if value <= 0:
        return refusals.not_above_zero(field_words(field), example(field))
    forms = (form,) if form else _windows(field)
    if any(plausible.is_possible(field, value, each) for each in forms):
        return None
    known = plausible.window(field, forms[0])
    reason = f": {known.reason} ({known.origin})" if known else ""
    return refusals.impossible(shown_value, field_words(field), reason)


_FORMS = ("roll", "strip", "piece")
#: Fields whose sizes are refused where they cannot be meant; a shape's may be nought or negative.
_JUDGED = frozenset({"mesh_count", "pitch", "aperture", "wire_diameter", "width", "length"})


def _windows(field: str) -> tuple[str, ...]:
    """Forms by which a field has windows; of width and length where the form is not known.

    A piece's windows are wider than what any loom or roll allows, so that it says its form.
    """
    if plausible.window(field) is not None:
        return ("",)
    return tuple(form for form in _FORMS if plausible.window(field, form) is not None)


def usual(field: str, value: float, digit: float, form: str) -> bool:
    """Whether a reading is ordered every day, in the form known or in any."""
    forms = (form,) if form and plausible.window(field, form) else _windows(field) or ("",)
    return any(plausible.is_usual(field, value, digit, each) for each in forms)


def pick(
    numbers: list[Number],
    factor: float,
    field: str,
    hints: Hints,
    unit: str,
    *,
    whole_is_total: bool = False,
    every_digit: bool = False,
) -> tuple[Number, Message | None] | Message:
    """Pick the one reading of some digits; or say what each would be.

    Parameters
    ----------
    numbers
        The readings: one, or a decimal and one with thousands or without the stop before it.
    factor
        Unit to the unit of the field's window.
    field, hints, unit
        Whose window decides, what is known, and the unit for the message.
    whole_is_total
        Whether whole thousands may be a total, which no window of one piece excludes.
    every_digit
        Whether a reading that states a finer digit than anybody does is out of the ordinary:
        nobody analyses water to 19.400 mg/l, but a program writes "63.000 µm".

    Returns
    -------
    The reading, and how it was understood if there was a doubt; or why it is asked.
    """
    if len(numbers) == 1:
        return numbers[0], None
    decimal, thousands = numbers
    fits = [
        n
        for n in numbers
        if usual(
            field,
            n.value * factor,
            n.half * 2 * factor if every_digit else 0.0,
            hints.form,
        )
    ]
    total = (
        whole_is_total
        and decimal.value == round(decimal.value)
        and unit in ("m", "ft")
        and decimal.value <= _MOST_TOTAL
    )
    if total and thousands not in fits:
        fits = numbers
    if len(fits) == 1:
        return fits[0], _understood(fits[0], numbers, unit)
    either = " or ".join(f"{shown(n.value)} {unit}".strip() for n in numbers)
    if not thousands.grouped:
        return refusals.stop_or_point(either)
    if hints.decimal:
        chosen = decimal if decimal.mark == hints.decimal else thousands
        other = thousands if chosen is decimal else decimal
        taken, left = (f"{shown(n.value)} {unit}".strip() for n in (chosen, other))
        return chosen, refusals.separator_as_others(taken, left, total)
    if unit in _POINT_UNITS and fits and (decimal.mark == "." or unit == "in"):
        chosen = decimal if decimal.mark == "." else thousands
        return chosen, _understood(chosen, numbers, unit)
    return refusals.separator(either)


#: Thousands of metres up to which an order in all may run [-]; above, it is one size.
_MOST_TOTAL = 10.0


def _understood(number: Number, numbers: list[Number], unit: str) -> Message:
    other = next(n for n in numbers if n is not number)
    return refusals.separator_taken(
        f"{shown(number.value)} {unit}".strip(), f"{shown(other.value)} {unit}".strip()
    )


#: Units that a bare number is asked with, the likeliest first, and as many as are named.
_ASKED_UNITS, _ASKED = ("mm", "in", "m", "ft"), 2
_ASKED_OF_LENGTHS = ("m", "ft", "mm", "in")


def _likely_units(measure: Measure, field: str, form: str) -> tuple[str, ...]:
    """Units in which a bare number can be what its field holds; the customary two if in none."""

    def fitting(fits: Callable[[str, float, float, str], bool]) -> list[str]:
        return [
            unit for unit in (_ASKED_OF_LENGTHS if field == "length" else _ASKED_UNITS)
            if any(fits(field, n.value * LENGTHS_M[unit], 0.0, form) for n in measure.numbers)
        ]  # fmt: skip

    def possible(field: str, value: float, _digit: float, form: str) -> bool:
        return plausible.is_possible(field, value, form)

    if not form and field in ("width", "length"):
        form = "roll"  # as most are
    if plausible.window(field, form) is None:
        return _ASKED_UNITS[:_ASKED]
    units = list(dict.fromkeys((*fitting(plausible.is_usual), *fitting(possible))))
    return tuple(units[:_ASKED]) or _ASKED_UNITS[:_ASKED]


#: Numbers of stainless steels and of nickel alloys (EN 10027-2, from memory).
_MATERIAL_NUMBER = re.compile(r"[12]\.4\d{3}")


def is_material_number(text: str) -> bool:
    """Whether a bare number is written as a metal's, and not as a size.

    Examples
    --------
    >>> is_material_number("1.4404"), is_material_number("1.5875"), is_material_number("1.4404 mm")
    (True, False, False)
    """
    return _MATERIAL_NUMBER.fullmatch(text) is not None


def _choose_bare(measure: Measure, field: str, hints: Hints) -> Sized:
    """Choose the unit of a bare number by what alone can be meant."""
    found: list[tuple[Number, str]] = []
    if is_material_number(measure.text):
        why = refusals.material_number(measure.text, field_words(field))
        return Sized(0.0, 0.0, "", why=why)
    if not (measure.text.startswith("0") and measure.text[1:2].isdigit()):
        found = [
            (number, unit)
            for number in measure.numbers
            for unit in bare_units(field, number.value, measure.metric)
        ]
    sizes = {f"{number.value * LENGTHS_M[unit]:.12g}" for number, unit in found}
    if len(sizes) != 1 or found[0][1] == SAID:
        text = measure.text
        units = _likely_units(measure, field, hints.form)
        written = " or ".join(f'"{text} {unit}"' for unit in units)
        why = refusals.unit_missing(f"Write {written}.")
        return Sized(0.0, 0.0, "", why=why)
    number, unit = found[0]
    said = refusals.unit_taken(f"{shown(number.value)} {unit}")
    factor = LENGTHS_M[unit]
    value = number.value * factor
    if wrong := impossible(field, value, hints.form, f"{shown(number.value)} {unit}"):
        return Sized(0.0, 0.0, unit, why=wrong)
    return Sized(value, number.half * factor, unit, said)
