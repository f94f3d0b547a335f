"""A quotation from a priced enquiry or list."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np

from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.papers import Paper, papers_for
from meshcore.demo import is_demo_book
from meshcore.documents.buyers_words import cells_of
from meshcore.documents.cloth_lines import asked_text, cloth_lines, labels_of
from meshcore.documents.facts import (
    AskedPaper,
    ClothLine,
    Party,
    Quotation,
    UnpricedLine,
)
from meshcore.documents.must_stand import services_asked, services_of
from meshcore.documents.offered import offered_lines
from meshcore.documents.open_points import is_left_out, line_doubts
from meshcore.documents.terms import (
    LANGUAGES,
    Terms,
    TermsError,
    check_language,
    default_terms,
    read_terms,
)
from meshcore.documents.unpriced import offers_instead, open_questions
from meshcore.estimates.lead_time import LeadTime, LeadTimeData, lead_times, read_lead_time
from meshcore.estimates.results import Estimate, EstimateSet
from meshcore.messages import writable
from meshcore.reading.days import read_day

#: Rule of the price book that puts a tax into the price; then none is added to a document's sum.
_TAX_RULE = "tax"


def quotation(
    estimates: EstimateSet | Estimate,
    terms: Terms | str | Path | None = None,
    *,
    to: str | Sequence[str] = (),
    person: str = "",
    reference: str = "",
    number: str = "",
    revision: int = 1,
    day: date | None = None,
    language: str = "",
    breaks: Sequence[int] = (),
    alternatives: int = 1,
    confirmed: Collection[str] = (),
    wanted_by: str = "",
    lead_time: LeadTimeData | str | Path | None = None,
) -> Quotation:
    """Make a quotation of a priced list, or of one line of it.

    Parameters
    ----------
    estimates
        What is quoted.
    terms
        The mill's terms, or the file that they are in; without them none are printed.
    to, person
        Name and address, by lines or as one text; who it is for there.
    reference
        Theirs.
    number, revision, day
        Which quotation it is, and its date; today's (UTC) if None.
    language
        One of ``en``, ``de``, ``fr``, ``es``; that of the terms if empty.
    breaks
        Quantities at which each line is priced too, as an order of its own.
    alternatives
        How many offers are made for each line that cannot be woven as asked.
    confirmed
        Labels of lines whose doubts whoever quotes has looked at and settled; the others are told
        as still to be confirmed. `to_settle` lists them.
    wanted_by
        When all is wanted, where a line does not say so itself.
    lead_time
        The mill's figures of its lead times, or the file that they are in; with them the quotation
        says when what is quoted could leave if it is ordered on its day.

    Returns
    -------
    The quotation's facts: print them with `pdf`, `workbook` or `text` of
    ``meshcore.documents.printing``, or by ``write_document``.

    Raises
    ------
    TermsError
        If the terms cannot be read, or there are none in that language.
    LeadTimeError
        If the figures of lead times cannot be read.

    Examples
    --------
    >>> import meshcore as mc
    >>> e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                            form=mc.Roll("48 in", "100 ft"), quantity=3))
    >>> q = quotation(e, to="Bakery by the Weir", number="Q1")
    >>> q.to.name, len(q.lines), bool(q.net_minor == e.estimates.ledger.price_minor[0])
    ('Bakery by the Weir', 1, True)
    """
    rows = [estimates.line] if isinstance(estimates, Estimate) else list(range(len(estimates)))
    held = estimates.estimates if isinstance(estimates, Estimate) else estimates
    used = _terms(terms)
    chosen = language or used.language
    if chosen not in LANGUAGES:
        raise TermsError(f'no documents are written in "{chosen}"; there are {LANGUAGES}.')
    check_language(used, chosen)
    refused = held.log.refused() | ~held.ledger.priced
    priced = [row for row in rows if not refused[row]]
    # An option that is quoted by itself is what is asked for.
    beside = [row for row in priced if held.options[row] and len(rows) > 1]
    priced = [row for row in priced if row not in beside]
    stopped = [row for row in rows if refused[row]]
    labels = labels_of(held)
    made = day or datetime.now(UTC).date()

    def wished(lines: Sequence[ClothLine]) -> list[ClothLine]:
        return [_wished(line, wanted_by, made, used.lead_time_days) for line in lines]

    return Quotation(
        number=number,
        revision=revision,
        day=made,
        valid_until=made + timedelta(days=used.validity_days),
        to=Party(_lines(to), _clean(person)),
        reference=_clean(reference),
        language=chosen,
        currency=held.ledger.currency,
        digits=held.ledger.digits,
        lines=tuple(wished(cloth_lines(held, priced, breaks, confirmed=confirmed))),
        offers=(
            *wished(offered_lines(held, beside, breaks, confirmed)),
            *offers_instead(held, stopped, alternatives),
        ),
        unpriced=tuple(UnpricedLine(labels[row], asked_text(held, row)) for row in stopped),
        questions=tuple(open_questions(held, rows, set(stopped))),
        taxes_in=any(item.rule == _TAX_RULE and np.any(item.minor) for item in held.ledger.items),
        terms=used,
        papers=_papers(held, rows),
        stands=services_asked(held, rows),
        sample=is_demo_book(held.book),
        ready=_ready(quoted_lead_times(held, lead_time, made, priced)),
    )


def quoted_lead_times(
    estimates: EstimateSet,
    lead_time: LeadTimeData | str | Path | None,
    day: date,
    rows: Sequence[int] | None = None,
) -> tuple[LeadTime, ...]:
    """Work out when what is quoted could leave, and what decides it: for the mill's own eyes.

    Parameters
    ----------
    estimates, lead_time
        What is quoted, and the mill's figures; none without them.
    day
        Day of the order.
    rows
        Lines that count; all but the options, if None.
    """
    if lead_time is None:
        return ()
    data = lead_time if isinstance(lead_time, LeadTimeData) else read_lead_time(lead_time)
    counted = np.flatnonzero(~estimates.options) if rows is None else np.array(rows, dtype=np.int64)
    return lead_times(estimates, data, day, counted)


def _ready(times: Sequence[LeadTime]) -> date | None:
    return max((one.ready for one in times), default=None)


def _papers(estimates: EstimateSet, rows: Sequence[int]) -> tuple[AskedPaper, ...]:
    """List what lines call for in papers by service and words, lines with one matter together."""
    labels = labels_of(estimates)
    stated = services_of(estimates)
    by_paper: dict[Paper, list[str]] = {}
    for row in rows:
        one = stated[row]
        service = one.service if one and one.service else Conditions()
        words = f"{asked_text(estimates, row)} {one.text if one else ''}"
        for paper in papers_for(service, words):
            by_paper.setdefault(paper, []).append(labels[row])
    return tuple(
        AskedPaper(tuple(lines), paper.name, paper.question, paper.line)
        for paper, lines in by_paper.items()
    )


def _wished(line: ClothLine, wanted_by: str, day: date, lead_time_days: int) -> ClothLine:
    """Tell a line by when it is wanted, and whether the lead time is longer than that."""
    wish = line.wanted_by or _clean(wanted_by)
    read = read_day(wish, day) if wish and lead_time_days else None
    late = read is not None and read < day + timedelta(days=lead_time_days)
    return replace(line, wanted_by=wish, late=late)


def break_quantities(text: str) -> tuple[int, ...]:
    """Read the quantities at which each line is to be priced too; none from a blank text.

    Raises
    ------
    TermsError
        If one is no whole number above zero.

    Examples
    --------
    >>> break_quantities("5, 10"), break_quantities("")
    ((5, 10), ())
    """
    parts = [part.strip() for part in text.replace(";", ",").split(",") if part.strip()]
    if not all(part.isdecimal() and int(part[:_MOST_DIGITS]) > 0 for part in parts):
        raise TermsError(f"'{text[:40]}' are no quantities, such as 5, 10")
    return tuple(int(part[:_MOST_DIGITS]) for part in parts)


#: Digits of a quantity beyond which nobody orders.
_MOST_DIGITS = 9


@dataclass(frozen=True, slots=True)
class ToSettle:
    """What whoever quotes should look at before it is sent: of which line, and what.

    ``can_confirm`` tells whether it goes from the document once it is confirmed; what is not in
    the price stays on it.
    """

    label: str
    text: str
    can_confirm: bool


def to_settle(estimates: EstimateSet | Estimate, facts: Quotation) -> tuple[ToSettle, ...]:
    """List what is open of a quotation, in the words of whoever estimates.

    Examples
    --------
    >>> import meshcore as mc
    >>> e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                            form=mc.Roll("48 in", "100 ft"), services="gold plating"))
    >>> [one.label for one in to_settle(e, quotation(e, number="Q1"))]
    ['1', '']
    """
    held = estimates.estimates if isinstance(estimates, Estimate) else estimates
    labels = labels_of(held)
    quoted = {line.label: line for line in facts.lines}
    found: list[ToSettle] = []
    for row, doubts in line_doubts(held).items():
        line = quoted.get(labels[row])
        if line is None:
            continue
        for message in doubts.messages:
            settled = not line.to_confirm and bool(doubts.to_confirm)
            stays = is_left_out(message)
            if stays or not settled:
                found.append(ToSettle(line.label, str(message), not stays))
    found += [
        ToSettle(line.label, f"wanted by {line.wanted_by}, before the lead time is over.", False)
        for line in facts.lines
        if line.late
    ]
    for label, typed in zip(labels, cells_of(held, "line"), strict=True):
        if typed.strip() not in ("", label) and label in quoted:
            told = f'another line is called "{typed.strip()}" too; here it is "{label}".'
            found.append(ToSettle(label, told, False))
    if facts.sample:
        text = f"{held.book.name} is an invented price book: the quotation says so. Name your own."
        found.append(ToSettle("", text, False))
    return tuple(found)


def _terms(terms: Terms | str | Path | None) -> Terms:
    if terms is None:
        return default_terms()
    return terms if isinstance(terms, Terms) else read_terms(terms)


def _lines(to: str | Sequence[str]) -> tuple[str, ...]:
    lines = to.splitlines() if isinstance(to, str) else to
    return tuple(text for text in map(_clean, lines) if text)


def _clean(text: str) -> str:
    """Return a text on one line, without signs that cannot be printed.

    A soft hyphen and other signs of format take no room, so none is left where they stood.
    """
    plain = (sign for sign in writable(text) if unicodedata.category(sign) != "Cf")
    kept = "".join(sign if sign.isprintable() else " " for sign in plain)
    return " ".join(kept.split())
