"""What stands below the table of a document: what is open, terms, export, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from meshcore.documents.cloth_rows import asked_in
from meshcore.documents.facts import ClothLine, OpenQuestion, Quotation
from meshcore.documents.must_stand import service_texts
from meshcore.documents.terms import TEXTS, Terms
from meshcore.documents.uses import uses_of
from meshcore.documents.wording import Words

_PERCENT = 100.0


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its paragraphs."""

    heading: str
    texts: tuple[str, ...]


def tolerance_text(say: Words, lines: Sequence[ClothLine], terms: Terms) -> str:
    """Return the delivery tolerances of each form, and what the cloth is woven to."""
    by_form = {line.form: line for line in lines}
    texts = [
        f"{say.form(form, True) if len(by_form) > 1 else ''} {_tolerance(say, line)}".strip()
        for form, line in by_form.items()
    ]
    standard = terms.text("standard", say.language)
    return say.say("cloth", "tolerances", list="; ".join(texts), standard=standard).strip()


def _tolerance(say: Words, line: ClothLine) -> str:
    # A form for which the mill states no tolerance is told so: nothing is exact.
    if not any((*line.under, *line.over)):
        return say.say("cloth", "tolerance_open")
    names = ("tolerance_length", "tolerance_width")
    return ", ".join(
        say.say("cloth", name, under=f"−{say.number(under * _PERCENT, 2, trim=True)}",
                over=f"+{say.number(over * _PERCENT, 2, trim=True)}")
        for name, under, over in zip(names, line.under, line.over, strict=True)
    )  # fmt: skip


def terms_sections(
    say: Words, terms: Terms, lines: Sequence[ClothLine] = (), ready: str = "",
    names: Sequence[str] = TEXTS,
) -> Iterable[Section]:  # fmt: skip
    """Return the mill's terms, each a name and its text, and tolerances alike for all lines.

    When it could be ready, where that is told, stands with the lead time.
    """
    told = {name: terms.text(name, say.language) for name in names}
    if ready:
        lead = told.get("lead_time", "")
        told["lead_time"] = " ".join(filter(None, [_ended(lead, ready), ready]))
    held = [(say.say("sections", name), text) for name, text in told.items()]
    colon = say.held["numbers"]["colon"]
    texts = tuple(f"{name}{colon}{text}" for name, text in held if text)
    tolerances = tolerance_text(say, lines, terms) if lines else ""
    if tolerances:
        texts = (*texts, tolerances)
    if texts:
        yield Section(say.say("sections", "terms"), texts)


def _ended(text: str, follows: str) -> str:
    """Return a text that another sentence can follow."""
    return f"{text}." if text and follows and text[-1] not in ".!?" else text


def _ready(say: Words, facts: Quotation) -> str:
    """Tell when it could leave: a date that the mill's figures give, and no promise."""
    if facts.ready is None:
        return ""
    return say.say("texts", "ready", ready=say.day(facts.ready), day=say.day(facts.day))


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


def caution_section(say: Words, lines: Sequence[ClothLine] = ()) -> Section:
    """Return the caution that stands on every document, and one for each use that lines name."""
    texts = [
        say.say(
            "texts", say.of_lines("use", labels), line=", ".join(labels), use=say.say("uses", name)
        )
        for name, labels in uses_of(lines).items()
    ]
    return Section(say.say("sections", "cautions"), (*texts, say.say("texts", "caution")))


def quotation_sections(say: Words, facts: Quotation) -> Iterable[Section]:
    """Return all that stands below the table of a quotation, what is open first."""
    yield from _open(say, facts)
    yield from _must_stand(say, facts)
    yield from _papers(say, facts)
    yield from terms_sections(say, facts.terms, (*facts.lines, *facts.offers), _ready(say, facts))
    own = facts.terms.text("excluded", say.language)
    if own:
        yield Section(say.say("sections", "excluded"), (own,))
    yield from export_section(say, facts.lines, facts.terms)
    yield caution_section(say, (*facts.lines, *facts.offers))


def _open(say: Words, facts: Quotation) -> Iterable[Section]:
    """Tell what is still to be answered, and the lines without a price."""
    texts: list[str] = []
    for line in facts.unpriced:
        asked = [q for q in facts.questions if q.label == line.label]
        # In English the question is put as the estimator puts it; else in the words of its field.
        put = [q.ask if say.language == "en" else _put(say, q) for q in asked]
        typed = f"{asked_in(say, line.asked)} – " if line.asked else ""
        what = f"{typed}{say.say('cloth', 'not_priced')}. "
        what += " ".join(dict.fromkeys(put))
        texts.append(say.say("texts", "open", line=line.label, text=what.strip()))
    if texts:
        yield Section(say.say("sections", "questions"), tuple(texts))


def _put(say: Words, question: OpenQuestion) -> str:
    """Put a question in the words of its field; of what cannot be offered, ask for another."""
    if not question.kind:
        return say.among("questions", question.field)
    named = say.held["not_offered"]
    return str(named.get(question.field, named["other"]))


def _must_stand(say: Words, facts: Quotation) -> Iterable[Section]:
    """Tell what the cloth must stand, as stated and as taken where nothing was."""
    if texts := service_texts(say, facts.stands):
        yield Section(say.say("sections", "service"), tuple(texts))


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
        key = say.of_lines("open", one.labels)
        texts.append(say.say("texts", key, line=", ".join(one.labels), text=text))
    if texts:
        yield Section(say.say("sections", "papers"), (*texts, say.say("texts", "papers")))
