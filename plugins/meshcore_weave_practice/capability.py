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
from meshcore.messages import Message
from meshcore.reading.texts import read_text
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
    try:
        data = tomllib.loads(Path(path).read_text(encoding="utf-8"))
    except OSError as error:
        raise CapabilityError(f"{path}: cannot be opened ({error.strerror}).") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise CapabilityError(f"{path}: not a TOML file ({error}).") from error
    return parse_capability(data, str(path))


def parse_capability(data: Mapping[str, Any], where: str) -> Capability:
    """Build a capability table from parsed TOML; all that is wrong is said at once.

    Raises
    ------
    CapabilityError
        If an entry is missing or makes no sense.
    """
    reader = _Reader(data, [])
    head = reader.section("capability")
    capability = Capability(
        name=str(head.get("name", where)),
        date=head["date"] if isinstance(head.get("date"), date) else date.min,
        most_wire_to_pitch=reader.by_weave("most_wire_to_pitch", "number"),
        least_wire_to_pitch=reader.by_weave("least_wire_to_pitch", "number"),
        least_before_intermediate_crimp=reader.by_weave(
            "least_wire_to_pitch_before_intermediate_crimp", "number"
        ),
        finest_wire_m=reader.by_weave("finest_wire", "length"),
        heaviest_wire_m=reader.by_weave("heaviest_wire", "length"),
        plain_weave=reader.plain_weave(),
        widest_cloth=reader.widest_cloth(),
    )
    if capability.date == date.min:
        reader.wrong.append("capability.date: missing; a date such as 2026-11-01 is due.")
    if reader.wrong:
        raise CapabilityError(f"{where}: " + " ".join(reader.wrong))
    return capability


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads sections and gathers what is wrong with them."""

    data: Mapping[str, Any]
    wrong: list[str]

    def section(self, name: str) -> Mapping[str, Any]:
        section = self.data.get(name)
        if isinstance(section, dict):
            return section
        self.wrong.append(f"{name}: the section is missing.")
        return {}

    def origin(self, name: str) -> str:
        origin = self.section(name).get("origin", "")
        if not isinstance(origin, str) or not origin:
            self.wrong.append(f"{name}.origin: missing; say where the limits come from.")
            return ""
        return origin

    def number(self, where: str, entry: object, kind: Kind) -> float:
        reading = read_text(str(entry), kind, where)
        if isinstance(reading, Message):
            self.wrong.append(str(reading))
            return np.nan
        if not reading.value > 0:
            self.wrong.append(f"{where}: read {entry!r}; a limit is above zero.")
        return reading.value

    def by_weave(self, name: str, kind: Kind) -> WeaveLimit:
        values = np.full(_WEAVE_COUNT, np.nan)
        for weave, entry in self.section(name).items():
            if weave in WEAVES:
                values[WEAVES.index(weave)] = self.number(f"{name}.{weave}", entry, kind)
            elif weave != "origin":
                self.wrong.append(f"{name}.{weave}: no weave; write one of {', '.join(WEAVES)}.")
        return WeaveLimit(values, self.origin(name))

    def plain_weave(self) -> PlainWeaveRange:
        section = self.section("plain_weave")
        count = self.number(
            "plain_weave.usual_from_count", section.get("usual_from_count"), "count"
        )
        aperture, wire = (
            self.number(f"plain_weave.{key}", section.get(key), "length")
            for key in ("coarsest_aperture", "heaviest_wire")
        )
        return PlainWeaveRange(1.0 / count, aperture, wire, self.origin("plain_weave"))

    def widest_cloth(self) -> WidthLimit:
        section = self.section("widest_cloth")
        wires, widths = (self.lengths("widest_cloth", key) for key in ("wire_up_to", "width"))
        if len(wires) != len(widths) or not np.all(np.diff(wires) > 0):
            self.wrong.append(
                "widest_cloth: wire_up_to and width must be lists of one length, and wire_up_to "
                f"must ascend; read {section.get('wire_up_to')!r} and {section.get('width')!r}."
            )
        return WidthLimit(wires, widths, self.origin("widest_cloth"))

    def lengths(self, name: str, key: str) -> FloatArray:
        entries = self.section(name).get(key)
        if not isinstance(entries, list) or not entries:
            self.wrong.append(f'{name}.{key}: read {entries!r}; a list such as ["1 m"] is due.')
            return np.full(0, np.nan)
        return np.array([self.number(f"{name}.{key}", entry, "length") for entry in entries])
