"""A grid that is typed in, held as it came on the screen: what is typed is told from that."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

import pandas as pd
import streamlit as st

Before = TypeVar("Before")


@dataclass(frozen=True, slots=True)
class Mounted(Generic[Before]):
    """The grid as it came on the screen, before anything was typed in it.

    Parameters
    ----------
    name, version
        Of the grid, and how often it was drawn anew.
    by
        What it was drawn from.
    frame
        Its cells.
    before
        What had been changed by then.
    """

    name: str
    version: int
    by: tuple[object, ...]
    frame: pd.DataFrame
    before: Before

    @property
    def key(self) -> str:
        """Under which the grid is kept."""
        return f"{self.name}_{self.version}"


def mounted(
    name: str, by: tuple[object, ...], make: Callable[[], tuple[pd.DataFrame, Before]]
) -> Mounted[Before]:
    """Return the grid to draw: anew where it is of something else, or was off the screen.

    Parameters
    ----------
    name
        Of the grid.
    by
        What it is drawn from: the first the very same as before, the others equal.
    make
        Works out its cells, and what was changed already.
    """
    last: Mounted[Before] | None = st.session_state.get(_held(name))
    if last is not None and last.key in st.session_state and _is_same(last.by, by):
        return last
    version = 0 if last is None else last.version + 1
    fresh = st.session_state[_held(name)] = Mounted(name, version, by, *make())
    return fresh


def unmount(name: str) -> None:
    """Have the grid drawn anew, with nothing typed in it."""
    last: Mounted[object] | None = st.session_state.get(_held(name))
    if last is not None:
        st.session_state[_held(name)] = replace(last, by=())


def _held(name: str) -> str:
    return f"{name}_mounted"


def _is_same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    return len(one) == len(other) and one[0] is other[0] and one[1:] == other[1:]
