"""What is to be said of a price book before it is used: gaps, old rates, rows that nobody reads."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from meshcore.alloys.record import Alloy
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.items import PricingRule
from meshcore.costing.ranges import STATED

#: The key without which an alloy has no price under the bundled rules.
_METAL = "wire.metal"


@dataclass(frozen=True, slots=True)
class BookReport:
    """What was found in a price book.

    Parameters
    ----------
    rates, keys
        How many rows, and how many different keys.
    oldest, newest
        Dates of the rates.
    stale
        Names of rates and exchange rates older than the book allows.
    unpriced
        Alloys that plugins know and the book has no metal price for.
    unknown_alloys, unknown_families
        Names in the book that no plugin knows.
    unread
        Keys that no rule reads.
    unknown_rules
        Rules switched off that no plugin has.
    """

    rates: int
    keys: int
    oldest: date
    newest: date
    stale: tuple[str, ...]
    unpriced: tuple[str, ...]
    unknown_alloys: tuple[str, ...]
    unknown_families: tuple[str, ...]
    unread: tuple[str, ...]
    unknown_rules: tuple[str, ...]

    def __str__(self) -> str:
        said = [f"{self.rates} rates under {self.keys} keys, of {self.oldest} to {self.newest}."]
        for names, text in (
            (self.stale, "older than the book allows"),
            (self.unpriced, "without a metal price, so refused"),
            (self.unknown_alloys, "named in the book, but no plugin knows such an alloy"),
            (self.unknown_families, "named in the book, but no plugin knows such a family"),
            (self.unread, "read by no rule; check the spelling"),
            (self.unknown_rules, "switched off, but no plugin has such a rule"),
        ):
            if names:
                said.append(f"{len(names)} {text}: {', '.join(names)}.")
        return "\n".join(said)


def report_book(
    book: PriceBook, alloys: Sequence[Alloy], rules: Iterable[PricingRule], today: date
) -> BookReport:
    """Look a price book over against what is installed.

    Parameters
    ----------
    book
        The book.
    alloys, rules
        What plugins know.
    today
        Day on which rates are judged old.
    """
    dates = [rate.date for rate in book.rates] or [book.date]
    entries = [(rate.name, rate.date) for rate in book.rates]
    entries += [(f"exchange {e.currency} to {e.to}", e.date) for e in book.exchange]
    designations = {alloy.designation.casefold() for alloy in alloys}
    families = {alloy.family.casefold() for alloy in alloys}
    held = list(rules)
    read = tuple(key for rule in held for key in rule.reads)
    metal = book.by_key.get(_METAL, ())
    return BookReport(
        rates=len(book.rates),
        keys=len(book.by_key),
        oldest=min(dates),
        newest=max(dates),
        stale=tuple(n for n, day in entries if (today - day).days > book.stale_after_days),
        unpriced=tuple(
            alloy.designation
            for alloy in alloys
            if not any(
                rate.alloy.casefold() in ("", alloy.designation.casefold())
                and rate.family.casefold() in ("", alloy.family.casefold())
                for rate in metal
            )
        ),
        unknown_alloys=_unknown((rate.alloy for rate in book.rates), designations),
        unknown_families=_unknown((rate.family for rate in book.rates), families),
        unread=tuple(key for key in book.by_key if not _is_read(key, read)),
        unknown_rules=tuple(
            name for name in book.rules_disabled if name not in {rule.name for rule in held}
        ),
    )


def _unknown(names: Iterable[str], known: set[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(n for n in names if n and n.casefold() not in known))


def _is_read(key: str, read: Sequence[str]) -> bool:
    if key.startswith(STATED):
        return True
    return any(key.startswith(name) if name.endswith(".") else key == name for name in read)
