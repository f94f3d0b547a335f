"""Every key of a price book with unit and meaning, from the rules that are installed."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module, resources
from types import ModuleType

from making.columns import meanings
from making.docstrings import fields_of
from making.markdown import code, from_docstring, table

#: Name of the file of meanings that a plugin of pricing rules may have beside it.
MEANINGS = "book_keys.toml"


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a price book, as its plugin explains it, and the rules that read it."""

    key: str
    unit: str
    meaning: str
    without: str
    by: str = ""
    rules: tuple[str, ...] = ()


def reads() -> dict[str, list[str]]:
    """Keys that the installed rules read → the rules' names, in the order of the rules."""
    from meshcore.costing.items import PricingRule  # noqa: PLC0415 - the other parts do without
    from meshcore.plugins import installed  # noqa: PLC0415

    found: dict[str, list[str]] = {}
    for _, rule in installed().collect("meshcore_pricing_rules", PricingRule):
        for key in rule.reads:
            found.setdefault(key, []).append(rule.name)
    return found


def _plugin_modules() -> Iterator[ModuleType]:
    """Yield the packages of the plugins of pricing rules; a single module is passed over."""
    from meshcore.costing.items import PricingRule  # noqa: PLC0415
    from meshcore.plugins import installed  # noqa: PLC0415

    rules = installed().collect("meshcore_pricing_rules", PricingRule)
    homes = (getattr(rule.compute, "__module__", "").partition(".")[0] for _, rule in rules)
    modules = map(import_module, dict.fromkeys(filter(None, homes)))
    yield from (module for module in modules if hasattr(module, "__path__"))


def explained() -> tuple[Key, ...]:
    """Keys as their plugins explain them."""
    read = reads()
    found: list[Key] = []
    for module in _plugin_modules():
        file = resources.files(module).joinpath(MEANINGS)
        if file.is_file():
            found += [
                Key(**cells, rules=tuple(read.get(cells["key"], ())))
                for cells in tomllib.loads(file.read_text("utf-8"))["keys"]
            ]
    return tuple(found)


def explains(keys: tuple[Key, ...], key: str) -> Key | None:
    """Return what explains a key of a book: itself, or the longest pattern that covers it."""
    exact = next((k for k in keys if k.key == key), None)
    covering = [k for k in keys if _covers(k.key, key)]
    return exact or max(covering, key=lambda k: len(k.key), default=None)


def _covers(pattern: str, key: str) -> bool:
    start, gap, end = pattern.partition("…")
    open_ended = gap or pattern.endswith(".")
    return bool(open_ended) and key.startswith(start) and key.endswith(end)


def keys() -> str:
    """Return the keys as one table for each word that they begin with."""
    known = explained()
    sections: dict[str, list[Key]] = {}
    for key in (*known, *_unexplained(known)):
        sections.setdefault(key.key.partition(".")[0], []).append(key)
    parts = [f"### {name}\n\n{_table(rows)}" for name, rows in sections.items()]
    core = meanings("core_keys")
    rows = [[code(key), "%", text] for key, text in core.items()]
    parts.append(f"### uncertainty\n\n{table(['Key', 'Unit', 'Meaning'], rows)}")
    return "\n\n".join(parts)


def _unexplained(known: tuple[Key, ...]) -> Iterator[Key]:
    """Yield the keys of rules whose plugins say no more of them than that they read them."""
    for key, rules in reads().items():
        if explains(known, key) is None:
            yield Key(key, "", f"Read by {', '.join(rules)}.", "", rules=tuple(rules))


def _table(rows: list[Key]) -> str:
    return table(
        ["Key", "Unit", "Meaning"],
        ([code(k.key), k.unit, _said(k)] for k in rows),
    )


def _said(key: Key) -> str:
    by = f" Table by {key.by}." if key.by else ""
    without = f" Without it: {key.without}." if key.without else ""
    return f"{key.meaning}{by}{without}"


def _fields(record: type, names: tuple[str, ...]) -> str:
    said = fields_of(record)
    return table(["Field", "Meaning"], ([code(name), from_docstring(said[name])] for name in names))


def settings() -> str:
    """Return the fields of ``[book]``."""
    from meshcore.costing.book.checking import SETTING_NAMES  # noqa: PLC0415
    from meshcore.costing.book.price_book import PriceBook  # noqa: PLC0415

    return _fields(PriceBook, SETTING_NAMES)


def rate_columns() -> str:
    """Return the fields of one of ``[[rates]]``."""
    from meshcore.costing.book.checking import RATE_COLUMNS  # noqa: PLC0415
    from meshcore.costing.book.price_book import Rate  # noqa: PLC0415

    return _fields(Rate, RATE_COLUMNS)


def exchange_columns() -> str:
    """Return the fields of one of ``[[exchange]]``."""
    from meshcore.costing.book.checking import EXCHANGE_COLUMNS  # noqa: PLC0415
    from meshcore.costing.book.price_book import Exchange  # noqa: PLC0415

    return _fields(Exchange, EXCHANGE_COLUMNS)
