"""Whether what was read can be meant: sizes within their windows, and forms of enough meshes.

A size that cannot be meant is refused and one that is unusual put up for review, each with the
reason. Windows of single sizes are those of `meshcore.reading.numbers.plausible`, by which
readings are chosen; the limits here hold sizes of a line against one another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import FORMS, ROLL
from meshcore.messages import Message, MessageLog
from meshcore.reading.numbers.plausible import PRACTICE, window
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.reading.texts import is_blank
from meshcore.rounding import SLACK
from meshcore.supply.forms import FormColumns
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.judging.limits import length_text


@dataclass(frozen=True, slots=True)
class Limit:
    """Least, or greatest, that one measure of a line may be.

    Parameters
    ----------
    refused, review
        Beyond the first the line is refused, beyond the second put up for review.
    reason
        Why; a sentence.
    origin
        Where the limit comes from.
    """

    refused: float
    review: float
    reason: str
    origin: str = PRACTICE


#: Least wire over pitch that anything can be woven of; what is light beyond practice is judged by
#: the weave rules.
LEAST_WIRE_TO_PITCH = Limit(
    0.004, 0.004, "so thin a wire over so wide an opening holds no square, so one of them is wrong"
)
#: Least meshes across each side of a form, in the order of ``FORMS``.
LEAST_MESHES: tuple[Limit, ...] = (
    Limit(4.0, 10.0, "a roll is some tens of meshes wide and long"),
    Limit(1.5, 4.0, "a strip of less than a few meshes falls apart as it is slit"),
    Limit(1.0, 3.0, "a piece of less than a few meshes falls apart as it is cut"),
)
#: Least meshes across the band of a piece that is cut out: a ring's, a frame's, a notched leg's.
LEAST_BAND = Limit(1.0, 3.0, "a band of less than a few meshes falls apart as it is cut")
#: Share of its narrower side below which a piece is a band and no full piece [-] (a choice): a
#: disc has half, and the slimmest triangle a third.
BAND_OF_SIDE = 0.25
#: Mass of one roll, least and greatest [kg].
LIGHTEST_ROLL = Limit(0.005, 0.05, "a roll weighs some tens of grams at the very least")
HEAVIEST_ROLL = Limit(20_000.0, 3_000.0, "a roll of more than a few tonnes cannot be handled")


def judge_plausibility(
    read: EnquiryColumns,
    cloth: ClothColumns,
    forms: FormColumns,
    mass_per_area_kg_m2: FloatArray,
    log: MessageLog,
) -> None:
    """Refuse, or put up for review, what cannot or can hardly be meant.

    Parameters
    ----------
    read, cloth, forms, mass_per_area_kg_m2
        The lines as read and completed; NaN is not judged.
    log
        Receives a message for each line and size outside its limits.
    """
    with np.errstate(invalid="ignore"):
        for field, form, values in _judged_sizes(read, cloth, forms):
            _hold_in_window(field, form, values, read, log)
        ratio = cloth.wire_diameter_m / cloth.pitch_m
        thin = _Measure("wire_diameter", ratio, "wire over pitch", code="plausible.thin_wire")
        _hold(thin, LEAST_WIRE_TO_PITCH, read, log)
        for number, limit in enumerate(LEAST_MESHES):
            once = np.where(forms.length_m == forms.width_m, np.nan, forms.length_m)
            for field, sides in (("width", forms.width_m), ("length", once)):
                meshes = np.where(read.form == number, sides / cloth.pitch_m, np.nan)
                few = _Measure(field, meshes, "meshes", code="plausible.few_meshes")
                _hold(few, limit, read, log)
        bands = _Measure(
            "width", _bands_m(forms) / cloth.pitch_m, "meshes across the band",
            code="plausible.narrow_band",
        )  # fmt: skip
        _hold(bands, LEAST_BAND, read, log)
        area = np.where(read.form == ROLL, forms.width_m * forms.length_m, np.nan)
        roll = _Measure(
            "length", area * mass_per_area_kg_m2, "kg a roll", code="plausible.roll_mass"
        )
        for limit in (LIGHTEST_ROLL, HEAVIEST_ROLL):
            _hold(roll, limit, read, log)


def _bands_m(forms: FormColumns) -> FloatArray:
    """Width of what is left of each piece that is hollow or notched [m]; NaN of all others.

    Twice the area over the length of all cuts is just the width of a ring's band, and nearly that
    of any long band.
    """
    side = np.minimum(forms.width_m, forms.length_m)
    band = 2.0 * forms.piece_area_m2 / forms.piece_cut_m
    return np.where(band < BAND_OF_SIDE * side, band, np.nan)


@dataclass(frozen=True, slots=True)
class _Measure:
    """What is held against a limit: its field, its values, their unit, and the message's code."""

    field: str
    values: FloatArray
    unit: str
    code: str


def _judged_sizes(
    read: EnquiryColumns, cloth: ClothColumns, forms: FormColumns
) -> Iterator[tuple[str, str, FloatArray]]:
    """Field, form and values of each size that has a window."""
    completed = {
        "aperture": cloth.aperture_m,
        "wire_diameter": cloth.wire_diameter_m,
        "open_area": cloth.open_area,
    }
    for field, column in read.readings.items():
        # What was typed is judged even where the sizes together make no cloth.
        whole = completed.get(field)
        yield (
            field,
            "",
            column.values if whole is None else np.where(column.given, column.values, whole),
        )
    for code, form in enumerate(FORMS):
        asked = read.form == code
        if asked.any():
            yield "width", form, np.where(asked, forms.width_m, np.nan)
            # What is as long as wide, such as a disc, is judged once.
            long = asked & ~((form == "piece") & (forms.length_m == forms.width_m))
            yield "length", form, np.where(long, forms.length_m, np.nan)
            yield "quantity", form, np.where(asked, forms.quantity, np.nan)


def _hold_in_window(
    field: str, form: str, values: FloatArray, read: EnquiryColumns, log: MessageLog
) -> None:
    known = window(field, form)
    if known is None:
        return
    beyond = _outside(values, known.possible)
    unusual = _outside(values, known.usual) & ~beyond
    for mask, is_beyond in ((beyond, True), (unusual, False)):
        for row in np.flatnonzero(mask).tolist():
            noun = f"{field.replace('_', ' ')}{f' of a {form}' if form else ''}"
            size = _text(field, float(values[row]))
            what = f"{size} cannot be the {noun}" if is_beyond else f"{size} is unusual as {noun}"
            text = f"{what}: {known.reason} ({known.origin}). Check the figure and its unit."
            log.add([row], _message(field, row, text, read, is_beyond, code="plausible.window"))


def _outside(values: FloatArray, limits: tuple[float, float]) -> BoolArray:
    least, greatest = limits
    outside: BoolArray = (values < least * (1.0 - SLACK)) | (values > greatest * (1.0 + SLACK))
    return outside


def _hold(measure: _Measure, limit: Limit, read: EnquiryColumns, log: MessageLog) -> None:
    """Say of each line beyond a limit that it is; a limit refuses below review, or above it."""
    values = measure.values
    is_least = limit.refused <= limit.review
    beyond = values < limit.refused if is_least else values > limit.refused
    unusual = (values < limit.review if is_least else values > limit.review) & ~beyond
    sense = "at least" if is_least else "at most"
    for mask, is_beyond in ((beyond, True), (unusual, False)):
        bound = limit.refused if is_beyond else limit.review
        for row in np.flatnonzero(mask).tolist():
            text = (
                f"{values[row]:.3g} {measure.unit}, where {sense} {bound:g} is "
                f"{'needed' if is_beyond else 'usual'}: {limit.reason} ({limit.origin}). "
                "Check the figures and their units."
            )
            log.add([row], _message(measure.field, row, text, read, is_beyond, code=measure.code))


def _message(
    field: str, row: int, text: str, read: EnquiryColumns, is_beyond: bool, *, code: str
) -> Message:
    field, shown = _typed(field, row, read)
    return Message(field, shown, text, "refused" if is_beyond else "review", code=code)


def _typed(field: str, row: int, read: EnquiryColumns) -> tuple[str, str]:
    """Field that holds a size as typed, and what it holds; blank for a size that is derived."""
    if field in ("width", "length"):
        if FORMS[read.form[row]] == "piece" and not is_blank(str(read.dimensions[row])):
            return "dimensions", str(read.dimensions[row])
        if FORMS[read.form[row]] == "piece" and not is_blank(str(read.shape[row])):
            return "shape", str(read.shape[row])
        column = read.width if field == "width" else read.length
        return field, _cell(column.texts[row])
    if field == "quantity":
        return field, f"{read.quantity[row]:.15g}"
    if field in read.readings and read.readings[field].given[row]:
        return field, _cell(read.readings[field].texts[row])
    return field, ""


def _cell(cell: object) -> str:
    return f"{cell:g}" if isinstance(cell, float) else str(cell)


def _text(field: str, value: float) -> str:
    """Size in the units that people use."""
    if field == "mesh_count":
        return f"{value * METRES_PER_INCH:.4g} / in"
    if field == "open_area":
        return f"{value:.2%}"
    if field == "quantity":
        return f"{value:,.0f}"
    return f"{value:,.4g} m" if value >= _METRES_FROM else length_text(value)


#: Lengths from here on are written in metres.
_METRES_FROM = 10.0
