"""A document as it is printed: texts in one language, for paper, workbook and mail alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from meshcore.documents.facts import ClothLine, Party, Quotation, taxes_of
from meshcore.documents.terms import TEXTS, Terms, said
from meshcore.documents.wording import Words, words
from meshcore.units import METRES_PER_INCH

_PERCENT = 100.0
_METRIC = frozenset({"mm", "cm", "m"})
#: Weaves of a count that a metric buyer tells by the centimetre [m].
_CM = 1e-2
#: Cloth of fewer than two meshes an inch goes by its aperture: common practice, no source [m].
_COARSE_M = METRES_PER_INCH / 2


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a document's table.

    Parameters
    ----------
    label, heading, details
        What it is called, what it is, and more of it.
    quantity, unit_price, amount
        As they are printed.
    numbers
        The same for machines: quantity, unit price and amount in minor units; None where none.
    drawing
        The cloth drawn, as SVG; empty without.
    """

    label: str
    heading: str
    details: tuple[str, ...]
    quantity: str = ""
    unit_price: str = ""
    amount: str = ""
    numbers: tuple[float, int, int] | None = None
    drawing: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its paragraphs."""

    heading: str
    texts: tuple[str, ...]


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
        The table, and names and sums below it.
    notes
        Sentences right below the sums.
    offers
        Further rows, in no sum.
    sections
        Terms, questions, exclusions, cautions.
    page
        "Page {n} of {all}", to be filled in.
    currency, digits
        Of the amounts.
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
    totals: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    offers: tuple[Row, ...]
    sections: tuple[Section, ...]
    page: str
    currency: str
    digits: int


def quotation_sheet(facts: Quotation) -> Sheet:
    """Write a quotation out in its language."""
    say = words(facts.language)
    number = numbered(say, facts.number, facts.revision)
    every = (*facts.lines, *facts.offers)
    rows = tuple(cloth_rows(say, every, facts.currency, facts.digits, facts.terms))
    head = [
        (say.say("head", "number"), number),
        (say.say("head", "date"), say.day(facts.day)),
        (say.say("head", "valid_until"), say.day(facts.valid_until)),
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
        intro=say.say("texts", "intro_quotation"),
        columns=columns(say),
        rows=rows[: len(facts.lines)],
        totals=totals(say, facts.net_minor, facts.currency, facts.digits, facts.terms,
                      facts.taxes_in),
        notes=notes(say, facts.lines, facts.taxes_in),
        offers=rows[len(facts.lines) :],
        sections=tuple(_sections(say, facts)),
        page=say.say("head", "page"),
        currency=facts.currency,
        digits=facts.digits,
    )  # fmt: skip


def numbered(say: Words, number: str, revision: int) -> str:
    """Return a number with its revision, from the second on."""
    return f"{number}, {say.say('head', 'revision', n=revision)}" if revision > 1 else number


def addressee(say: Words, to: Party) -> tuple[str, ...]:
    """Return the lines of an address."""
    person = (say.say("texts", "attention", name=to.person),) if to.person else ()
    return (*to.lines, *person)


def columns(say: Words) -> tuple[str, str, str, str, str]:
    """Return the headings of the table."""
    line, what, quantity, unit, amount = (
        say.say("table", name) for name in ("line", "what", "quantity", "unit_price", "amount")
    )
    return line, what, quantity, unit, amount


def totals(
    say: Words, net: int, currency: str, digits: int, terms: Terms, taxes_in: bool
) -> tuple[tuple[str, str], ...]:
    """Return the sums below a table: before tax, each tax, and in all."""
    taxes = () if taxes_in else terms.taxes
    added = taxes_of(net, taxes)
    rows = [(say.say("table", "net"), say.money(net, digits, currency))] if taxes else []
    rows += [
        (
            say.say("table", "tax", name=said(tax.name, say.language),
                    rate=say.number(tax.rate_pct, 4, trim=True)),
            say.money(minor, digits, currency),
        )
        for tax, minor in zip(taxes, added, strict=True)
    ]  # fmt: skip
    total = say.money(net + sum(added), digits, currency)
    return (*rows, (say.say("table", "gross"), total))


def notes(say: Words, lines: Sequence[ClothLine], taxes_in: bool) -> tuple[str, ...]:
    """Return what must be said of the sums."""
    said_: list[str] = []
    if any(line.unit_minor * line.quantity != line.amount_minor for line in lines):
        said_.append(say.say("texts", "rounded"))
    if taxes_in:
        said_.append(say.say("table", "tax_in"))
    return tuple(said_)


def cloth_rows(
    say: Words, lines: Iterable[ClothLine], currency: str, digits: int, terms: Terms
) -> Iterable[Row]:
    """Write lines of cloth out; tolerances, which go by form, stand among the terms."""
    for line in lines:
        yield Row(
            label=line.label,
            heading=cloth_heading(say, line),
            details=tuple(_details(say, line, currency, digits)),
            quantity=quantity_text(say, line),
            unit_price=say.money(line.unit_minor, digits),
            amount=say.money(line.amount_minor, digits),
            numbers=(line.quantity, line.unit_minor, line.amount_minor),
            drawing=_drawing(line) if terms.drawings else "",
        )


def quantity_text(say: Words, line: ClothLine) -> str:
    """Return how many, and of what form."""
    return f"{say.number(line.quantity, 0)} {say.form(line.form, line.quantity != 1)}"


def cloth_heading(say: Words, line: ClothLine) -> str:
    """Return the cloth in one sentence: alloy, count, wire; coarse cloth goes by its aperture."""
    wire = say.say("cloth", "wire", size=say.fine(line.wire_m, line.inches_first))
    alloy = alloy_name(say, line.alloy)
    name = alloy[:1].upper() + alloy[1:]
    if line.pitch_m > _COARSE_M:
        size = say.fine(line.aperture_m, line.inches_first)
        return f"{name}, {say.say('cloth', 'aperture', size=size)}, {wire}"
    if line.inches_first:
        count = say.number(METRES_PER_INCH / line.pitch_m, 3, trim=True)
        mesh = say.say("cloth", "mesh", n=count)
    else:
        count = say.number(_CM / line.pitch_m, 3, trim=True)
        mesh = say.say("cloth", "mesh_metric", n=count)
    return f"{name}, {mesh}, {wire}"


def alloy_name(say: Words, designation: str) -> str:
    """Return the trade's word for an alloy where it has one, else its designation.

    Examples
    --------
    >>> alloy_name(words("de"), "brass 65/35"), alloy_name(words("de"), "316L")
    ('Messing 65/35', '316L')
    """
    first, space, rest = designation.partition(" ")
    whole = say.among("alloys", designation)
    return whole if whole != designation else say.among("alloys", first) + space + rest


def specification(say: Words, line: ClothLine) -> list[str]:
    """Return the rest of the specification, a sentence each."""
    coarse = line.pitch_m > _COARSE_M
    size = say.fine(line.aperture_m, line.inches_first)
    aperture = "" if coarse else say.say("cloth", "aperture", size=size)
    share = say.number(line.open_area * _PERCENT, 1)
    weave = say.say("cloth", "weave", weave=say.among("weaves", line.weave))
    numbers = [
        say.say("cloth", "alloy_numbers", uns=line.uns) if line.uns else "",
        _standard_number(say, line.en),
    ]
    named = ", ".join(text for text in numbers if text)
    parts = [weave, aperture, say.say("cloth", "open_area", n=share)]
    first = ", ".join(part for part in parts if part)
    return [f"{first} · {named}" if named else first, sizes_text(say, line)]


def _standard_number(say: Words, number: str) -> str:
    """Return a number of the European standards, which for aluminium begins with EN itself."""
    return (
        number
        if not number or number.startswith("EN")
        else say.say("cloth", "standard_numbers", en=number)
    )


def sizes_text(say: Words, line: ClothLine) -> str:
    """Return form and sizes, in the buyer's units with the other beside them."""
    name = say.form(line.form, False)
    if line.form == "piece":
        # What is typed stands as it is; the box in the other unit beside it.
        metric = bool(_METRIC & _letters(line.sizes_text))
        box = " × ".join(say.one_unit(s, metric) for s in (line.width_m, line.length_m))
        over_all = say.say("cloth", "over_all", size=box) if line.width_m else ""
        return ": ".join(
            [name, "; ".join(text for text in (line.sizes_text, over_all) if text)]
        ).capitalize()
    width = say.width(line.width_m, line.inches_first)
    return f"{name} {width} × {say.length(line.length_m, line.inches_first)}".capitalize()


def _letters(text: str) -> set[str]:
    """Return what is written in letters alone, such as units."""
    return set("".join(s if s.isalpha() else " " for s in text.casefold()).split())


def _details(say: Words, line: ClothLine, currency: str, digits: int) -> Iterable[str]:
    if line.role != "asked":
        yield say.say("cloth", line.role, text=line.asked)
    yield from specification(say, line)
    if line.services:
        listed = ", ".join(say.among("services", name) for name in line.services)
        yield say.say("cloth", "services", list=listed)
    if line.breaks:
        listed = "; ".join(
            say.say("cloth", "break", quantity=say.number(one.quantity, 0),
                    price=say.money(one.unit_minor, digits, currency))
            for one in line.breaks
        )  # fmt: skip
        yield say.say("cloth", "breaks", list=listed)


def tolerance_text(say: Words, lines: Sequence[ClothLine], terms: Terms) -> str:
    """Return the delivery tolerances of each form, and what the cloth is woven to."""
    # A form for which the mill states no tolerance is told with none: nothing is exact.
    by_form = {line.form: line for line in lines if any((*line.under, *line.over))}
    texts = [
        f"{say.form(form, True) if len(by_form) > 1 else ''} {_tolerance(say, line)}".strip()
        for form, line in by_form.items()
    ]
    standard = terms.text("standard", say.language)
    if not texts:
        return standard
    return say.say("cloth", "tolerances", list="; ".join(texts), standard=standard).strip()


def _tolerance(say: Words, line: ClothLine) -> str:
    names = ("tolerance_length", "tolerance_width")
    return ", ".join(
        say.say("cloth", name, under=f"−{say.number(under * _PERCENT, 2, trim=True)}",
                over=f"+{say.number(over * _PERCENT, 2, trim=True)}")
        for name, under, over in zip(names, line.under, line.over, strict=True)
    )  # fmt: skip


def _drawing(line: ClothLine) -> str:
    from meshcore.enquiry import WEAVES  # noqa: PLC0415 - only where the cloth is drawn
    from meshcore.weave.drawing.sheet import draw_cloth  # noqa: PLC0415

    return draw_cloth(WEAVES.index(line.weave), line.wire_m, line.pitch_m, theme="light")


def terms_sections(say: Words, terms: Terms, lines: Sequence[ClothLine] = ()) -> Iterable[Section]:
    """Return the mill's terms, each a name and its text, and tolerances alike for all lines."""
    held = [(say.say("sections", name), terms.text(name, say.language)) for name in TEXTS]
    texts = tuple(f"{name}: {text}" for name, text in held if text)
    tolerances = tolerance_text(say, lines, terms) if lines else ""
    if tolerances:
        texts = (*texts, tolerances)
    if texts:
        yield Section(say.say("sections", "terms"), texts)


def export_section(say: Words, lines: Sequence[ClothLine], terms: Terms) -> Iterable[Section]:
    """Return masses, packages, origin and tariff headings, where the terms tell them."""
    if not terms.export or not lines:
        return
    net = sum(line.net_mass_kg for line in lines)
    packages = sum(line.packages for line in lines)
    texts = [say.say("texts", "net_mass", mass=say.number(net, 1))]
    if terms.kg_per_package:
        gross = say.number(net + packages * terms.kg_per_package, 1)
        texts.append(say.say("texts", "gross_mass", mass=gross))
    texts.append(say.say("texts", "packages", n=say.number(packages, 0)))
    if terms.origin:
        texts.append(say.say("texts", "origin", country=terms.origin))
    headings = dict.fromkeys(line.tariff for line in lines if line.tariff)
    if headings:
        texts.append(say.say("texts", "tariff", list=", ".join(headings)))
    yield Section(say.say("sections", "export"), (", ".join(texts) + ".",))


def caution_section(say: Words) -> Section:
    """Return the caution that stands on every document."""
    return Section(say.say("sections", "cautions"), (say.say("texts", "caution"),))


def _sections(say: Words, facts: Quotation) -> Iterable[Section]:
    yield from _open(say, facts)
    yield from _papers(say, facts)
    yield from terms_sections(say, facts.terms, (*facts.lines, *facts.offers))
    excluded = facts.terms.text("excluded", say.language)
    if excluded:
        yield Section(say.say("sections", "excluded"), (excluded,))
    yield from export_section(say, facts.lines, facts.terms)
    yield caution_section(say)


def _open(say: Words, facts: Quotation) -> Iterable[Section]:
    """Tell what is still to be answered, and the lines without a price."""
    texts: list[str] = []
    for line in facts.unpriced:
        asked = [q for q in facts.questions if q.label == line.label]
        # In English the question is put as the estimator puts it; else in the words of its field.
        put = [q.ask if say.language == "en" else say.among("questions", q.field) for q in asked]
        what = f"{line.asked} – {say.say('cloth', 'not_priced')}. {' '.join(dict.fromkeys(put))}"
        texts.append(say.say("texts", "open", line=line.label, text=what.strip()))
    if texts:
        yield Section(say.say("sections", "questions"), tuple(texts))


def _papers(say: Words, facts: Quotation) -> Iterable[Section]:
    """Tell which papers the lines call for, and what is to be asked first."""
    texts: list[str] = []
    for one in facts.papers:
        # In English a paper is told as it is kept; else in the words of its name.
        own = say.held.get("papers", {}).get(one.name)
        name, question, proof = own or (one.name, one.question, one.proof)
        asked = f"{question} " if one.question else ""
        paper = say.say("texts", "paper", text=proof)
        text = f"{name[:1].upper()}{name[1:]}. {asked}{paper}"
        texts.append(say.say("texts", "open", line=", ".join(one.labels), text=text))
    if texts:
        yield Section(say.say("sections", "papers"), (*texts, say.say("texts", "papers")))
