"""Quotations on file: numbered, revised, sent, and what became of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from meshcore.documents.facts import Quotation, with_taxes
from meshcore.documents.offered import least_of_choices
from meshcore.documents.plain_data import from_data, to_data
from meshcore.register.amounts import amount_key
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, children, entry, found_as_filed
from meshcore.register.errors import RecordsError
from meshcore.register.finding import Found, find
from meshcore.register.indexing import DRAFT, FoundLine, Head
from meshcore.register.intake import Came, file_came, file_sender
from meshcore.register.packing import found_lines, packed
from meshcore.register.storing import check_free, insert, mark_as, next_number, revise
from meshcore.register.words import folded

if TYPE_CHECKING:
    from meshcore.estimates.results import EstimateSet

#: States of a quotation, in the order of its life.
STATES: tuple[str, ...] = (DRAFT, "sent", "won", "lost", "lapsed")
#: What may become of a quotation in each state.
NEXT: Mapping[str, tuple[str, ...]] = {
    DRAFT: ("sent", "deleted"),
    "sent": ("won", "lost", "lapsed"),
    "lapsed": ("sent", "won", "lost"),
    "lost": ("sent", "won"),
    "won": ("lost",),
}

#: States of an order that stands no more.
_GONE = ("cancelled", "deleted")


def file_quotation(
    register: Register,
    facts: Quotation,
    estimates: EstimateSet,
    *,
    came: Came | None = None,
    note: str = "",
    who: str = "",
) -> Entry:
    """File a new quotation as a draft, under the next number.

    Parameters
    ----------
    register
        Where.
    facts
        The quotation; its number is given here if it has none. A number of one's own is taken once.
    estimates
        What it was made from, filed with it: book, policy and versions too.
    came
        The letter or list that it answers, to be filed just as it came.
    note, who
        Why, and by whom.

    Raises
    ------
    RecordsError
        If its own number is taken, too long, or has no letter and no digit.
    """
    _check_own_number(register, facts.number)
    source = None
    if came is not None:
        source = file_came(
            register, came, sender=facts.to.name, reference=facts.reference, who=who
        ).id
    file_sender(register, facts, who=who)
    with register.writing() as connection:
        number = facts.number or next_number(connection, "quotation", facts.day.isoformat()[:4])
        numbered = replace(facts, number=number)
        insert(connection, "quotation", _head(numbered, least_of_choices(estimates)),
               _body(numbered, estimates),
               _lines(numbered, estimates), parent=source, number=number, note=note,
               who=who)  # fmt: skip
    return entry(register, "quotation", number)


def _check_own_number(register: Register, number: str) -> None:
    """Refuse a number of one's own before the letter that it answers is filed."""
    from meshcore.register.schema import NUMBER_SIGNS  # noqa: PLC0415 - heavy: loaded when one is opened

    if not number:
        return
    check_free(register, "quotation", number)
    if not (folded(number) and len(number) <= NUMBER_SIGNS):
        raise RecordsError(
            f'read "{number[:NUMBER_SIGNS]}": a number has letters or digits, and at most '
            f"{NUMBER_SIGNS} signs."
        )


def revise_quotation(
    register: Register,
    opened: Entry,
    facts: Quotation,
    estimates: EstimateSet,
    *,
    note: str = "",
    who: str = "",
) -> Entry:
    """Save a quotation anew: a draft under its revision, one that was sent under the next.

    Raises
    ------
    RecordsError
        If it is won: what was agreed stands.

    Notes
    -----
    What else than lines and prices differs, `revising.changed_terms` tells.
    """
    check_revisable(register, opened)
    revision = opened.head.revision + (opened.state != DRAFT)
    numbered = replace(facts, number=opened.number, revision=revision)
    return revise(register, opened, _head(numbered, least_of_choices(estimates)),
                  _body(numbered, estimates), _lines(numbered, estimates), note=note,
                  who=who)  # fmt: skip


def check_revisable(register: Register, opened: Entry) -> None:
    """Refuse to revise a quotation that is won: a revision would make a draft of it again.

    Raises
    ------
    RecordsError
        If it is; it names the order that is on it.
    """
    if opened.state != "won":
        return
    orders = _orders_on(register, opened)
    told = f": order {orders[0].number} is on it" if orders else ""
    first = "Or cancel the order and mark it lost first." if orders else "Or mark it lost first."
    raise RecordsError(
        f"quotation {opened.number} is won{told}, and a revision would make a draft of it. Quote "
        f"the change as a quotation of its own. {first}"
    )


def _orders_on(register: Register, opened: Entry) -> list[Entry]:
    return [one for one in children(register, opened, "order") if one.state not in _GONE]


def confirm_lines(
    register: Register, opened: Entry, labels: Collection[str], *, who: str = ""
) -> Entry:
    """Save a draft whose lines' doubts are settled: they are told as such no more.

    Raises
    ------
    RecordsError
        If it is no draft: what was sent is fixed, and a change is a revision.
    """
    if opened.state != DRAFT:
        raise RecordsError(
            f"quotation {opened.number} is {opened.state}; lines of a draft are confirmed. Save "
            "it as a revision."
        )
    facts = quoted(opened)
    lines = tuple(
        replace(line, to_confirm=()) if line.label in labels else line for line in facts.lines
    )
    settled = replace(facts, lines=lines)
    found = found_as_filed(register, opened)
    head = _head(settled, opened.head.choice_minor)
    return revise(register, opened, head, opened.body | {"facts": to_data(settled)},
                  found, note=f"confirmed: {', '.join(labels)}", who=who)  # fmt: skip


def quoted(opened: Entry) -> Quotation:
    """Return the facts of a quotation on file."""
    return from_data(opened.body["facts"])


def mark_quotation(
    register: Register, opened: Entry, state: str, reason: str = "", *, who: str = ""
) -> Entry:
    """Mark a quotation sent, won, lost or lapsed.

    Raises
    ------
    RecordsError
        If that cannot become of it, or it is lost without a reason.
    """
    able = NEXT.get(opened.state, ())
    if state not in able:
        raise RecordsError(
            f"quotation {opened.number} is {opened.state}; it can be marked "
            f"{', '.join(able) or 'nothing any more'}, not {state}."
        )
    if state == "lost" and not reason.strip():
        raise RecordsError(f"quotation {opened.number}: say why it is lost.")
    if state in ("lost", "lapsed", "deleted"):
        orders = _orders_on(register, opened)
        if orders:
            raise RecordsError(
                f"quotation {opened.number} cannot be marked {state}: order {orders[0].number} is "
                "on it. Cancel the order first."
            )
    return mark_as(register, opened, state, reason, who=who)


def lapse(register: Register, today: date | None = None) -> list[str]:
    """Mark each quotation lapsed that was sent and holds no more; return their numbers."""
    lapsed: list[str] = []
    for found in open_quotations(register, ("sent",)):
        if found.until < (today or _today()).isoformat():
            opened = entry(register, "quotation", found.number)
            mark_quotation(register, opened, "lapsed", f"held until {found.until}")
            lapsed.append(found.number)
    return lapsed


def about_to_lapse(register: Register, days: int = 7, today: date | None = None) -> list[Found]:
    """Return quotations that were sent and lapse within some days, the next first."""
    now = today or _today()
    last = (now + timedelta(days=days)).isoformat()
    held = [q for q in open_quotations(register, ("sent",)) if q.until <= last]
    return sorted(held, key=lambda one: one.until)


def _today() -> date:
    return datetime.now(UTC).date()


def open_quotations(register: Register, states: tuple[str, ...]) -> list[Found]:
    """Return all quotations in some states."""
    return find(register, " ".join(states), kinds=("quotation",), limit=1_000_000)


def _head(facts: Quotation, choice_minor: int) -> Head:
    return Head(
        day=facts.day.isoformat(), until=facts.valid_until.isoformat(), sender=facts.to.name,
        reference=facts.reference, title=", ".join(facts.to.lines[1:]), currency=facts.currency,
        digits=facts.digits, total_minor=facts.net_minor, choice_minor=choice_minor,
        revision=facts.revision,
        keys=tuple(amount_key(minor, facts.currency) for minor in _amounts(facts)),
    )  # fmt: skip


def _amounts(facts: Quotation) -> set[int]:
    """Return what a quotation comes to with taxes; and each line of a choice, before and with."""
    chosen = [line.amount_minor for line in facts.offers if line.role == "choice"]
    taxed = {with_taxes(minor, facts.terms, facts.taxes_in) for minor in chosen}
    return {facts.total_minor, *chosen, *taxed}


def _body(facts: Quotation, estimates: EstimateSet) -> dict[str, Any]:
    _, estimate, _ = packed(estimates, facts.number)
    return {"facts": to_data(facts), "estimate": estimate}


def _lines(facts: Quotation, estimates: EstimateSet) -> list[FoundLine]:
    """Lines of the estimate, under the labels that the quotation prints."""
    names = {line.label for line in facts.lines} | {line.label for line in facts.unpriced}
    return [one for one in found_lines(estimates) if one.label in names]
