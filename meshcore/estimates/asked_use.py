"""What is asked of a cloth: the use, its figures and the alloy, as read from what was typed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from meshcore.alloys.record import Alloy
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.messages import Message
from meshcore.uses.catalogue import read_use
from meshcore.uses.figures import Value, read_figures
from meshcore.uses.statement import Metal, Statement, number
from meshcore.uses.words import figures_said

_MPA = 1e6


@dataclass(frozen=True, slots=True)
class AskedUse:
    """A use as read: its statement and figures, and the wire's alloy."""

    statement: Statement
    figures: Mapping[str, Value]
    alloy: str
    metal: Metal


def read_asked(use: str, texts: Mapping[str, str], alloy: str) -> AskedUse | tuple[Message, ...]:
    """Read a use, its figures and the alloy; or say what cannot be."""
    statement = read_use(use)
    if isinstance(statement, Message):
        return (statement,)
    values, wrong = read_figures(statement.figures, figures_said(statement, use) | dict(texts))
    registry = installed_registry()
    found = resolve(registry, alloy or statement.alloys[0])
    if isinstance(found, Message):
        return (*wrong, found)
    wrong += _unused(values)
    if wrong:
        return wrong
    one = registry.alloys[found]
    return AskedUse(statement, values, one.designation, metal_of(one))


def _unused(values: Mapping[str, Value]) -> tuple[Message, ...]:
    """Name figures that were given and say nothing without another."""
    if "most_drop" not in values or math.isnan(number(values, "most_drop")):
        return ()
    if not math.isnan(number(values, "speed")):
        return ()
    mend = 'a pressure drop at most says nothing without it. Write it as "2 m/s".'
    return (Message("speed", "", mend, code="use.figure_unused"),)


def metal_of(alloy: Alloy) -> Metal:
    """Return what a use needs to know of an alloy."""
    low, high = alloy.tensile_mpa
    return Metal((low * _MPA, high * _MPA), alloy.density_kg_m3, alloy.family)
