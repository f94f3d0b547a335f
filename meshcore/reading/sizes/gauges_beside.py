"""Wire gauges, and the sizes that stand beside them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.messages import Message
from meshcore.reading import refusals, wire_refusals
from meshcore.reading.numbers.lexing import tidy
from meshcore.reading.numbers.readings import Hints, Reading, Stated
from meshcore.reading.refusals import about
from meshcore.reading.sizes import gauge_texts
from meshcore.reading.sizes.lengths import ROUNDED, read_length

_SECOND_STATEMENT = re.compile(r"[(\[=/]")
#: A size with a decimal behind a gauge, or a gauge behind a size: '16 AWG .051"', "1.63 mm 16 SWG".
_SIZE_BEHIND = re.compile(
    r"(?<=[a-zA-Z])[.,]?\s+(?=\d*[.,]\d)|(?:(?<=mm)|(?<=in)|(?<=\"))[.,]?\s+(?=\d+\s*[a-zA-Z])"
)


#: A gauge and a size that say one thing agree this nearly [-].
_AGREEMENT = 0.01


#: A size that is the gauge to the last digit of printed tables is off by no more than this [-].
GAUGE_DIGITS = 0.005


_WIRELESS = frozenset({"aperture", "pitch", "width", "length"})


def read_gauge_in(text: str, field: str, shown: str) -> Reading | Message | None:
    """Read a gauge where a size belongs; None where the text is none.

    Parameters
    ----------
    text, field
        What is read, and the column that it stands in.
    shown
        What was typed, for the message.
    """
    gauge = gauge_texts.read_gauge(text, field)
    if isinstance(gauge, Message):
        return about(gauge, field, shown)
    if gauge is None:
        return None
    if field in _WIRELESS:
        return about(wire_refusals.gauge_elsewhere(), field, shown)
    return Reading(gauge, 0.0, "gauge")


def gauge_and_size(text: str, field: str, hints: Hints) -> Reading | Message | None:
    """Read "16 SWG (1.63 mm)", and hold the one against the other."""
    plain_text = tidy(text)
    parts = [p.strip(" )]") for p in _SECOND_STATEMENT.split(plain_text)]
    if len(parts) == 1:
        parts = _SIZE_BEHIND.split(plain_text)
    if len(parts) != 2:  # noqa: PLR2004 - the gauge and the size
        return None
    if field in _WIRELESS:
        return _size_and_its_gauge(parts, field, text, hints)
    read = [read_gauge_in(p, field, text) or read_length(p, field, "", hints) for p in parts]
    if settled := _of_either_system(parts, read, field, text):
        return settled
    gauges = [r for r in read if isinstance(r, Reading) and r.unit == "gauge"]
    sizes = [r for r in read if isinstance(r, Reading) and r.unit != "gauge"]
    if len(gauges) != 1 or len(sizes) != 1:
        return None
    gauge, size = gauges[0], sizes[0]
    slack = max(min(size.half_width, ROUNDED * gauge.value), _AGREEMENT * gauge.value)
    if abs(gauge.value - size.value) > slack:
        shown = f"{gauge.value * 1e3:.3f} mm", f"{size.value * 1e3:.6g} mm"
        return about(wire_refusals.gauge_conflict(*shown), field, text)
    shown = f"{gauge.value * 1e3:.4g} mm", f"{size.value * 1e3:.6g} mm"
    rounded = abs(gauge.value - size.value) > GAUGE_DIGITS * gauge.value
    return replace(gauge, said=wire_refusals.gauge_taken(*shown) if rounded else size.said)


def _size_and_its_gauge(
    parts: list[str], field: str, text: str, hints: Hints
) -> Reading | Message | None:
    """Read an aperture with its wire by gauge: "12.7 mm / 16 SWG"."""
    gauges = [gauge_texts.read_gauge(part, "wire_diameter") for part in parts]
    sizes = [p for p, g in zip(parts, gauges, strict=True) if g is None]
    wires = [g for g in gauges if g is not None]
    if field != "aperture" or len(sizes) != 1:
        return None
    size = read_length(sizes[0], field, "", hints)
    if isinstance(wires[0], Message) or isinstance(size, Message):
        return about(wires[0] if isinstance(wires[0], Message) else size, field, text)  # type: ignore[arg-type]
    stated = Stated("wire_diameter", wires[0], f"{wires[0] * 1e3:.10g} mm")
    if stated.field not in hints.takes:
        return about(refusals.states_more("wire diameter", stated.text), field, text)
    return replace(size, also=(stated,))


def _of_either_system(
    parts: list[str], read: Sequence[Reading | Message], field: str, text: str
) -> Reading | Message | None:
    """Read "16 ga (0.0625 in)": the size says which system's gauge it is, and is what is meant."""
    asked = [
        p for p, r in zip(parts, read, strict=True)
        if isinstance(r, Message) and r.code == "wire.gauge_ambiguous"
    ]  # fmt: skip
    sizes = [r for r in read if isinstance(r, Reading)]
    if len(asked) != 1 or len(sizes) != 1:
        return None
    size, meant = sizes[0], gauge_texts.sizes_of(asked[0])
    near = [d for d in meant if abs(d - size.value) <= _AGREEMENT * size.value]
    if not near:
        shown = " or ".join(f"{d * 1e3:.3f} mm" for d in meant)
        return about(wire_refusals.gauge_conflict(shown, f"{size.value * 1e3:.6g} mm"), field, text)
    return replace(size, said=wire_refusals.gauge_named_by_size(f"{size.value * 1e3:.6g} mm"))
