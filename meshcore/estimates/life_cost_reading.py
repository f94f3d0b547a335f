"""What a replacement costs as people type it, to `LifeCost`; what cannot be read is refused."""

from __future__ import annotations

from collections.abc import Mapping

from meshcore.estimates.life_cost import LifeCost
from meshcore.messages import Message
from meshcore.reading.numbers.readings import NO_HINTS
from meshcore.reading.texts import read_text
from meshcore.units import Kind

#: Field → how it is written, what it is read as, and the most that it may be (project's own).
COST_FIELDS: Mapping[str, tuple[str, Kind, float]] = {
    "fitting": ("500, of each replacement, in the book's currency", "number", 1e9),
    "down_time": ("2000, of each replacement, in the book's currency", "number", 1e9),
    "discount": ("5 % a year", "share", 1.0),
}


def read_life_cost(texts: Mapping[str, str]) -> LifeCost | tuple[Message, ...]:
    """Read the costs of a replacement from the texts of their fields.

    Parameters
    ----------
    texts
        Field of ``COST_FIELDS`` → what was typed; blank ones cost nothing.

    Returns
    -------
    The costs, or every refusal.

    Examples
    --------
    >>> read_life_cost({"fitting": "500", "discount": "5 %"}).discount
    0.05
    >>> print(read_life_cost({"down_time": "-3"})[0])
    down_time: read "-3" — not a cost from 0 to 1e+09. Write it as 2000, of each replacement.
    """
    read: dict[str, float] = {}
    refused: list[Message] = []
    for field, text in texts.items():
        if not text.strip():
            continue
        example, kind, most = COST_FIELDS[field]
        value = read_text(text, kind, field, "", NO_HINTS)
        if isinstance(value, Message) or value is None or not 0.0 <= value.value <= most:
            short = example.split(", in ")[0]
            span = "0 to 100 %" if kind == "share" else f"0 to {most:g}"
            said = f"not a cost from {span}. Write it as {short}."
            refused.append(Message(field, text, said, code="service.cost_unreadable"))
        else:
            read[field] = value.value
    return tuple(refused) if refused else LifeCost(**read)
