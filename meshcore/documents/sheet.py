"""A document as it is printed: texts in one language, for paper, workbook and mail alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from meshcore.documents.cloth_rows import Row, cloth_rows
from meshcore.documents.drawings import Figure, figures
from meshcore.documents.facts import ClothLine, Party, Quotation, taxes_of
from meshcore.documents.sections import Section, quotation_sections
from meshcore.documents.terms import Terms, said
from meshcore.documents.wording import Words, shortened, words


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A document's texts.

    Parameters
    ----------
    language, paper
        What it is written in, and on.
    title, number
        As "Quotation" and "Q2026-000001, revision 2".
    day
        ISO 8601, for the file's own data.
    mill, mill_lines, contact
        The letterhead.
    to
        Lines of the addressee.
    facts
        Names and values at the head.
    intro
        The sentence before the table.
    columns
        Headings of the table: line, description, quantity, unit price, amount.
    rows, totals
        The table, and the sums below it: name, as it is printed, and in minor units.
    notes
        Sentences right below the sums.
    offers, offers_heading
        Further rows, in no sum, and what stands above them.
    sections
        Terms, questions, exclusions, cautions.
    page
        "Page {n} of {all}", to be filled in.
    currency, digits
        Of the amounts.
    figures
        Drawings, after all else.
    banner
        What must be seen first: that the prices are invented; empty otherwise.
    """

    language: str
    paper: str
    title: str
    number: str
    day: str
    mill: str
    mill_lines: tuple[str, ...]
    contact: tuple[str, ...]
    to: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    intro: str
    columns: tuple[str, str, str, str, str]
    rows: tuple[Row, ...]
    totals: tuple[tuple[str, str, int], ...]
    notes: tuple[str, ...]
    offers: tuple[Row, ...]
    sections: tuple[Section, ...]
    page: str
    currency: str
    digits: int
    figures: tuple[Figure, ...] = ()
    banner: str = ""
    offers_heading: str = ""


def quotation_sheet(facts: Quotation) -> Sheet:
    """Write a quotation out in its language."""
    say = words(facts.language)
    number = numbered(say, facts.number, facts.revision)
    every = (*facts.lines, *facts.offers)
    rows = tuple(cloth_rows(say, every, facts.currency, facts.digits))
    head = [
        (say.say("head", "number"), number),
        (say.say("head", "date"), say.day(facts.day)),
        (say.say("head", "valid_until"), say.day(facts.valid_until) if every else ""),
        (say.say("head", "your_reference"), facts.reference),
    ]
    return Sheet(
        language=facts.language,
        paper=facts.terms.paper,
        title=say.say("titles", "quotation"),
        number=number,
        day=facts.day.isoformat(),
        mill=facts.terms.mill,
        mill_lines=facts.terms.lines,
        contact=facts.terms.contact,
        to=addressee(say, facts.to),
        facts=tuple((name, text) for name, text in head if text),
        intro=say.say("texts", "intro_quotation" if every else "intro_unpriced"),
        columns=columns(say),
        rows=rows[: len(facts.lines)],
        totals=totals(say, facts.net_minor, facts.currency, facts.digits, facts.terms,
                      facts.taxes_in) if facts.lines else (),
        notes=notes(say, facts.lines or facts.offers, facts.taxes_in),
        offers=rows[len(facts.lines) :],
        offers_heading=_offers_heading(say, facts),
        sections=(*quotation_sections(say, facts), *address_section(say, facts.to)),
        page=say.say("head", "page"),
        currency=facts.currency,
        digits=facts.digits,
        figures=tuple(figures(say, every)) if facts.terms.drawings else (),
        banner=banner(say, facts.sample),
    )  # fmt: skip


def _offers_heading(say: Words, facts: Quotation) -> str:
    if not facts.offers:
        return ""
    is_choice = not facts.lines and all(line.role == "choice" for line in facts.offers)
    return say.say("sections", "choice" if is_choice else "offers")


def banner(say: Words, sample: bool) -> str:
    """Return what is said above a document whose prices are invented."""
    return say.say("texts", "sample") if sample else ""


def numbered(say: Words, number: str, revision: int) -> str:
    """Return a number with its revision, from the second on."""
    return f"{number}, {say.say('head', 'revision', n=revision)}" if revision > 1 else number


#: Lines and signs of an address that the head of a page has room for; the rest follows below.
_ADDRESS_LINES, _ADDRESS_SIGNS = 9, 420


def addressee(say: Words, to: Party) -> tuple[str, ...]:
    """Return the lines of an address, as many as the head of a page has room for."""
    lines = _address(say, to)
    if _has_room(lines):
        return lines
    longest = _ADDRESS_SIGNS // _ADDRESS_LINES * 2
    kept = [shortened(line, longest) for line in lines[: _ADDRESS_LINES - 2]]
    while sum(map(len, kept)) > _ADDRESS_SIGNS:
        kept.pop()
    return (*kept, "…")


def address_section(say: Words, to: Party) -> Iterable[Section]:
    """Return an address in full, where the head of the page has no room for it."""
    lines = _address(say, to)
    if not _has_room(lines):
        yield Section(say.say("sections", "addressee"), (", ".join(lines),))


def _address(say: Words, to: Party) -> tuple[str, ...]:
    person = (say.say("texts", "attention", name=to.person),) if to.person else ()
    return (*to.lines, *person)


def _has_room(lines: Sequence[str]) -> bool:
    return len(lines) <= _ADDRESS_LINES and sum(map(len, lines)) <= _ADDRESS_SIGNS


def columns(say: Words) -> tuple[str, str, str, str, str]:
    """Return the headings of the table."""
    line, what, quantity, unit, amount = (
        say.say("table", name) for name in ("line", "what", "quantity", "unit_price", "amount")
    )
    return line, what, quantity, unit, amount


def totals(
    say: Words, net: int, currency: str, digits: int, terms: Terms, taxes_in: bool
) -> tuple[tuple[str, str, int], ...]:
    """Return the sums below a table, before tax, each tax, and in all: name, text, minor units."""
    taxes = () if taxes_in else terms.taxes
    added = taxes_of(net, taxes)
    sums = [(say.say("table", "net"), net)] if taxes else []
    sums += [
        (
            say.say("table", "tax", name=said(tax.name, say.language),
                    rate=say.number(tax.rate_pct, 4, trim=True)),
            minor,
        )
        for tax, minor in zip(taxes, added, strict=True)
    ]  # fmt: skip
    sums.append((say.say("table", "gross"), net + sum(added)))
    return tuple((name, say.money(minor, digits, currency), minor) for name, minor in sums)


def notes(say: Words, lines: Sequence[ClothLine], taxes_in: bool) -> tuple[str, ...]:
    """Return what must be said of the sums."""
    said_: list[str] = []
    if any(line.unit_minor * line.quantity != line.amount_minor for line in lines):
        said_.append(say.say("texts", "rounded"))
    if any(line.to_confirm or line.not_included for line in lines):
        said_.append(say.say("texts", "open_lines"))
    if taxes_in:
        said_.append(say.say("table", "tax_in"))
    return tuple(said_)
