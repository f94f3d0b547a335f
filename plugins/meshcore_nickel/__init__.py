"""Nickel and nickel alloys, as an alloy-family plugin."""

from __future__ import annotations

from meshcore.alloys.reading import read_families
from meshcore.alloys.record import Alloy
from meshcore.hookspecs import hookimpl


@hookimpl
def meshcore_alloys() -> tuple[Alloy, ...]:
    """Alloys of the family files in this folder."""
    return read_families(__name__)
