"""A letter priced: its lines, each choice of alloy, and the reply that asks for the rest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from email import policy
from email.message import EmailMessage
from email.utils import parseaddr
from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import policy_in_use
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.question_texts import FIELDS, Question
from meshcore.estimates.questions import QuestionList, questions
from meshcore.estimates.results import EstimateSet
from meshcore.reading.letters.letter import Letter
from meshcore.reading.tables.standing import choice_of
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.geometry.path import PathModel

if TYPE_CHECKING:
    import pandas as pd

#: Sizes of which any two give the rest: an open question about one stands for all of them.
_OPENINGS = ("mesh_count", "pitch", "aperture", "open_area")


@dataclass(frozen=True, eq=False)
class PricedLetter:
    """A letter with its prices.

    Parameters
    ----------
    letter
        The letter; its lines and what is to be asked are those that were priced.
    ways
        The lines priced as one order: with the first alloy of every choice, then with the second,
        and so on. One where the letter leaves no choice.
    choices
        Alloys that a line may be of, in the order of `ways`: row → names.
    asked
        What is to be asked of each line before it can be priced, or confirmed.
    """

    letter: Letter
    ways: tuple[EstimateSet, ...]
    choices: dict[int, tuple[str, ...]]
    asked: QuestionList

    @property
    def estimates(self) -> EstimateSet:
        """The lines priced with the first of every choice."""
        return self.ways[0]

    def reply(self) -> str:
        """Return the questions as a letter back; empty where nothing is open."""
        return reply_text(self.letter, self.asked)


def price_letter(
    letter: Letter,
    price_book: PriceBook | None = None,
    supply_policy: SupplyPolicy | None = None,
    path_model: PathModel = "arc",
) -> PricedLetter:
    """Price the lines of a letter, a choice of alloys every way, and say what is to be asked.

    Parameters
    ----------
    letter
        A letter as read, or as mended (`mended`).
    price_book, supply_policy, path_model
        As for `estimate_list`.

    Notes
    -----
    Lines that are to be had in one alloy or another are priced as whole orders, one for each
    alloy, since what an order shares is shared by the lines that are bought, not by all that are
    named.

    Examples
    --------
    >>> from meshcore.reading.letters.letter import read_letter
    >>> letter = read_letter("3 rolls 10 mesh, .025 in wire, 304 or 316L, 48 in x 100 ft, please")
    >>> priced = price_letter(letter)
    >>> priced.choices, [way[0].status for way in priced.ways]
    ({0: ('304', '316L')}, ['ok', 'ok'])
    """
    policy_ = supply_policy if supply_policy is not None else policy_in_use()
    choices = _choices(letter)
    ways = tuple(
        estimate_list(_in_alloys(letter, choices, way), price_book, policy_, path_model)
        for way in range(max(map(len, choices.values()), default=1))
    )
    as_read = estimate_list(letter.lines, price_book, policy_, path_model) if choices else ways[0]
    open_points = questions(letter.lines, as_read.messages, policy_, price_book)
    return PricedLetter(letter, ways, choices, _with_own(open_points, letter))


def as_offers(letter: Letter) -> pd.DataFrame:
    """Return the lines as a list with an order for each way that the letter leaves open.

    Parameters
    ----------
    letter
        A letter as read. Without a choice of alloys its lines are returned as they are; with one,
        orders and lines are called "a", "b" and so on after it.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a letter is read

    choices = _choices(letter)
    if not choices:
        return letter.lines
    offers = []
    for way in range(max(map(len, choices.values()))):
        lines, name = _in_alloys(letter, choices, way), chr(ord("a") + way)
        numbers = [f"{line}{name}" for line in lines["line"]]
        orders = [f"{name}{order}" if choice_of(order) else name for order in lines["order"]]
        offers.append(lines.assign(line=numbers, order=orders).astype(object))
    return pd.concat(offers, ignore_index=True)


def mended(letter: Letter, lines: pd.DataFrame) -> Letter:
    """Return the letter with other cells in its lines; what was asked of a changed cell is settled.

    Parameters
    ----------
    letter
        A letter as read.
    lines
        Its lines as they are to be, with the same columns. A line is known by its number in the
        column ``line``; others are lines of their own.
    """
    was, now = _cells(letter.lines), _cells(lines)

    def stands(line: object, field: str) -> bool:
        label = str(line)
        return label in now and now[label].get(field) == was[label].get(field)

    numbers, fields = letter.asked["line"], letter.asked["field"]
    kept = np.array([stands(n, str(f)) for n, f in zip(numbers, fields, strict=True)], dtype=bool)
    return replace(letter, lines=lines.reset_index(drop=True), asked=letter.asked[kept])


def _cells(lines: pd.DataFrame) -> dict[str, dict[str, str]]:
    rows = lines.to_dict("records")
    return {str(row["line"]): {str(n): str(cell) for n, cell in row.items()} for row in rows}


def _choices(letter: Letter) -> dict[int, tuple[str, ...]]:
    labels = [str(label) for label in letter.lines["line"]]
    alloys = letter.asked[letter.asked["field"] == "alloy"]
    named = zip(alloys["line"], alloys["choice"], strict=True)
    return {labels.index(str(line)): tuple(choice) for line, choice in named if choice}


def _in_alloys(letter: Letter, choices: dict[int, tuple[str, ...]], way: int) -> pd.DataFrame:
    lines = letter.lines.copy()
    for row, alloys in choices.items():
        # A line of fewer alloys than another stays with its last.
        lines.loc[lines.index[row], "alloy"] = alloys[min(way, len(alloys) - 1)]
    return lines


def _with_own(open_points: QuestionList, letter: Letter) -> QuestionList:
    """Ask what the letter itself leaves open in its own words, in place of the general question."""
    own: dict[str, dict[str, list[str]]] = {}
    for line, field, why in zip(
        letter.asked["line"], letter.asked["field"], letter.asked["why"], strict=True
    ):
        own.setdefault(str(line), {}).setdefault(str(why), []).append(str(field))
    labels = [str(label) for label in letter.lines["line"]]
    return QuestionList(
        tuple(labels),
        tuple(
            _joined(_without_said(asked, letter), own.get(label, {}))
            for label, asked in zip(labels, open_points.lines, strict=True)
        ),
    )


def _without_said(asked: Sequence[Question], letter: Letter) -> list[Question]:
    """Leave out what the head or the foot of the letter says of all its lines."""
    place, date = letter.header.get("deliver_to"), letter.header.get("wanted_by")
    kept = []
    for question in asked:
        if question.field == "delivery" and (place or date):
            if not (place and date):
                kept.append(replace(question, ask="By when?" if place else "Where to?"))
        else:
            kept.append(question)
    return kept


def _joined(asked: Sequence[Question], own: dict[str, list[str]]) -> tuple[Question, ...]:
    if not own:
        return tuple(asked)
    every = [field for fields in own.values() for field in fields]
    covered = {*every, *(_OPENINGS if set(every) & set(_OPENINGS) else ())}
    questions_ = [_own_question(why, fields) for why, fields in own.items()]
    questions_ += [question for question in asked if question.field not in covered]
    return tuple(sorted(questions_, key=lambda q: FIELDS.index(q.field)))


def _own_question(why: str, fields: Sequence[str]) -> Question:
    field = min((f for f in fields if f in FIELDS), key=FIELDS.index, default="delivery")
    if why.endswith("?"):
        return Question(field, f"You wrote {why}", "")
    named = " and ".join(name.replace("_", " ") for name in fields)
    return Question(field, f"{named.capitalize()}: {why}.", "Please tell us which is meant.")


def reply_text(letter: Letter, asked: QuestionList) -> str:
    """Return what is to be asked as a letter back; empty where nothing is open.

    Parameters
    ----------
    letter
        The letter that is answered.
    asked
        The questions, as `price_letter` has them.
    """
    body = asked.text_for_all()
    aside = _set_apart(letter)
    if not body and not aside:
        return ""
    reference = letter.header.get("reference")
    about = f" {reference.text}" if reference else ""
    parts = [f"Thank you for your enquiry{about}.", body, aside]
    whole = "\n\n".join(part for part in parts if part)
    return "".join(f"{line.rstrip()}\n" for line in whole.splitlines())


def _set_apart(letter: Letter) -> str:
    if not len(letter.not_square):
        return ""
    goods = zip(letter.not_square["text"], letter.not_square["why"], strict=True)
    named = [f'- "{" ".join(str(text).split())}" ({why})' for text, why in goods]
    return "\n".join(["We weave cloth of square mesh only, and have left out:", *named])


def reply_mail(letter: Letter, text: str) -> bytes:
    """Return a reply as a draft that any mail program opens (RFC 5322).

    Parameters
    ----------
    letter
        The letter that is answered: its sender is the addressee where an address stands in it.
    text
        What the reply says.
    """
    mail = EmailMessage()
    sender = letter.header.get("sender")
    _, address = parseaddr(sender.text) if sender else ("", "")
    if "@" in address and address.isascii():
        mail["To"] = address
    reference = letter.header.get("reference")
    mail["Subject"] = "Your enquiry" + (f" {reference.text}" if reference else "")
    # Mail programs that know this header open the file as a draft that can be sent.
    mail["X-Unsent"] = "1"
    mail.set_content(text)
    return mail.as_bytes(policy=policy.SMTP)
