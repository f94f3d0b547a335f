"""Families of alloys as the tables name them, and what is kin: said once, so none is missed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from meshcore.alloys.methods.data_tables import data_rows


@cache
def families() -> Mapping[str, tuple[str, ...]]:
    """Return each family with what it belongs to, in the order of their file."""
    return {cells["family"]: tuple(cells["kin"].split()) for cells in data_rows("families.csv")}


@cache
def all_of(*names: str) -> tuple[str, ...]:
    """Return every family of some names: families themselves, what they belong to, or ``*``.

    Raises
    ------
    ValueError
        If a name is neither a family nor a kin of one.

    Examples
    --------
    >>> all_of("duplex", "titanium")
    ('leanduplex', 'duplex', 'superduplex', 'ti', 'tipd', 'ti5')
    """
    known = families()
    found: list[str] = []
    for name in names:
        meant = [f for f, kin in known.items() if name in (f, *kin) or name == "*"]
        if not meant:
            raise ValueError(f"{name!r} is neither a family of alloys nor a kin of one")
        found += meant
    return tuple(dict.fromkeys(found))


def closeness(name: str, family: str) -> int:
    """How closely a name means a family: 2 it alone, 1 its kin, 0 all, -1 not at all."""
    if name == "*":
        return 0
    if name == family:
        return 2
    return 1 if family in all_of(name) else -1
