"""What a price book charges not at all, or twice: said on every estimate that is made with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from itertools import combinations

from meshcore.costing.book.plausible import bands, row_name
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.items import PricingRule
from meshcore.costing.stages import STAGES
from meshcore.messages import Message

#: Keys without which a price holds no profit, or none of the works' cost.
_MARGIN, _OVERHEAD = "margin.share", "overhead.share"
_BEFORE_OVERHEAD = frozenset(STAGES[: STAGES.index("overhead")])
#: Place of the base, and of the size, among what tells rows of a key apart.
_SELECTORS = 4


def judge_charges(book: PriceBook, rules: Sequence[PricingRule]) -> Iterator[Message]:
    """Say what a book charges not at all, or twice.

    Parameters
    ----------
    book
        As it was read.
    rules
        All that are installed.
    """
    yield from _missing(book)
    yield from _base_unsaid(book)
    yield from _bare_stages(book, rules)
    yield from _not_charged(book)
    yield from _switched_off(book, rules)
    yield from _twice(book)
    yield from _two_margins(book, rules)
    yield from _overlapping(book)


def unknown_rules(book: PriceBook, rules: Sequence[PricingRule]) -> Iterator[Message]:
    """Say of each rule that a book switches off and that nobody has, which may be meant."""
    known = sorted(name for rule in rules if isinstance(name := rule.name, str))
    for name in sorted({*book.rules_disabled} - {*known}):
        near = get_close_matches(name, known, n=1)
        meant = f'Is "{near[0]}" meant?' if near else "Check its spelling."
        text = f"no installed plugin has a rule of that name to switch off, so none is. {meant}"
        yield Message(
            "price book",
            f"rules_disabled: {name}",
            text,
            "review",
            code="price.disabled_rule_unknown",
        )


def _missing(book: PriceBook) -> Iterator[Message]:
    missing = (
        (_MARGIN, "margin: prices are cost. Add {}, or switch the rule off by its name."),
        (_OVERHEAD, "overhead: prices hold none of it. Add {}; 0 % on a named base says that "
                    "the rates hold it."),
    )  # fmt: skip
    for key, what in missing:
        if key not in book.by_key and key.partition(".")[0] not in book.rules_disabled:
            text = f"the book has no {what.format(key)}"
            yield Message("price book", key, text, "review", code="book.rate_absent")


def _base_unsaid(book: PriceBook) -> Iterator[Message]:
    """Say that a margin does not tell what it is a share of: 18 % of the price are 22 % of cost."""
    for rate in book.by_key.get(_MARGIN, ()):
        if not rate.base:
            text = 'its base is blank, so it is taken of cost. Write "cost" or "price" there.'
            yield Message("price book", row_name(rate), text, "review", code="book.base_unsaid")


def _bare_stages(book: PriceBook, rules: Sequence[PricingRule]) -> Iterator[Message]:
    """Say of each stage that the book charges and no overhead is a share of."""
    rows = book.by_key.get(_OVERHEAD, ())
    borne = frozenset[str]().union(*map(_stages, rows))
    if not rows or "overhead" in book.rules_disabled:
        return
    charged = {
        rule.stage for rule in rules
        if rule.name not in book.rules_disabled and any(_has(book, key) for key in rule.reads)
    }  # fmt: skip
    for stage in bands()["bearing"][0]["stages"]:
        if stage in charged - borne:
            text = (
                f"{stage} bears none: no row has it in its base. Add it to one; a row of 0 % with "
                f"the base {stage} says that it is meant."
            )
            yield Message("price book", row_name(rows[0]), text, "review", code="book.stage_bare")


def _not_charged(book: PriceBook) -> Iterator[Message]:
    """Note what mills commonly charge and this book has no rate for: its rule charges nothing."""
    lacking = [
        f"{entry['key']} ({entry['what']})"
        for entry in bands()["expected"]
        if entry["key"] not in book.by_key and entry["rule"] not in book.rules_disabled
    ]
    if lacking:
        text = "the book has no such rate, so nothing is charged for it. Enter it, if it costs you."
        yield Message("price book", ", ".join(lacking), text, "note", code="book.not_charged")


def _switched_off(book: PriceBook, rules: Sequence[PricingRule]) -> Iterator[Message]:
    """Put to review that a book switches off what prices hardly do without."""
    replaced = _replaced(rules)
    for entry in bands()["essential"]:
        rule = entry["rule"]
        if (
            rule not in book.rules_disabled
            or rule in replaced
            or entry.get("or_key") in book.by_key
        ):
            continue
        text = (
            f"the rule is switched off, so prices hold no {entry['what']} unless another "
            "charges it."
        )
        yield Message("price book", f"rules_disabled: {rule}", text, "review", code="book.rule_off")


def _replaced(rules: Sequence[PricingRule]) -> set[str]:
    """Return the names of rules that others stand in for."""
    return {name for rule in rules for name in rule.replaces}


def _twice(book: PriceBook) -> Iterator[Message]:
    for entry in bands()["once"]:
        held = [book.by_key[key][0] for key in entry["keys"] if key in book.by_key]
        for first, second in combinations(held, 2):
            yield _again(second, first, entry["reason"])


def _again(rate: Rate, other: Rate, reason: str) -> Message:
    where = f" at {other.where}" if other.where else ""
    text = f"{other.name}{where} is charged beside it: {reason}. Keep one."
    return Message("price book", row_name(rate), text, "review", code="book.charged_twice")


def _two_margins(book: PriceBook, rules: Sequence[PricingRule]) -> Iterator[Message]:
    """Say that several margins are charged: of several bases, or by several rules."""
    rows = {rate.base: rate for rate in reversed(book.by_key.get(_MARGIN, ()))}
    kinds = sorted(rows.values(), key=book.rates.index)
    for rate in kinds[1:]:
        yield _again(rate, kinds[0], "a margin on the cost and one on the price add up")
    replaced = _replaced(rules)
    charging = [
        rule.name
        for rule in rules
        if rule.stage == "margin"
        and rule.name not in {*book.rules_disabled, *replaced}
        and (not rule.reads or any(_has(book, key) for key in rule.reads))
    ]
    if len(charging) > 1:
        text = "each of these rules charges a margin, and they add up. Switch off all but one."
        yield Message(
            "price book", ", ".join(charging), text, "review", code="book.several_margins"
        )


def _has(book: PriceBook, key: str) -> bool:
    return any(own.startswith(key) if key.endswith(".") else own == key for own in book.by_key)


def _overlapping(book: PriceBook) -> Iterator[Message]:
    """Say of overheads of several bases that a stage stands in both."""
    seen: set[frozenset[str]] = set()
    for first, second in combinations(book.by_key.get(_OVERHEAD, ()), 2):
        both = frozenset((first.base, second.base))
        shared = _stages(first) & _stages(second)
        if len(both) == 1 or not shared or both in seen or not _for_one_line(first, second):
            continue
        seen.add(both)
        named = ", ".join(stage for stage in STAGES if stage in shared)
        yield _again(second, first, f"both are a share of {named}")


def _stages(rate: Rate) -> frozenset[str]:
    names = frozenset(rate.base.split(", "))
    return _BEFORE_OVERHEAD if not rate.base or "subtotal" in names else names


def _for_one_line(first: Rate, second: Rate) -> bool:
    """Whether some line may be charged by both rows."""
    return all(
        not one or not other or one == other
        for one, other in zip(
            first.selectors[:_SELECTORS], second.selectors[:_SELECTORS], strict=True
        )
    )
