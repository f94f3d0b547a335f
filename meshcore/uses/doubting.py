"""What is told of figures that were read: those that are unusual, and sieves taken for sizes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from meshcore.messages import Message
from meshcore.uses.figures import Figure, FigureKind, Value
from meshcore.uses.plain import plain
from meshcore.uses.relations.sieves import aperture_numbered

#: A figure typed as an end of what is usual is within it, however it was computed [-].
_DUST = 1e-9


def sieves_taken(
    figures: Sequence[Figure], values: Mapping[str, Value], texts: Mapping[str, str]
) -> tuple[Message, ...]:
    """Say which sizes were given by the number of a sieve, and what each is taken as."""
    return tuple(
        Message(one.name, text, "taken as the sieve of that number of ASTM E11, "
                f"{_shown('size', float(values[one.name]))} (from memory). Write the size if it is "
                "a count of wires.", "note", code="use.sieve_taken")
        for one in figures
        if one.kind == "size"
        and (text := str(texts.get(one.name, "")).strip())
        and aperture_numbered(text) is not None
    )  # fmt: skip


def doubts(
    figures: Sequence[Figure], values: Mapping[str, Value], texts: Mapping[str, str]
) -> tuple[Message, ...]:
    """Doubt figures that lie where they mostly do not.

    Parameters
    ----------
    figures, values
        Those of the use, and their values as read.
    texts
        As they were typed; what was left blank is not doubted.

    Examples
    --------
    >>> speed = Figure("speed", "Speed", "speed", "2 m/s", usual=(0.0, 20.0))
    >>> for one in doubts([speed], {"speed": 400.0}, {"speed": "400 m/s"}):
    ...     print(one)
    speed: read "400 m/s" — unusual here: it is mostly at most 20 m/s (common practice, no \
source). Check the figure and its unit.
    """
    chosen = {str(value) for value in values.values() if isinstance(value, str)}
    found = []
    for one in figures:
        text, value = str(texts.get(one.name, "")).strip(), values.get(one.name)
        low, high = next((r for word, r in one.usual_by.items() if word in chosen), one.usual)
        if not text or not isinstance(value, float) or math.isnan(value):
            continue
        if not low * (1.0 - _DUST) <= value <= high * (1.0 + _DUST):
            mend = (f"unusual here: it is mostly {_between(one.kind, low, high)} (common practice, "
                    "no source). Check the figure and its unit.")  # fmt: skip
            found.append(Message(one.name, text, mend, "review", code="use.figure_unusual"))
    return tuple(found)


def _between(kind: FigureKind, low: float, high: float) -> str:
    least, most = _shown(kind, low), _shown(kind, high)
    if not low:
        return f"at most {most}"
    return f"at least {least}" if math.isinf(high) else f"between {least} and {most}"


def _shown(kind: FigureKind, value: float) -> str:
    """Write a value in the unit of its kind."""
    if kind == "angle":
        return f"{math.degrees(value):.0f}°"
    factor, unit = _UNITS_SHOWN.get(kind, (1.0, ""))
    return f"{plain(value * factor)}{unit}"


_UNITS_SHOWN: Mapping[str, tuple[float, str]] = MappingProxyType(
    {
        "length": (1e3, " mm"), "size": (1e3, " mm"), "share": (1e2, " %"), "speed": (1.0, " m/s"),
        "pressure": (1.0, " Pa"), "frequency": (1e-6, " MHz"), "line load": (1e-3, " kN/m"),
        "section": (1e6, " mm²/m"), "decibel": (1.0, " dB"),
    }
)  # fmt: skip
