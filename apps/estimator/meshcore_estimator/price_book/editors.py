"""Tables in which a price book is edited; what was typed comes back as a state of the draft."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, Literal

import pandas as pd
import streamlit as st

from meshcore.alloys.records.registry import installed_registry
from meshcore.costing.book.checking import EXCHANGE_COLUMNS, RATE_COLUMNS, SETTING_NAMES
from meshcore.costing.money import CURRENCIES
from meshcore.enquiry import FORMS, WEAVES
from meshcore_estimator.price_book.draft import (
    NUMBER,
    RULES_OFF,
    Cells,
    Draft,
    pricing_rules,
    switched,
)

#: Column that marks what is older than the book allows.
_MARK = "age"
_STALE = "stale"
#: What the rates are narrowed to: everything, what is stale, or keys that begin so.
ALL, STALE = "", "stale"
_NUMBERS = ("amount", "stale_after_days", "uncertainty_pct")
_DATES = ("date", "valid_from", "valid_to")
_NARROWED = "book_narrowed"
#: Height of the tables [px].
_RATES_HEIGHT, _ROW_HEIGHT = 460, 35

Stale = frozenset[int]


def _frame(entries: Iterable[Cells], columns: Sequence[str]) -> pd.DataFrame:
    """Cells as a table with a type for each column, even where all are blank."""
    held = list(entries)

    def column(name: str) -> pd.Series:
        cells = [cells.get(name) for cells in held]
        if name in _DATES:
            return pd.Series(pd.to_datetime(pd.Series(cells, dtype=object)), dtype="datetime64[s]")
        if name == NUMBER:
            return pd.Series(cells, dtype="Int64")
        return pd.Series(cells, dtype="float64" if name in _NUMBERS else "str")

    return pd.DataFrame({name: column(name) for name in columns})


def _cells(frame: pd.DataFrame) -> list[Cells]:
    """Cells of a table as the core reads them; blank ones are left out, and rows of nothing."""
    rows = (
        {str(name): _cell(cell) for name, cell in row.items() if str(name) != _MARK}
        for row in frame.to_dict("records")
    )
    filled = [{name: cell for name, cell in row.items() if cell is not None} for row in rows]
    return [row for row in filled if row.keys() - {NUMBER}]


def _cell(cell: Any) -> Any:  # noqa: ANN401 - a cell holds text, a number, a date or nothing
    if cell is None or cell is pd.NaT or cell is pd.NA or cell == "":
        return None
    if isinstance(cell, datetime):
        return cell.date()
    if isinstance(cell, float):
        return None if math.isnan(cell) else cell
    return cell


def rates(draft: Draft) -> None:
    """Draw the rates, and record what is typed in them."""
    stale = draft.stale["rates"]
    narrowed = st.selectbox(
        "Show", _choices(draft, stale), key=_NARROWED, on_change=draft.mount, width=280,
        format_func=lambda name: _choice_text(draft, stale, name),
        help="Narrows the table. The magnifying glass at its corner searches in it.",
    )  # fmt: skip
    mounted = draft.mounted.rates
    shown = [row for row in mounted if _is_shown(row, narrowed, stale)]
    typed = _editor(
        "rates", draft, shown, RATE_COLUMNS, stale, _rate_columns(draft),
        min(_RATES_HEIGHT, _ROW_HEIGHT * (len(shown) + 3)),
    )  # fmt: skip
    hidden = [row for row in mounted if not _is_shown(row, narrowed, stale)]
    ranked = sorted([*hidden, *typed], key=lambda row: row.get(NUMBER, math.inf))
    draft.record(replace(draft.now, rates=tuple(ranked)))


def _choices(draft: Draft, stale: Stale) -> list[str]:
    parts = dict.fromkeys(str(row.get("key", "")).split(".")[0] for row in draft.mounted.rates)
    return [ALL, *([STALE] if stale else []), *(part for part in parts if part)]


def _choice_text(draft: Draft, stale: Stale, name: str) -> str:
    count = sum(_is_shown(row, name, stale) for row in draft.mounted.rates)
    words = {ALL: "all rates", STALE: "stale rates"}
    return f"{words.get(name, name).capitalize()} ({count})"


def _is_shown(row: Cells, narrowed: str, stale: Stale) -> bool:
    if narrowed == STALE:
        return row.get(NUMBER) in stale
    return narrowed == ALL or str(row.get("key", "")).split(".")[0] == narrowed


def exchange(draft: Draft) -> None:
    """Draw the rates of exchange, and record what is typed in them."""
    config, codes = st.column_config, sorted(CURRENCIES)
    columns = {
        "currency": config.SelectboxColumn("1 of", options=codes, required=True, width=80),
        "to": config.SelectboxColumn("in", options=codes, required=True, width=80),
        "amount": config.NumberColumn("is", min_value=0, format="plain", required=True, width=100),
    }
    typed = _editor(
        "exchange",
        draft,
        draft.mounted.exchange,
        EXCHANGE_COLUMNS,
        draft.stale["exchange"],
        columns,
    )
    draft.record(replace(draft.now, exchange=tuple(typed)))


def _editor(
    name: str,
    draft: Draft,
    entries: Sequence[Cells],
    columns: Sequence[str],
    stale: Stale,
    config: dict[str, Any],
    height: int | Literal["auto"] = "auto",
) -> list[Cells]:
    frame = _frame(entries, (NUMBER, *columns))
    marks = [_STALE if row.get(NUMBER) in stale else "" for row in entries]
    frame.insert(len(columns), _MARK, pd.Series(marks, dtype="str"))
    made = st.column_config
    edited = st.data_editor(
        frame,
        key=f"book_{name}_{draft.version}",
        num_rows="dynamic",
        on_change="ignore",
        height=height,
        disabled=[NUMBER, _MARK],
        placeholder="",
        column_config={
            NUMBER: made.NumberColumn("no.", width=48, format="%d", pinned=True),
            _MARK: made.TextColumn("age", width=58, help="Stale: older than the book allows."),
            "date": made.DateColumn("date", format="YYYY-MM-DD", required=True, width=100),
            "note": made.TextColumn("note", required=True, width=330),
            **config,
        },
    )
    return _cells(edited)


def _rate_columns(draft: Draft) -> dict[str, Any]:
    alloys = installed_registry().alloys
    config = st.column_config

    def chosen(name: str, known: Iterable[str], width: int) -> Any:  # noqa: ANN401 - streamlit's
        used = (str(row[name]) for row in draft.mounted.rates if name in row)
        return config.SelectboxColumn(name, options=list(dict.fromkeys([*known, *used])),
                                      width=width)  # fmt: skip

    return {
        "key": config.TextColumn("key", required=True, width=150, pinned=True),
        "alloy": chosen("alloy", (a.designation for a in alloys), 125),
        "family": chosen("family", (a.family for a in alloys), 100),
        "weave": chosen("weave", WEAVES, 80),
        "form": chosen("form", FORMS, 70),
        "base": config.TextColumn("base", width=80, help="Stages that a share is taken of."),
        "at": config.TextColumn("at", width=76, help="Size at which the rate stands: 0.10 mm."),
        "amount": config.NumberColumn(
            "amount", min_value=0, format="plain", required=True, width=80
        ),
        "currency": chosen("currency", sorted(CURRENCIES), 80),
        "unit": config.TextColumn("unit", required=True, width=90,
                                  help="kg, lb, m2, h, m of cut, 100 pieces, % …"),
        "valid_from": config.DateColumn("valid from", format="YYYY-MM-DD", width=100),
        "valid_to": config.DateColumn("valid to", format="YYYY-MM-DD", width=100),
        "uncertainty_pct": config.NumberColumn(
            "± %", min_value=0, max_value=100, format="plain", width=60,
            help="Furthest share, either way, by which the amount may turn out otherwise.",
        ),
    }  # fmt: skip


def settings(draft: Draft) -> None:
    """Draw name, currency, date and the rest of the book's own settings."""
    config = st.column_config
    names = [name for name in SETTING_NAMES if name != RULES_OFF]
    edited = st.data_editor(
        _frame([draft.mounted.settings], names),
        key=f"book_settings_{draft.version}",
        on_change="ignore",
        hide_index=True,
        column_config={
            "name": config.TextColumn("name", required=True, width=280),
            "currency": config.SelectboxColumn("prices in", options=sorted(CURRENCIES),
                                               required=True, width=80),
            "date": config.DateColumn("date", format="YYYY-MM-DD", required=True, width=100),
            "note": config.TextColumn("note", width=420),
            "stale_after_days": config.NumberColumn("stale after [days]", min_value=1,
                                                    format="%d", required=True, width=120),
            "rounding": config.SelectboxColumn("rounding", options=["up", "nearest"], width=90,
                                               help="Of a line's price, to the rounding step."),
        },
    )  # fmt: skip
    rules = {RULES_OFF: off} if (off := draft.now.settings.get(RULES_OFF)) else {}
    typed = {**next(iter(_cells(edited)), {}), **rules}
    draft.record(replace(draft.now, settings=typed))


def rules(draft: Draft) -> None:
    """Draw the pricing rules with a switch for each."""
    off = draft.mounted.settings.get(RULES_OFF, ())
    known = [
        {"used": rule.name not in off, "rule": rule.name, "stage": rule.stage, "plugin": plugin,
         "reads": ", ".join(rule.reads)}
        for plugin, rule in pricing_rules()
    ]  # fmt: skip
    edited = st.data_editor(
        pd.DataFrame(known),
        key=f"book_rules_{draft.version}",
        on_change="ignore",
        hide_index=True,
        height="content",
        disabled=["rule", "stage", "plugin", "reads"],
        column_config={
            "used": st.column_config.CheckboxColumn("used", width=60),
            "reads": st.column_config.TextColumn("reads from the book", width=420),
        },
    )
    used = dict(zip(edited["rule"].tolist(), edited["used"].tolist(), strict=True))
    draft.record(replace(draft.now, settings=switched(draft.now.settings, used)))
