"""A mill's capability table: limits by weave, each with its origin, read from TOML."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.reading.entries import Entries
from meshcore.reading.settings_files import read_toml
from meshcore.units import Kind
from meshcore.weave.cloth import WEAVES

#: Length of a capability table's lists by weave.
_WEAVE_COUNT = len(WEAVES)


class CapabilityError(ValueError):
    """A capability table that cannot be read; the message names each entry and what mends it."""


@dataclass(frozen=True, slots=True)
class WeaveLimit:
    """One limit by weave, in the order of ``WEAVES``; NaN where a weave has none."""

    values: FloatArray
    origin: str


@dataclass(frozen=True, slots=True)
class PlainWeaveRange:
    """How coarse cloth may be and still be plain weave.

    Parameters
    ----------
    usual_to_pitch_m
        Pitch up to which plain weave is usual, whatever else [m].
    coarsest_aperture_m, heaviest_wire_m
        Largest aperture and wire of coarser plain weave [m].
    origin
        Where the limits come from.
    """

    usual_to_pitch_m: float
    coarsest_aperture_m: float
    heaviest_wire_m: float
    origin: str


@dataclass(frozen=True, slots=True)
class WidthLimit:
    """Widest cloth [m] for wire up to each diameter [m], ascending."""

    wire_up_to_m: FloatArray
    width_m: FloatArray
    origin: str


@dataclass(frozen=True, slots=True)
class Capability:
    """What a mill weaves; ratios are wire diameter over pitch."""

    name: str
    date: date
    most_wire_to_pitch: WeaveLimit
    least_wire_to_pitch: WeaveLimit
    least_before_intermediate_crimp: WeaveLimit
    finest_wire_m: WeaveLimit
    heaviest_wire_m: WeaveLimit
    plain_weave: PlainWeaveRange
    widest_cloth: WidthLimit


def customary_capability() -> Capability:
    """Return the bundled table of what is customarily woven.

    Examples
    --------
    >>> customary_capability().plain_weave.origin
    'common practice, no source'
    """
    text = resources.files(__package__).joinpath("capability.toml").read_text("utf-8")
    return parse_capability(tomllib.loads(text), "capability.toml")


def read_capability(path: str | Path) -> Capability:
    """Read a capability table from a TOML file.

    Raises
    ------
    CapabilityError
        If the file cannot be read, or an entry is missing or makes no sense.
    """
    return parse_capability(read_toml(Path(path), str(path), CapabilityError), str(path))


def parse_capability(data: Mapping[str, Any], where: str) -> Capability:
    """Build a capability table from parsed TOML; all that is wrong is said at once.

    Raises
    ------
    CapabilityError
        If an entry is missing or makes no sense.
    """
    entries = Entries(data)
    head = entries.section("capability")
    capability = Capability(
        name=str(head.get("name", where)),
        date=head["date"] if isinstance(head.get("date"), date) else date.min,
        most_wire_to_pitch=_by_weave(entries, "most_wire_to_pitch", "number"),
        least_wire_to_pitch=_by_weave(entries, "least_wire_to_pitch", "number"),
        least_before_intermediate_crimp=_by_weave(
            entries, "least_wire_to_pitch_before_intermediate_crimp", "number"
        ),
        finest_wire_m=_by_weave(entries, "finest_wire", "length"),
        heaviest_wire_m=_by_weave(entries, "heaviest_wire", "length"),
        plain_weave=_plain_weave(entries),
        widest_cloth=_widest_cloth(entries),
    )
    if capability.date == date.min:
        entries.wrong.append("capability.date: missing; a date such as 2026-11-01 is due.")
    if entries.wrong:
        raise CapabilityError(f"{where}: " + " ".join(entries.wrong))
    return capability


def _origin(entries: Entries, name: str) -> str:
    origin = entries.section(name).get("origin", "")
    if not isinstance(origin, str) or not origin:
        entries.wrong.append(f"{name}.origin: missing; say where the limits come from.")
        return ""
    return origin


def _by_weave(entries: Entries, name: str, kind: Kind) -> WeaveLimit:
    values = np.full(_WEAVE_COUNT, np.nan)
    for weave, entry in entries.section(name).items():
        if weave in WEAVES:
            where = f"{name}.{weave}"
            values[WEAVES.index(weave)] = entries.read(where, entry, kind, above_zero=True)
        elif weave != "origin":
            entries.wrong.append(f"{name}.{weave}: no weave; write one of {', '.join(WEAVES)}.")
    return WeaveLimit(values, _origin(entries, name))


def _plain_weave(entries: Entries) -> PlainWeaveRange:
    count = entries.size("plain_weave", "usual_from_count", "count", above_zero=True)
    aperture, wire = (
        entries.size("plain_weave", key, above_zero=True)
        for key in ("coarsest_aperture", "heaviest_wire")
    )
    usual_to = 1.0 / count if count > 0 else np.nan
    return PlainWeaveRange(usual_to, aperture, wire, _origin(entries, "plain_weave"))


def _widest_cloth(entries: Entries) -> WidthLimit:
    section = entries.section("widest_cloth")
    wires, widths = (
        np.array(entries.sizes("widest_cloth", key, above_zero=True, needed=True))
        for key in ("wire_up_to", "width")
    )
    if len(wires) != len(widths) or not np.all(np.diff(wires) > 0):
        entries.wrong.append(
            "widest_cloth: wire_up_to and width must be lists of one length, and wire_up_to "
            f"must ascend; read {section.get('wire_up_to')!r} and {section.get('width')!r}."
        )
    return WidthLimit(wires, widths, _origin(entries, "widest_cloth"))
