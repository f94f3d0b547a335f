"""Labels of rolls and pieces on file, and what was delivered under each."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from meshcore.documents.facts import ClothLine
from meshcore.documents.labels import Label
from meshcore.documents.order_sheets import heat_line, label_lines
from meshcore.documents.orders import Order
from meshcore.register.connecting import Register
from meshcore.register.deliveries import Delivery
from meshcore.register.entries import Entry, children
from meshcore.register.errors import DoubtError, RecordsError
from meshcore.register.indexing import Head
from meshcore.register.orders import found_line, ordered, standing
from meshcore.register.proportions import label_doubts, over_ordered
from meshcore.register.storing import insert, next_number, revise_within
from meshcore.register.words import likely_number

#: State of a label under which nothing is delivered yet: made before the cloth is cut.
_DUE = "due"
#: Labels of one line beyond which a slip of the pen is likelier than an order (our choice).
_MOST_LABELS = 500


def make_labels(register: Register, opened: Entry, *, who: str = "") -> list[Entry]:
    """Give each roll of an order a label, and each line of strips or pieces one.

    Returns
    -------
    The labels on file; those that there are already, where they were made before.

    Raises
    ------
    RecordsError
        If the order is cancelled, or a line has more rolls than anybody labels at once.
    """
    made = children(register, opened, "label")
    if made:
        return made
    order = standing(opened)
    for line in order.lines:
        if line.form == "roll" and line.quantity > _MOST_LABELS:
            raise RecordsError(
                f"line {line.label} of order {order.number} has {line.quantity} rolls; "
                f"labels are made for {_MOST_LABELS} at most. Split the order."
            )
    with register.writing() as connection:
        for line in order.lines:
            for roll in range(line.quantity if line.form == "roll" else 1):
                number = next_number(connection, "label", order.day.isoformat()[:4])
                said = label_lines(order, line, number)
                body = {
                    "order": order.number, "line": line.label, "roll": roll + 1,
                    "lines": list(said), "deliveries": [],
                }  # fmt: skip
                insert(connection, "label", _head(order, said, _DUE), body, [found_line(line)],
                       parent=opened.id, number=number, who=who)  # fmt: skip
    return children(register, opened, "label")


def _head(order: Order, said: Sequence[str], state: str, heats: Sequence[str] = ()) -> Head:
    return Head(
        day=order.day.isoformat(), sender=order.to.name, reference=order.buyer_number,
        title=" · ".join(said[4:]), keys=tuple(heats), state=state,
    )  # fmt: skip


def printable(opened: Entry, labels: Sequence[Entry]) -> list[Label]:
    """Return the labels of an order as they are printed, with the heats that are known by now."""
    order = ordered(opened)
    return [
        Label(one.number, (*one.body["lines"], *heat_line(order.language, _heats(one))),
              order.terms.mill)
        for one in labels
    ]  # fmt: skip


def unnumbered(opened: Entry) -> list[Label]:
    """Return a label of each line of an order, as it would be printed, without its number."""
    order = standing(opened)
    return [Label("", label_lines(order, line, ""), order.terms.mill) for line in order.lines]


def _heats(label: Entry) -> list[str]:
    return list(dict.fromkeys(one.heat for one in measured(label) if one.heat))


@dataclass(frozen=True, slots=True)
class Measured:
    """One delivery under a label: which in order, its length [m] or count, and the heat."""

    place: int
    length_m: float
    count: int
    heat: str
    taken_back: bool = False


def measured(label: Entry, *, every: bool = False) -> list[Measured]:
    """Return what was delivered under a label, first to last; what was taken back only if asked."""
    body = label.body
    held = body.get("deliveries")
    if held is None:
        # What was filed before deliveries were kept one by one has one length at most.
        held = [body] if body["delivered_m"] > 0 else []
    found = [
        Measured(place, float(one.get("length_m", one.get("delivered_m", 0.0))),
                 int(one.get("count", 0)), one["heat"], bool(one.get("taken_back")))
        for place, one in enumerate(held)
    ]  # fmt: skip
    return found if every else [one for one in found if not one.taken_back]


def delivered_m(label: Entry) -> float:
    """Return the length delivered under a label in all [m]."""
    return sum(one.length_m for one in measured(label))


@dataclass(frozen=True, slots=True)
class Noted:
    """Labels of an order after a delivery, and what is to be known of it."""

    labels: tuple[Entry, ...]
    said: tuple[str, ...]


def deliver(
    register: Register,
    opened: Entry,
    deliveries: Sequence[Delivery],
    *,
    anyway: bool = False,
    instead: bool = False,
    who: str = "",
) -> Noted:
    """Note what was delivered under each label: it adds to what was noted before.

    Parameters
    ----------
    register, opened
        The order, with its labels made.
    deliveries
        Each with its label; those without one go to the rolls that have none yet, in order.
    anyway
        Whether they are to stand although a length or a count is out of all proportion.
    instead
        Whether they stand in place of what was noted under their labels and is not billed yet,
        which then is taken back and stays on file.

    Raises
    ------
    DoubtError
        If a roll comes to less than half or more than one and a half of its length, the rolls of
        a line together to more than it ordered and its tolerance allows, or there are more pieces
        than were ordered; unless they are to stand anyway.
    RecordsError
        If a label is not of this order, or there are more lengths than rolls.
    """
    order = standing(opened)
    labels = {one.number: one for one in children(register, opened, "label")}
    lines = {line.label: line for line in order.lines}
    billed = billed_places(children(register, opened, "bill"))
    held = {number: _kept(one) for number, one in labels.items()}
    touched: set[str] = set()
    for delivery, number in _placed(order, labels, deliveries):
        if instead and number not in touched:
            for place, one in enumerate(held[number]):
                one["taken_back"] = (number, place) not in billed
        touched.add(number)
        held[number].append(_one(order, lines[labels[number].body["line"]], delivery))
    doubts = [
        text
        for number in sorted(touched)
        for text in label_doubts(number, lines[labels[number].body["line"]], held[number])
    ]
    doubts += _line_doubts(order, labels, held, touched)
    if doubts and not anyway:
        raise DoubtError(doubts)
    with register.writing() as connection:
        for number in sorted(touched):
            label = labels[number]
            kept = {n: v for n, v in label.body.items() if n not in ("delivered_m", "heat")}
            body = kept | {"deliveries": held[number]}
            heats = dict.fromkeys(one["heat"] for one in held[number] if one["heat"])
            head = _head(order, label.body["lines"], "delivered", list(heats))
            revise_within(connection, label, head, body, [found_line(lines[label.body["line"]])],
                          note=" ".join(doubts), who=who)  # fmt: skip
    said = [
        f"{number} is billed already; what is delivered now comes on the next bill."
        for number in sorted(touched & {label for label, _ in billed})
    ]
    return Noted(tuple(children(register, opened, "label")), tuple(said))


def _kept(label: Entry) -> list[dict[str, Any]]:
    held = label.body.get("deliveries")
    if held is not None:
        return [dict(one) for one in held]
    return [
        {"length_m": one.length_m, "count": 0, "heat": one.heat, "text": "", "taken_back": False}
        for one in measured(label)
    ]


def _placed(
    order: Order, labels: dict[str, Entry], deliveries: Sequence[Delivery]
) -> Iterable[tuple[Delivery, str]]:
    """Give each delivery its label."""
    forms = {line.label: line.form for line in order.lines}
    named = {one.label for one in deliveries}
    free = iter(
        number
        for number, one in labels.items()
        if forms[one.body["line"]] == "roll" and not measured(one) and number not in named
    )
    for delivery in deliveries:
        number = delivery.label or next(free, "")
        if number not in labels:
            what = f"no label {delivery.label}" if delivery.label else "no roll without a length"
            hint = next(iter(labels), "R…")
            near = likely_number(delivery.label)
            if near in labels:
                raise RecordsError(
                    f"order {order.number} has {what} for {delivery.text}. Perhaps {near}?"
                )
            raise RecordsError(
                f"order {order.number} has {what} for {delivery.text}. Check the count; more of "
                f"a roll, or pieces, go under their label, as {hint}: {delivery.text}."
            )
        yield delivery, number


def _one(order: Order, line: ClothLine, delivery: Delivery) -> dict[str, Any]:
    if (line.form == "roll") != (delivery.count == 0):
        due = (
            "a length, such as 98 ft"
            if line.form == "roll"
            else f"a count, such as 12 {line.form}s"
        )
        raise RecordsError(
            f'line {line.label} of order {order.number}: read "{delivery.text}"; {due}, is due.'
        )
    return {"length_m": delivery.length_m, "count": delivery.count, "heat": delivery.heat,
            "text": delivery.text, "taken_back": False}  # fmt: skip


def _line_doubts(
    order: Order, labels: dict[str, Entry], held: dict[str, list[dict[str, Any]]],
    touched: Collection[str],
) -> Iterable[str]:  # fmt: skip
    """Tell which lines of rolls come to more than was ordered, where no roll of theirs tells it."""
    of_line = {number: one.body["line"] for number, one in labels.items()}
    for line in order.lines:
        now = [number for number in touched if of_line[number] == line.label]
        if line.form != "roll" or not now or any(any(label_doubts(n, line, held[n])) for n in now):
            continue
        length = sum(
            one["length_m"]
            for number, name in of_line.items()
            if name == line.label
            for one in held[number]
            if not one["taken_back"]
        )
        yield from over_ordered(line, length)


def as_ordered(order: Order, labels: Sequence[Entry]) -> list[Delivery]:
    """Return deliveries of all that is not delivered yet, just as it was ordered.

    A roll of which some is delivered counts as delivered, as rolls come out longer and shorter; of
    strips and pieces the rest of their count is due.
    """
    lines = {line.label: line for line in order.lines}
    found: list[Delivery] = []
    for label in labels:
        line = lines[label.body["line"]]
        before = measured(label)
        rest = line.quantity - sum(one.count for one in before)
        if line.form == "roll":
            if not before:
                found.append(Delivery(line.length_m, f"{line.length_m:g} m", label.number))
        elif rest > 0:
            found.append(Delivery(0.0, f"{rest} {line.form}s", label.number, count=rest))
    return found


def billed_places(bills: Sequence[Entry]) -> set[tuple[str, int]]:
    """Return which deliveries, by label and place, are on a bill."""
    return {
        (one["label"], int(one.get("place", 0))) for bill in bills for one in bill.body["goods"]
    }
