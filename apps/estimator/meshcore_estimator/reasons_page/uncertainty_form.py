"""What is uncertain in a price, as the user states it."""

from __future__ import annotations

import json
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd
import streamlit as st

from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.ranges import (
    DRAWS,
    MASS,
    QUANTITY,
    SEED,
    YIELD,
    Uncertainty,
    stated_uncertainties,
)
from meshcore_estimator.shared.numbers import converted
from meshcore_estimator.shared.parts import plain_key

_TABLE, _SEED, _DRAWS = "uncertain_table", "uncertain_seed", "uncertain_draws"
#: What a draft brings back, until the table is drawn.
_RESTORED = "uncertain_restored"
_DRIVER, _SPREAD = "Input", "± furthest"
#: Draws to choose from.
_MANY = (1_000, 10_000, 100_000)
#: Spreads that make sense [%]: at 100 % an input might be nothing at all.
_LEAST, _MOST = 0.1, 99.0


@dataclass(slots=True)
class _Table:
    """The table on the screen: what it began with, and what was typed in it since."""

    book: PriceBook
    offered: list[str]
    began: list[Uncertainty]
    typed: list[Uncertainty]
    version: int = 0


def ask_uncertainties(book: PriceBook, drivers: Iterable[str]) -> list[Uncertainty]:
    """Draw the uncertain inputs as a table to edit.

    Parameters
    ----------
    book
        States the uncertainties that the table opens with.
    drivers
        Inputs that the price rests on, to choose from.

    Returns
    -------
    One for each input that is complete; the first, where one is named twice.
    """
    table = _table(book, drivers)
    config = st.column_config
    edited = st.data_editor(
        pd.DataFrame(
            {
                _DRIVER: pd.Series([u.driver for u in table.began], dtype="str"),
                _SPREAD: pd.Series([_per_cent(u) for u in table.began], dtype="float64"),
            }
        ),
        key=f"uncertain_{table.version}",
        num_rows="dynamic",
        on_change="ignore",
        column_config={
            _DRIVER: config.SelectboxColumn(
                _DRIVER,
                options=table.offered,
                required=True,
                format_func=lambda name: plain_key(str(name)),
            ),
            _SPREAD: config.NumberColumn(
                f"{_SPREAD} [%]", min_value=_LEAST, max_value=_MOST, format="%.1f", required=True
            ),
        },
    )
    table.typed = _read(edited.to_dict("records"))
    return table.typed


def _table(book: PriceBook, drivers: Iterable[str]) -> _Table:
    """Return the table in hand; it begins anew where it was not on the screen."""
    stated = list(stated_uncertainties(book))
    offered = list(dict.fromkeys([*(u.driver for u in stated), *_drawable(book, drivers)]))
    table: _Table | None = st.session_state.get(_TABLE)
    if table is None or table.book != book:
        version = 0 if table is None else table.version + 1
        began = st.session_state.pop(_RESTORED, stated)
        table = st.session_state[_TABLE] = _Table(book, offered, began, began, version)
    elif table.offered != offered or f"uncertain_{table.version}" not in st.session_state:
        table.offered, table.began = offered, table.typed
        table.version += 1
    return table


def to_text() -> str:
    """Return what is stated to be uncertain, to be kept over a reload."""
    table: _Table | None = st.session_state.get(_TABLE)
    typed = table.typed if table is not None else st.session_state.get(_RESTORED)
    return "" if typed is None else json.dumps([[u.driver, u.spread] for u in typed])


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    st.session_state[_RESTORED] = [Uncertainty(*entry) for entry in json.loads(text)]


def _per_cent(uncertainty: Uncertainty) -> float:
    return converted(uncertainty.spread, "", "percent")


def _drawable(book: PriceBook, drivers: Iterable[str]) -> list[str]:
    """Leave out what cannot be drawn: sizes of the cloth, and exchange rates."""
    return [name for name in drivers if name in book.by_key or name in (YIELD, MASS, QUANTITY)]


def _read(rows: Sequence[Mapping[Hashable, object]]) -> list[Uncertainty]:
    stated: dict[str, Uncertainty] = {}
    for row in rows:
        driver, spread = row[_DRIVER], row[_SPREAD]
        if isinstance(driver, str) and isinstance(spread, float) and spread >= _LEAST:
            stated.setdefault(driver, Uncertainty(driver, converted(spread, "percent", "")))
    return list(stated.values())


def ask_draws() -> tuple[int, int]:
    """Draw how many draws, and the seed that gives the same ones again."""
    left, right = st.columns(2, wrap=False)
    draws = left.selectbox(
        "Draws", _MANY, index=_MANY.index(DRAWS), key=_DRAWS, persist_state="session",
        format_func=lambda n: f"{n:,}",
    )  # fmt: skip
    seed = right.number_input(
        "Seed", min_value=0, value=SEED, step=1, key=_SEED, persist_state="session",
        help="The same seed gives the same range again.",
    )  # fmt: skip
    st.caption("Each input is drawn by itself, from a triangle with its peak at the nominal value "
               "and its feet as far off as the table says.")  # fmt: skip
    return int(draws), int(seed or SEED)
