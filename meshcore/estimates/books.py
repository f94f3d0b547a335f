"""The price book as a list is priced with it: alloys named as installed, and what is doubtful."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial

from meshcore import plugins
from meshcore.alloys.records.registry import Registry, designation, installed_registry
from meshcore.costing.book.judging import Known, judge_book, with_designations
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.book.validity import in_force, judge_validity
from meshcore.costing.items import PricingRule
from meshcore.enquiry import Service
from meshcore.estimates.preparing import services
from meshcore.messages import Message, MessageLog

#: Where a book keeps what was said of it, beside what rates made of its rows.
_KEPT = ("", "doubts")
_DESIGNATED = ("", "designated")


def designated(book: PriceBook, registry: Registry) -> PriceBook:
    """Return the book with each alloy under the name that the registry gives it."""
    kept = book.resolved.get(_DESIGNATED)
    if kept is not None and kept[0] is registry:
        held: PriceBook = kept[1]
        return held
    named = with_designations(book, partial(designation, registry))
    book.resolved[_DESIGNATED] = (registry, named)
    return named


def doubts(
    book: PriceBook,
    registry: Registry,
    rules: Sequence[PricingRule],
    offered: Sequence[Service],
    today: date,
) -> tuple[Message, ...]:
    """Say what is doubtful in a book, as installed alloys, rules and services see it."""
    kept = book.resolved.get(_KEPT)
    names = frozenset(service.name.casefold() for service in offered)
    mark = (id(registry), tuple(rule.name for rule in rules), names, today)
    if kept is not None and kept[0] == mark:
        held: tuple[Message, ...] = kept[1]
        return held
    families = {a.designation.casefold(): a.family.casefold() for a in registry.alloys}

    named = partial(designation, registry)

    def family(text: str) -> str:
        return families.get(named(text).casefold(), "")

    known = Known(rules, named, frozenset(families.values()), family, names)
    said = (*judge_book(in_force(book, today), known, today), *judge_validity(book, today))
    book.resolved[_KEPT] = (mark, said)
    return said


def installed_doubts(book: PriceBook, day: date) -> tuple[Message, ...]:
    """Say what is doubtful in a book on a day, as all that is installed sees it.

    Parameters
    ----------
    book
        As it was read.
    day
        Day on which rates hold and dates are judged.
    """
    registry = installed_registry()
    rules = [r for _, r in plugins.installed().collect("meshcore_pricing_rules", PricingRule)]
    return doubts(designated(book, registry), registry, rules, services(), day)


def say_doubts(log: MessageLog, said: Sequence[Message]) -> None:
    """Put what is doubtful in the book on every line that has a price."""
    standing = ~log.refused()
    for message in said:
        log.add(standing, message)
