"""What is at work here: plugins and what they bring, the data estimated with, the cautions."""

from __future__ import annotations

import importlib.metadata

import streamlit as st

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry
from meshcore.estimates.contributions import gather
from meshcore.estimates.wording import CAUTION
from meshcore.plugins import PluginRecord
from meshcore_estimator.shared import settings
from meshcore_estimator.shared.parts import Cell, aside, book_name, lines, soft, table

#: The distribution that the estimator and its bundled plugins are in.
_OURS = "wirecloth-meshcore"
_HOOKS = {
    "meshcore_alloys": "alloys",
    "meshcore_pricing_rules": "pricing rules",
    "meshcore_weave_rules": "weave rules",
    "meshcore_services": "services",
}
_CAUTIONS = (
    CAUTION,
    "Mass follows the path of the wire between crossings; selvedge wires and coatings are not "
    "weighed. The flat 3 % rule is shown beside it for comparison.",
    "Roll widths, lengths and tolerances are common practice without a source, unless your own "
    "supply policy says otherwise.",
    "Prices are as good as the price book behind them. The book of the demonstration is invented.",
)


def page() -> None:
    """Draw the page."""
    installed = plugins.installed()
    brought = gather(installed)
    with st.container(key="plugins"):
        st.header("Plugins", anchor=False)
        for fault in installed.faults():
            st.html(aside(str(fault), "refused"))
        st.html(table(("Plugin", "Brings"), [
            (_named(record), _brings(brought.get(record.name, {})))
            for record in installed.records
        ], wide=True))  # fmt: skip
        for clash in installed_registry().clashes:
            st.html(aside(str(clash), "review"))
    with st.container(key="data"):
        st.header("Data", anchor=False)
        st.html(_data())
    with st.container(key="cautions"):
        st.header("Cautions", anchor=False)
        st.html(table((), [(text,) for text in _CAUTIONS]))
    st.caption(f"{_OURS} {importlib.metadata.version(_OURS)}, MIT licence")


def _named(record: PluginRecord) -> Cell:
    """Name a plugin, and where it comes from if it did not come with the estimator."""
    own = record.distribution == _OURS
    return lines(record.name, "" if own else soft(f"{record.distribution} {record.version}"))


def _brings(by_hook: dict[str, list[str]]) -> Cell:
    said: list[Cell] = [
        f"{len(names)} {_HOOKS.get(hook, hook)}: {', '.join(names)}"
        for hook, names in by_hook.items()
    ]
    return lines(*said)


def _data() -> str:
    book, policy = settings.price_book(), settings.supply_policy()
    rows: list[tuple[Cell, ...]] = [
        ("Price book", book_name(book.name), book.date.isoformat(), soft(book.note)),
        ("Supply policy", policy.name, policy.date.isoformat(), soft(policy.note)),
    ]
    return table(("", "name", "date", "origin"), rows)
