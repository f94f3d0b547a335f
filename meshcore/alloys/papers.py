"""What a service's industry asks for: the questions, and the paper that proves the answer.

Each is a question and a line for the certificate, never a claim that anything conforms: that is for
whoever tests and signs. Editions and national rules differ, and decide.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from meshcore.alloys.comparison.conditions import Conditions, held


@dataclass(frozen=True, slots=True)
class Paper:
    """What is to be asked of one matter, and which paper proves it.

    Parameters
    ----------
    name
        What it is about.
    question
        What to ask the buyer; empty where the words say it already.
    line
        Line for the quotation: what would be certified, if it is asked for.
    source
        Where the matter is ruled.
    """

    name: str
    question: str
    line: str
    source: str

    def __str__(self) -> str:
        """Write it as a line of print."""
        asked = f"{self.question} " if self.question else ""
        return f"{self.name}: {asked}Paper: {self.line} ({self.source})."


_Asked = Callable[[Conditions], bool]


def _never(_conditions: Conditions) -> bool:
    return False


#: Each paper, the service that calls for it, and the words that do.
_RULES: tuple[tuple[Paper, _Asked, str], ...] = (
    (
        Paper(
            "food contact",
            "Which food, how hot, how long, and which country's rules?",
            "declaration on materials in contact with food, naming alloy and finish",
            "Regulation (EC) 1935/2004 and the Council of Europe guide on metals, from memory",
        ),
        lambda c: c.food_contact,
        r"\bfood|dairy|flour|beverage|baby formula|infant formula|lebensmittel|alimentaire|"
        r"alimentari[oa]|\bfda\b|1935/2004",
    ),
    (
        Paper(
            "drinking water",
            "Which country's positive list, and is the water dosed?",
            "statement of the alloy's entry on the positive list, with its analysis",
            "Directive (EU) 2020/2184 and national lists, from memory",
        ),
        lambda c: c.drinking_water,
        r"drinking.?water|potable|trinkwasser|\bnsf.{0,5}61\b",
    ),
    (
        Paper(
            "sour service",
            "What are H₂S partial pressure, chloride, pH and temperature?",
            "inspection certificate EN 10204 3.1 with hardness and heat treatment; cloth is cold "
            "worked, which the standard limits",
            "NACE MR0175 / ISO 15156, from memory",
        ),
        lambda c: c.h2s == "yes",
        r"\bsour\b|\bnace\b|mr ?-?0175|15156|\bh2s\b|h₂s|sauergas",
    ),
    (
        Paper(
            "pressure equipment",
            "Is the cloth a part that bears pressure, and in which category?",
            "inspection certificate EN 10204 3.1 or 3.2, as the category asks",
            "Directive 2014/68/EU, from memory",
        ),
        _never,
        r"\bped\b|pressure equipment|2014/68|druckger|\bboiler|\basme\b",
    ),
    (
        Paper(
            "explosive atmospheres",
            "Which zone and gas group, and is the cloth a flame arrester or earthed?",
            "none for cloth alone: the maker of the equipment assesses it",
            "Directive 2014/34/EU, from memory",
        ),
        _never,
        r"\batex\b|explosive atmosphere|2014/34|flame arrester|dust explosion|explosion vent",
    ),
    (
        Paper(
            "restricted substances",
            "Which lists are asked for, and at which date?",
            "declaration by the lists named, of the alloy as analysed",
            "Directive 2011/65/EU and Regulation (EC) 1907/2006, from memory",
        ),
        _never,
        r"\brohs\b|\breach\b|svhc|restricted substance|\b(lead|cadmium|cd|pb)[- ]?free\b",
    ),
    (
        Paper(
            "conflict minerals",
            "Is a report on tin, tantalum, tungsten and gold asked for?",
            "report by the wire's source, where the alloy holds one of them",
            "Regulation (EU) 2017/821, from memory",
        ),
        _never,
        r"conflict mineral|3tg|cmrt",
    ),
    (
        Paper(
            "pharmaceutical",
            "Which pharmacopoeia or good-practice rules, what touches the cloth, and which finish?",
            "inspection certificate EN 10204 3.1 and declaration on what touches the product",
            "EU and US rules of good manufacturing practice, from memory",
        ),
        _never,
        r"pharma|\busp\b|\bgmp\b",
    ),
    (
        Paper(
            "origin of specialty metals",
            "Which clause of the contract, and from which countries may the metal come?",
            "statement of the country where the metal was melted, from the wire's source",
            "DFARS 252.225-7009, from memory",
        ),
        _never,
        r"\bdfars\b|specialty metal",
    ),
    (
        Paper(
            "oxygen service",
            "Which pressure and purity, and which limit of oil and particles?",
            "certificate of cleaning by the procedure named; metals differ in how they burn",
            "ASTM G93 and G94, from memory",
        ),
        _never,
        r"oxygen (service|clean|use)|\bg ?93\b",
    ),
    (
        Paper(
            "nuclear",
            "Which code and class, and which limits of cobalt and other elements?",
            "inspection certificate EN 10204 3.2, with the analysis asked for",
            "the licensee's specification decides",
        ),
        _never,
        r"nuclear|\brcc-?m\b|nqa",
    ),
    (
        Paper(
            "inspection certificate",
            "Which type: 2.1, 2.2, 3.1 or 3.2?",
            "EN 10204 type 2.1 (statement), 2.2 (results not of this lot), 3.1 (results of this "
            "lot, signed by the mill's inspector) or 3.2 (signed by another too)",
            "EN 10204, from memory",
        ),
        _never,
        r"10204|\b[23][.,][12]\b.{0,3}(cert|zeugnis|certif)|\bcerts?\b|certificat|zeugnis|"
        r"prüfbescheinigung",
    ),
)


def papers_for(conditions: Conditions, text: str = "") -> tuple[Paper, ...]:
    """Say what a service and its words call for.

    Parameters
    ----------
    conditions
        The service.
    text
        What the buyer wrote, in which trigger words are looked for.

    Examples
    --------
    >>> [p.name for p in papers_for(Conditions(environment="drinking water"))]
    ['drinking water']
    >>> [p.name for p in papers_for(Conditions(), "with 3.1 cert, ATEX zone 1")]
    ['explosive atmospheres', 'inspection certificate']
    """
    whole, _ = held(conditions)
    words = _DENIED.sub(" ", text.casefold())
    return tuple(
        _unanswered(paper, words)
        for paper, asked, pattern in _RULES
        if asked(whole) or re.search(pattern, words)
    )


#: What the words deny calls for nothing: "not for food".
_DENIED = re.compile(r"\b(not|no|non)[- ](for |in |used for )?(food|drinking.?water|potable)\w*")
#: A type of EN 10204 written beside the word: then it need not be asked for.
_CERTIFICATE_TYPE = re.compile(
    r"(10204|cert\w*|\w*zeugnis)\D{0,12}\b[23][.,][12]\b|"
    r"\b[23][.,][12]\b.{0,3}(cert|zeugnis)"
)


def _unanswered(paper: Paper, words: str) -> Paper:
    is_answered = paper.name == "inspection certificate" and _CERTIFICATE_TYPE.search(words)
    return replace(paper, question="") if is_answered else paper
