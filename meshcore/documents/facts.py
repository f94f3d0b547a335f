"""Facts of a document: what was asked, what is offered, at what price. No word of any language.

Amounts are whole minor units of the currency; sizes are SI. Nothing here tells what a thing costs
the mill: a document cannot show what it does not hold.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from meshcore.documents.terms import Tax, Terms


@dataclass(frozen=True, slots=True)
class Party:
    """Who a document is for: lines of name and address, and the person."""

    lines: tuple[str, ...]
    person: str = ""

    @property
    def name(self) -> str:
        """Its first line."""
        return self.lines[0] if self.lines else ""


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """The price of one at another quantity [minor units]."""

    quantity: int
    unit_minor: int


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is still to be confirmed of a line: the field, and what was read there.

    ``field`` is a column of the enquiry, a heading, or ``price`` where the mill itself is to
    confirm.
    """

    field: str
    read: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothLine:
    """One line of cloth.

    Parameters
    ----------
    label
        What the line is called.
    asked
        What was asked for, as typed.
    pitch_m, wire_m, aperture_m, open_area
        The cloth [m], [-].
    weave
        Its name, of ``meshcore.enquiry.WEAVES``.
    alloy, uns, en, family
        Designation, numbers and family of the alloy.
    form
        ``roll``, ``strip`` or ``piece``.
    width_m, length_m
        Of each roll or strip; of the box around each piece [m].
    sizes_text, shape, dimensions
        A piece's shape and sizes as typed, together and each by itself.
    inches_first
        Whether the buyer writes inches.
    quantity
        How many.
    unit_minor, amount_minor
        Price of one and of all.
    net_mass_kg
        Mass of all [kg].
    packages
        Rolls of cloth.
    under, over
        Length and width tolerances, as shares: (length, width).
    services
        Names of services that are in the price.
    tariff
        Customs tariff heading; empty where none is known.
    breaks
        Prices at other quantities.
    role
        ``asked``; ``choice`` for one of several of which one is ordered; ``instead`` and
        ``beside`` for an offer other than what was asked.
    beside
        The line that an offer stands beside, or those of its choice; empty where none is known.
    counted_by
        ``in`` or ``cm``, the length by which the buyer counts; empty where no count was given.
    reference
        The buyer's own number of the goods or the line.
    wanted_by
        When it is wanted, as typed.
    late
        Whether that is before the lead time is over.
    not_included
        What was asked for and is not in the price, as typed.
    to_confirm
        What is still to be confirmed.
    """

    label: str
    asked: str
    pitch_m: float
    wire_m: float
    aperture_m: float
    open_area: float
    weave: str
    alloy: str
    uns: str
    en: str
    family: str
    form: str
    width_m: float
    length_m: float
    sizes_text: str
    inches_first: bool
    quantity: int
    unit_minor: int
    amount_minor: int
    net_mass_kg: float
    packages: int
    under: tuple[float, float]
    over: tuple[float, float]
    services: tuple[str, ...] = ()
    tariff: str = ""
    breaks: tuple[PriceBreak, ...] = ()
    role: str = "asked"
    counted_by: str = ""
    reference: str = ""
    wanted_by: str = ""
    late: bool = False
    not_included: tuple[str, ...] = ()
    to_confirm: tuple[Doubt, ...] = ()
    shape: str = ""
    dimensions: str = ""
    beside: str = ""


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """What is still to be answered: of which line, about which field, in English words.

    ``kind`` is ``not offered`` where the mill has no price for what was named.
    """

    label: str
    field: str
    ask: str
    kind: str = ""


@dataclass(frozen=True, slots=True)
class AskedPaper:
    """A matter that some lines speak of, which calls for a paper.

    Parameters
    ----------
    labels
        The lines.
    name
        Of a `meshcore.alloys.papers.Paper`.
    question, proof
        What is still to be asked, empty where the lines say it, and the paper that would prove it;
        in English words.
    """

    labels: tuple[str, ...]
    name: str
    question: str
    proof: str


@dataclass(frozen=True, slots=True)
class AskedService:
    """What the cloth of some lines must stand, as it was stated.

    Parameters
    ----------
    labels
        The lines.
    text
        As it was written.
    assumed
        Fields of a service that nobody stated, each with its value and unit: what is printed in
        words, or a number.
    unknown
        Fields that nobody knows.
    is_read
        Whether the text could be read; nothing is assumed of one that could not.
    """

    labels: tuple[str, ...]
    text: str
    assumed: tuple[tuple[str, float | str, str], ...] = ()
    unknown: tuple[str, ...] = ()
    is_read: bool = True


@dataclass(frozen=True, slots=True)
class UnpricedLine:
    """A line without a price, with what was asked."""

    label: str
    asked: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Quotation:
    """A quotation.

    Parameters
    ----------
    number, revision, day, valid_until
        Which it is, and how long it holds.
    to, reference
        Who it is for, and under which reference they asked.
    language
        Of the document.
    currency, digits
        ISO 4217 code, and the decimal places of its minor unit.
    lines
        What is priced.
    offers
        What is offered to choose from, beside or instead; in no sum.
    unpriced
        Lines without a price.
    questions
        What is still open.
    taxes_in
        Whether the prices hold the taxes already.
    terms
        The mill's terms and letterhead.
    papers
        What the lines call for in papers, and what is to be asked first; never a claim.
    stands
        What the cloth must stand, as stated and as taken where nothing was.
    sample
        Whether the prices are of an invented book, and bind nobody.
    ready
        Day on which all of it could leave if it is ordered on `day`; None where none was reckoned.
    """

    number: str
    revision: int
    day: date
    valid_until: date
    to: Party
    reference: str
    language: str
    currency: str
    digits: int
    lines: tuple[ClothLine, ...]
    offers: tuple[ClothLine, ...]
    unpriced: tuple[UnpricedLine, ...]
    questions: tuple[OpenQuestion, ...]
    taxes_in: bool
    terms: Terms
    papers: tuple[AskedPaper, ...] = ()
    stands: tuple[AskedService, ...] = ()
    sample: bool = False
    ready: date | None = None

    @property
    def options(self) -> tuple[ClothLine, ...]:
        """What is in no sum, and was priced as a line of the list."""
        return tuple(line for line in self.offers if line.role in ("beside", "choice"))

    @property
    def net_minor(self) -> int:
        """Sum of the lines [minor units]."""
        return sum(line.amount_minor for line in self.lines)

    @property
    def tax_minor(self) -> tuple[int, ...]:
        """Each tax, rounded half-up [minor units]; none where the prices hold them."""
        return taxes_of(self.net_minor, () if self.taxes_in else self.terms.taxes)

    @property
    def total_minor(self) -> int:
        """Sum with taxes [minor units]."""
        return with_taxes(self.net_minor, self.terms, self.taxes_in)


def taxes_of(net_minor: int, taxes: tuple[Tax, ...]) -> tuple[int, ...]:
    """Return each tax on a sum, rounded half-up [minor units].

    Examples
    --------
    >>> taxes_of(1250, (Tax({"": "VAT"}, 19.0),)), taxes_of(50, (Tax({"": "VAT"}, 19.0),))
    ((238,), (10,))
    """
    # Rates have few decimals; in millionths they are whole, and so is the reckoning.
    return tuple(
        (net_minor * round(tax.rate_pct * 1e4) * 2 + 1_000_000) // 2_000_000 for tax in taxes
    )


def with_taxes(net_minor: int, terms: Terms, taxes_in: bool) -> int:
    """Return a sum with its taxes [minor units]; as it is, where the prices hold them already."""
    return net_minor + sum(taxes_of(net_minor, () if taxes_in else terms.taxes))
