"""Questions that a mill asks back: the words, and the order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from meshcore.enquiry import COLUMNS
from meshcore.messages import Message

#: Fields in the order in which a mill asks for them; certificates and delivery have no column of
#: their own in an enquiry list.
FIELDS: tuple[str, ...] = (
    "mesh_count",
    "pitch",
    "aperture",
    "open_area",
    "wire_diameter",
    "weave",
    "alloy",
    "form",
    "width",
    "length",
    "shape",
    "dimensions",
    "quantity",
    "services",
    "certificates",
    "delivery",
)


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to ask back.

    Parameters
    ----------
    field
        The enquiry column that the answer belongs in, or ``"certificates"`` or ``"delivery"``.
    ask
        The question.
    why
        Why it matters, in one sentence.
    usual
        The usual answer, to confirm; empty where there is none.
    needed
        Whether there is no price without the answer.
    answer
        The usual answer as the cell would hold it; empty where it is no cell of a list.
    kind
        ``"not offered"`` where the mill has no price for what was named; empty otherwise.
    """

    field: str
    ask: str
    why: str
    usual: str = ""
    needed: bool = True
    answer: str = ""
    kind: str = ""

    def with_usual(self, usual: str, answer: str = "") -> Question:
        """Return the same question with another usual answer."""
        return replace(self, usual=usual, answer=answer)


MESH = Question(
    "mesh_count",
    "Which mesh count, or which aperture?",
    "With the wire it fixes what passes through, the open area and the mass.",
)
WIRE = Question(
    "wire_diameter",
    "Which wire diameter?",
    "It sets the strength, the mass and most of the price; one mesh is woven in many wires.",
)
WEAVE = Question(
    "weave",
    "Which weave, or what is the cloth to do?",
    "The weave decides whether the aperture stays exact and how the wires hold.",
    needed=False,
)
ALLOY = Question(
    "alloy",
    "Which alloy, or what will the cloth meet: medium, temperature, wear, food?",
    "It sets the price, and the wrong alloy can fail in service.",
)
#: Said of every alloy that is offered; no advice on corrosion.
ALLOY_CAUTION = "is what is mostly bought; whether it serves is for the user's corrosion review"
#: Words of a note that speak of a service for which no alloy is offered unasked.
SERVICE_WORDS: tuple[str, ...] = (
    "sea", "marine", "coast", "offshore", "salt", "brine", "chlor", "acid", "caustic", "ammonia",
    "pool", "furnace", "hot", "heat", "°c", "° c", "food", "corros", "sulph", "steam",
)  # fmt: skip
FORM = Question(
    "form",
    "Rolls, slit strips or cut pieces?",
    "Cutting, and the cloth lost in it, are part of the price.",
)
ROLL_WIDTH = Question(
    "width",
    "How wide should the rolls be?",
    "Cloth is woven in fixed widths; another is cut from the next wider.",
)
ROLL_LENGTH = Question(
    "length", "How long should each roll be?", "A length other than a full or half roll costs more."
)
#: Asked where it is not said yet how the cloth is to be supplied.
ANY_WIDTH = Question(
    "width",
    "How wide, or which shape and sizes if cut pieces are meant?",
    "Rolls and strips are priced by their width, pieces by the cloth that they take.",
)
ANY_LENGTH = Question(
    "length",
    "How long is each roll, strip or piece?",
    "A length other than a full or half roll costs more.",
)
STRIP_WIDTH = Question(
    "width", "How wide should the strips be?", "Strips are slit side by side from a stock width."
)
STRIP_LENGTH = Question(
    "length",
    "How long should each strip be, and may longer ones be joined?",
    "A strip longer than a roll has to be joined.",
)
#: Asked of pieces with no sizes at all.
PIECE_SIZES = Question(
    "dimensions",
    "Which shape, and which sizes: every side, diameter, angle and hole?",
    "Pieces are priced by the cloth that they take and the length of the cut.",
    "a rectangle, width x height, warp along the height",
)
QUANTITY = Question(
    "quantity", "How many?", "Setting up is shared over the quantity, so it moves the unit price."
)
SERVICES = Question(
    "services",
    "Is anything to be done to the cloth: edges, welding, forming, annealing, cleaning, coating?",
    "It is priced by itself; raw wire ends are sharp, so say if people will handle the edges.",
    "nothing, edges as cut",
    needed=False,
    answer="none",
)
#: EN 10204 names the inspection certificate 3.1 (from memory).
CERTIFICATES = Question(
    "certificates",
    "Which certificates or test reports?",
    "They have to be ordered with the wire and cannot always be had later.",
    "none; where one is wanted, inspection certificate 3.1 (EN 10204)",
    needed=False,
)
DELIVERY = Question(
    "delivery",
    "Where to, and by when?",
    "Freight and any haste are part of the price.",
    "ex works, at the mill's usual lead time",
    needed=False,
)


#: Words by which a message speaks of the mill's own book, policy, rules or files to its estimator.
_OF_THE_MILL = re.compile(
    r"\b(?:price books?|supply policy|the policy|the book|plugins?|add it there|"
    r"mend the (?:book|rule|policy)|(?:wire|loom|service|services|weave|margin|cut|metal)\.\w+)\b"
    r"|\brule [\w. -]+\(|\w\.(?:toml|xlsx)\b",
    re.IGNORECASE,
)
#: Of what is named and cannot be offered: what a buyer is asked instead.
NOT_OFFERED = "not offered"
_INSTEAD = {
    "alloy": "it cannot be offered in this alloy at present. Would another alloy serve?",
    "services": "it cannot be offered at present. May it be left out?",
    "weave": "it cannot be offered in this weave at present. Would another weave serve?",
}
_NOT_SO = "it cannot be offered so at present. Would another serve?"


def is_of_the_mill(message: Message) -> bool:
    """Tell whether a message speaks of the mill's own book, policy, rules or files.

    Examples
    --------
    >>> is_of_the_mill(Message("alloy", "X", "price book Weir has no wire.metal. Add it there."))
    True
    >>> is_of_the_mill(Message("quantity", "0", "nothing is ordered. Write 1 or more."))
    False
    """
    return _OF_THE_MILL.search(message.text) is not None


def unreadable(message: Message) -> Question:
    """Ask about something that was written but cannot stand.

    What concerns the mill's own book or policy is no word for the buyer, who is asked for another.

    Examples
    --------
    >>> asked = unreadable(Message("quantity", "0", "nothing is ordered. Write 1 or more."))
    >>> asked.ask
    'The quantity reads "0": nothing is ordered. Write 1 or more.'
    """
    name = _plain(message.field)
    reads = "read" if name.endswith("s") else "reads"
    if is_of_the_mill(message):
        return Question(
            message.field,
            f'The {name} {reads} "{message.read}": {_INSTEAD.get(message.field, _NOT_SO)}',
            "As it stands the line cannot be priced.",
            kind=NOT_OFFERED,
        )
    return Question(
        message.field,
        f'The {name} {reads} "{message.read}": {_plain(_for_a_customer(message))}',
        "As it stands the line cannot be priced.",
    )


def _for_a_customer(message: Message) -> str:
    """Leave out how a weave rule measures; what is wrong and would mend it stays."""
    ruled, found, rest = message.text.partition("). ")
    is_ruled = message.code.startswith("weave.") and found and ", where at " in ruled
    return f"{rest[:1].lower()}{rest[1:]}" if is_ruled else message.text


def left_open(message: Message) -> Question:
    """Ask for a size that the others leave open.

    Examples
    --------
    >>> left_open(Message("wire_diameter", "", "the rest leaves it open. Write it.")).ask
    'Which wire diameter? The rest leaves it open. Write it.'
    """
    text = _plain(message.text)
    return Question(
        message.field,
        f"Which {_plain(message.field)}? {text[:1].upper()}{text[1:]}",
        "As it stands the line cannot be priced.",
    )


#: How a question ends about what no answer to the rest makes stand.
CHECK_IT = "Please check it."


def hopeless(message: Message) -> Question:
    """Say of something that was written that no answer to the rest makes it stand.

    Examples
    --------
    >>> hopeless(Message("width", "2 mm", "less than one mesh. Write more.")).ask
    'The width reads "2 mm": it cannot stand in any cloth that we tried. Please check it.'
    >>> hopeless(Message("width", "2 mm", "0.2 meshes: a strip falls apart (practice). Check.")).ask
    'The width reads "2 mm": it cannot stand in any cloth that we tried: a strip falls apart. \
Please check it.'
    """
    reason = message.text.partition(": ")[2].partition(" (")[0]
    why = f": {reason}" if reason else ""
    return unreadable(
        replace(message, text=f"it cannot stand in any cloth that we tried{why}. {CHECK_IT}")
    )


def no_reading_stands(field: str, reading: str, message: Message) -> str:
    """Say that a line can be made in no reading of a cell, with what speaks against the first.

    Examples
    --------
    >>> jam = Message("wire_diameter", "3 mm", "no aperture is left.")
    >>> no_reading_stands("wire_diameter", "3 mm", jam)
    'Whichever is meant, the line cannot be made: with 3 mm, no aperture is left.'
    """
    reason = _plain(_for_a_customer(message))
    of = "" if message.field == field else f'the {_plain(message.field)} "{message.read}": '
    return f"Whichever is meant, the line cannot be made: with {reading}, {of}{reason}"


def one_reading_stands(reading: str) -> str:
    """Say which reading of a cell alone can stand with the rest of its line."""
    return f"Only {reading} can stand with the rest of the line."


def general_alloy(message: Message, likely: Sequence[str], others: int) -> Question:
    """Ask which alloy of a general name is meant: the likely few, and that there are others.

    Examples
    --------
    >>> asked = general_alloy(Message("alloy", "stainless", "any."), ["304", "316L"], 24)
    >>> asked.ask
    'The alloy reads "stainless": 304, 316L, or one of 24 others?'
    """
    named = ", ".join(likely)
    rest = f", or one of {others} others?" if others else "?"
    return Question("alloy", f'The alloy reads "{message.read}": {named}{rest}', ALLOY.why)


def with_note(question: Question, note: str) -> Question:
    """Return the same question, with what the note says of it."""
    return replace(question, ask=f'{question.ask} Your note says "{note}".')


def _plain(text: str) -> str:
    """Write column names as words, for readers who never saw the columns."""
    for name in COLUMNS:
        text = text.replace(name, name.replace("_", " "))
    return text


def incomplete_piece(message: Message) -> Question:
    """Ask for the sizes that a shape still needs.

    Examples
    --------
    >>> incomplete_piece(Message("dimensions", "", "a disc needs its sizes.")).ask
    'Please give every size: a disc needs its sizes.'
    """
    return Question("dimensions", f"Please give every size: {message.text}", PIECE_SIZES.why)
