"""What a text that was asked about may mean: each of its readings, as a cell would hold it."""

from __future__ import annotations

import re

from meshcore.messages import Message
from meshcore.reading.columns import certain_text
from meshcore.reading.numbers.lexing import tidy
from meshcore.reading.numbers.numerals import NUMBER, after_a_word, readings
from meshcore.reading.sizes.gauge_texts import sizes_of

_QUOTED = re.compile(r'"([^"]+)"')
#: A number, and the stop of a word that it touches.
_BEHIND_A_WORD = re.compile(r"(?<=[^\W\d_])\.\d+")
_NUMBER = re.compile(NUMBER)


def readings_named(message: Message) -> tuple[str, ...]:
    """Return each reading that a refusal leaves open; none where it leaves no choice.

    Parameters
    ----------
    message
        What was said of a cell.

    Examples
    --------
    >>> mend = 'Write "0.63 mm" or "0.63 in".'
    >>> readings_named(Message("wire_diameter", "0.63", mend, code="size.unit_missing"))
    ('0.63 mm', '0.63 in')
    >>> readings_named(Message("length", "30.000 mm", "", code="size.separator_ambiguous"))
    ('30 mm', '30000 mm')
    >>> readings_named(Message("wire_diameter", "16 ga", "", code="wire.gauge_ambiguous"))[0]
    '1.291 mm'
    """
    match message.code:
        case "wire.gauge_ambiguous":
            return tuple(f"{size * 1e3:.4g} mm" for size in sizes_of(message.read))
        case "size.unit_missing":
            return tuple(_QUOTED.findall(message.text))
        case "size.separator_ambiguous" | "quantity.separator_ambiguous":
            return _of_digits(tidy(message.read), _NUMBER)
        case "size.stop_or_point":
            return _of_digits(tidy(message.read), _BEHIND_A_WORD)
    return ()


def _of_digits(text: str, pattern: re.Pattern[str]) -> tuple[str, ...]:
    """Each reading of the first digits of a text that have several, with what stands about them."""
    for found in pattern.finditer(text):
        behind = found.start() > 0 and text[found.start() - 1].isalpha()
        values = after_a_word(found[0]) if behind else readings(found[0])
        if len(values) > 1:
            start, end = text[: found.start()], text[found.end() :]
            space = " " if behind else ""
            return tuple(f"{start}{space}{certain_text(n.value)}{end}" for n in values)
    return ()
