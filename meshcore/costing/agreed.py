"""What a price book becomes where a list is priced for one customer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from meshcore.alloys.records.registry import Registry, designation, installed_registry
from meshcore.costing.book.judging import with_designations
from meshcore.costing.book.price_book import PriceBook, Rate, Terms, in_currency
from meshcore.costing.book.validity import stands_for
from meshcore.costing.customer import Customer, CustomerError, given_twice

#: Rules of Incoterms 2020 under which the buyer bears the carriage from the mill on.
_BUYER_CARRIES = ("EXW", "FCA")
#: Rates of a book that stand for one zone or destination each, and what they become when chosen.
ZONE, PALLET = "freight.zone.", "freight.pallet"
DESTINATION, TAX = "tax.destination.", "tax.rate"
#: Freight by other measures, which a zone's freight by pallet stands in for.
_BY_OTHERS = ("freight.kg", "freight.roll", "freight.consignment")
_INDEX_BASE, _INDEX = "surcharge.metal_index.base", "surcharge.metal_index."


def for_customer(book: PriceBook, customer: Customer) -> PriceBook:
    """Return a price book with a customer's terms in it.

    Parameters
    ----------
    book
        The mill's.
    customer
        Their terms.

    Returns
    -------
    The book in the customer's currency, its note naming whose terms are in it. On a day on which
    the terms do not hold, it prices as the mill's own, and says so.

    Raises
    ------
    CustomerError
        If the book has no freight for the customer's zone, no tax for the destination, or rows
        that the customer's do not go with.
    PriceBookError
        If some rate cannot be converted to the customer's currency.
    """
    registry = installed_registry()
    book = with_designations(book, lambda text: designation(registry, text))
    agreed = tuple(_agreed(rate, registry) for rate in customer.rates)
    wrong = [*_wrong_beside(book, agreed), *_without_base(book, agreed), *given_twice(agreed)]
    rates = _with_freight(book.rates, customer, wrong)
    rates, disabled = _with_tax(rates, book.rules_disabled, customer, wrong)
    if wrong:
        raise CustomerError(f"terms of {customer.name}: " + " ".join(wrong))
    said = ", ".join(filter(None, (customer.delivery, customer.payment)))
    terms = f"on the terms of {customer.name}" + (f": {said}" if said else "")
    adapted = replace(
        book,
        rates=(*rates, *agreed),
        rules_disabled=disabled,
        note=f"{book.note}; {terms}" if book.note else terms,
        terms=Terms(customer.name, customer.valid_from, customer.valid_to, book),
    )
    return in_currency(adapted, customer.currency) if customer.currency else adapted


def _agreed(rate: Rate, registry: Registry) -> Rate:
    named = designation(registry, rate.alloy) if rate.alloy else ""
    return replace(rate, agreed=True, alloy=named or rate.alloy)


def _wrong_beside(book: PriceBook, agreed: Sequence[Rate]) -> Iterator[str]:
    """Say of each agreed row that the book's rows of its key do not go with, what is wrong."""
    for rate in agreed:
        own = book.by_key.get(rate.key, ())
        if not own:
            continue
        first, size = own[0], rate.size
        if (rate.per.name, bool(rate.currency)) != (first.per.name, bool(first.currency)):
            per = f"{first.currency} per {first.unit}" if first.currency else f'"{first.unit}"'
            yield f"{rate.where}: the price book gives {rate.key} in {per}. Write it so."
        elif (size and size.name) != (first.size and first.size.name):
            yield (
                f"{rate.where}: the price book gives {rate.key} "
                f"{f'at sizes, as {first.at}' if first.at else 'without a size'}. Write it so."
            )
        elif general := _held_by_none(rate, own):
            yield (
                f"{rate.where}: {rate.name} would hold for nothing, since the price book's rows "
                f"are more particular, as {general}. Say what it is for."
            )


def _held_by_none(rate: Rate, own: Sequence[Rate]) -> str:
    """Name a row of the book that goes before an agreed one, which stands in for no row of it."""
    mine = stands_for(rate)[1:]
    if any(stands_for(other)[1:] == mine for other in own):
        return ""
    narrower = [
        other.name
        for other in own
        if all(not m or m == o for m, o in zip(mine, stands_for(other)[1:], strict=True))
    ]
    return narrower[0] if narrower else ""


def _without_base(book: PriceBook, agreed: Sequence[Rate]) -> Iterator[str]:
    """Say that an index without the base that it is held against charges nothing."""
    indexed = [rate for rate in agreed if rate.key.startswith(_INDEX)]
    if indexed and not any(r.key == _INDEX_BASE for r in (*book.rates, *agreed)):
        yield (
            f"{indexed[0].where}: no {_INDEX_BASE} is agreed, so the index charges nothing. Add it."
        )


def _with_freight(rates: Sequence[Rate], customer: Customer, wrong: list[str]) -> list[Rate]:
    """Return the rates with the freight of the customer's zone, or none where the buyer carries."""
    if customer.incoterm in _BUYER_CARRIES:
        return [rate for rate in rates if not rate.key.startswith("freight.")]
    if not customer.zone:
        return list(rates)
    zone = _chosen(rates, ZONE, customer.zone, PALLET, "customer.zone", wrong)
    left = (*_BY_OTHERS, f"{ZONE}{customer.zone.casefold()}", PALLET)
    return [*(rate for rate in rates if rate.key not in left), *zone]


def _with_tax(
    rates: list[Rate], disabled: tuple[str, ...], customer: Customer, wrong: list[str]
) -> tuple[list[Rate], tuple[str, ...]]:
    """Return the rates with the tax of the customer's destination, and the rule for it on.

    A book that charges no tax, and knows of none by destination, goes on to charge none.
    """
    has_any = any(rate.key.startswith(DESTINATION) for rate in rates)
    if not customer.destination or ("tax" in disabled and not has_any):
        return rates, disabled
    taxed = _chosen(rates, DESTINATION, customer.destination, TAX, "customer.destination", wrong)
    left = (TAX, f"{DESTINATION}{customer.destination.casefold()}")
    others = [rate for rate in rates if rate.key not in left]
    return [*others, *taxed], tuple(name for name in disabled if name != "tax")


def _chosen(
    rates: Sequence[Rate], start: str, name: str, key: str, entry: str, wrong: list[str]
) -> list[Rate]:
    """Return the rows of one zone or destination under the key that its rule reads."""
    chosen = f"{start}{name.casefold()}"
    rows = [replace(rate, key=key) for rate in rates if rate.key == chosen]
    if not rows:
        known = sorted({r.key.removeprefix(start) for r in rates if r.key.startswith(start)})
        there = f"There are {', '.join(known)}." if known else "It has none."
        wrong.append(
            f"{entry}: the price book has no {chosen}. {there} Enter it there, or mend the name."
        )
    return rows
