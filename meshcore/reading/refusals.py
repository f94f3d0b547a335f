"""What the reader says of a text that it does not read, or read only by judgement.

Each is said once, with its code; the field and the text are put to it by `about`.
"""

from __future__ import annotations

from dataclasses import replace

from meshcore.messages import Message, Severity


def about(message: Message, field: str, read: str) -> Message:
    """Put a field and what was read there to a message."""
    return replace(message, field=field, read=read)


def formula() -> Message:
    """Refuse a formula whose value the file does not hold."""
    text = (
        "a formula whose value the file does not hold. Open the file in a spreadsheet and save it, "
        "or write the value."
    )
    return Message("", "", text, code="reading.formula")


def unreadable(noun: str, mend: str) -> Message:
    """Refuse a text with nothing of the kind in it."""
    return Message("", "", f"not {noun}. {mend}", code="size.unreadable")


def not_understood(word: str, noun: str, mend: str) -> Message:
    """Refuse a word beside the number that nothing is known of."""
    text = f'"{word}" is not understood beside {noun}. {mend}'
    return Message("", "", text, code="size.word_unknown")


def says_more(words: tuple[str, ...], taken: Message | None) -> Message:
    """Put to review what a cell says beside its size: a temper, whether selvedges are in it."""
    shown = ", ".join(f'"{word}"' for word in words)
    also = f" {taken.text}" if taken is not None else ""
    text = (
        f"{shown} beside the size changes nothing in the price. Write what it asks for in its own "
        f"column.{also}"
    )
    return Message("", "", text, "review", code="size.says_more")


def tolerance_left() -> Message:
    """Note that how far a size may be off is not judged."""
    text = "the figure is read; the tolerance beside it is not judged here."
    return Message("", "", text, "note", code="size.tolerance_left")


def unsure(mend: str) -> Message:
    """Refuse a query mark, or words to that effect."""
    return Message("", "", f"the sender is not sure of it. {mend}", code="size.unsure")


def date(mend: str) -> Message:
    """Refuse a date where no date belongs."""
    text = f"a date or a time, perhaps made by a spreadsheet. {mend}"
    return Message("", "", text, code="size.date")


def limit(mend: str) -> Message:
    """Refuse what is at least or at most something."""
    return Message("", "", f"a limit and not one value. {mend}", code="size.limit")


def limit_taken() -> Message:
    """Note that a limit was taken for the amount, where the greatest is what is asked."""
    return Message("", "", "said as a limit; taken as it stands.", "note", code="size.limit_taken")


def choice(mend: str) -> Message:
    """Refuse one or another."""
    return Message("", "", f"a choice of two. {mend}", code="size.choice")


def span(mend: str) -> Message:
    """Refuse what runs from one to another."""
    return Message("", "", f"a range or two values. {mend}", code="size.range")


def negated(mend: str) -> Message:
    """Refuse what only says what it is not."""
    return Message("", "", f"says what it is not. {mend}", code="size.negated")


def raised_digits(example: str) -> Message:
    """Refuse digits that folding would misread."""
    text = f"raised or lowered digits are not read. Write it as {example}."
    return Message("", "", text, code="size.raised_digits")


def too_long(noun: str, example: str) -> Message:
    """Refuse endless text."""
    text = f"too long to be a {noun}. Write it as {example}."
    return Message("", "", text, code="size.text_too_long")


def beyond(limit_text: str) -> Message:
    """Refuse what is above what anybody weaves or orders."""
    text = f"beyond reason{limit_text}. Check the figure and its unit."
    return Message("", "", text, code="size.beyond_reason")


def beyond_window(reason: str, example: str) -> Message:
    """Refuse what is out of what the field can hold at all."""
    text = f"beyond reason{reason}. Check the figure, and write it as {example}."
    return Message("", "", text, code="size.outside_window")


def impossible(shown: str, field: str, reason: str) -> Message:
    """Refuse a size that can be none of its field."""
    text = f"{shown} can be no {field}{reason}. Check the figure and its unit."
    return Message("", "", text, code="size.impossible")


def not_above_zero(field: str, example: str) -> Message:
    """Refuse nought, or less than it."""
    article = "an" if field[0] in "aeio" else "a"
    text = f"{article} {field} is greater than zero. Write it, such as {example}."
    return Message("", "", text, code="size.not_above_zero")


def unit_unknown(unit: str, noun: str, example: str) -> Message:
    """Refuse a unit of another kind, or of none."""
    text = f'"{unit}" is no unit of {noun}. Write it as {example}.'
    return Message("", "", text, code="size.unit_unknown")


def unit_missing(mend: str) -> Message:
    """Refuse a bare number that could be in several units."""
    text = f"a number without its unit. {mend}"
    return Message("", "", text, code="size.unit_missing")


def unit_unlikely(shown: str, field: str) -> Message:
    """Refuse a bare number that its heading's unit makes absurd."""
    text = (
        f"{shown} as headed is beyond any {field}; another unit may be meant. Write it with its "
        "unit."
    )
    return Message("", "", text, code="size.unit_unlikely")


def mil(digits: str) -> Message:
    """Refuse a word for a thousandth of an inch, or of a metre."""
    text = (
        f'"mil" may be a thousandth of an inch or a millimetre. Write "{digits} thou" or '
        f'"{digits} mm".'
    )
    return Message("", "", text, code="size.mil_ambiguous")


def separator(either: str) -> Message:
    """Refuse one mark before three digits, where both readings are plausible."""
    text = (
        f"could be {either}: the mark may part thousands or decimals. Write it without "
        "separators, with a point for the decimal."
    )
    return Message("", "", text, code="size.separator_ambiguous")


def stop_or_point(either: str) -> Message:
    """Refuse digits behind a stop that may end the word before them, or part their decimals."""
    text = f"could be {either}: the point may end the word before it. Write a space after it."
    return Message("", "", text, code="size.stop_or_point")


def separator_taken(taken: str, other: str) -> Message:
    """Note which reading of a mark alone was plausible."""
    text = f"read as {taken}; {other} would be out of the ordinary here."
    return Message("", "", text, "note", code="size.separator_taken")


def separator_as_others(taken: str, other: str, total: bool) -> Message:
    """Note that the other decimals tell what a mark parts; a total in whole thousands is asked."""
    text = f"read as {taken}, as the other decimals are written; {other} could be meant too."
    severity: Severity = "review" if total else "note"
    return Message("", "", text, severity, code="size.separator_as_others")


def unit_taken(taken: str) -> Message:
    """Note which unit of a bare number alone was plausible."""
    text = f"a bare number, taken as {taken}: in another unit it would be out of the ordinary here."
    return Message("", "", text, "note", code="size.unit_taken")


def material_number(number: str, field: str) -> Message:
    """Refuse what is written as a metal's number in a field of sizes."""
    text = (
        f'reads as the number of a metal, and not as a {field}. Write it as the alloy; "{number} '
        'mm" if it is a size.'
    )
    return Message("", "", text, code="size.material_number")


def refers_elsewhere(mend: str) -> Message:
    """Refuse a text that only points at another line."""
    return Message("", "", f"says it is as another. {mend}", code="size.refers_elsewhere")


def letter_in_digits(letter: str, mended: str) -> Message:
    """Refuse a letter that stands where a digit belongs."""
    text = f'the letter "{letter}" stands where a digit belongs. Write "{mended}" if it is meant.'
    return Message("", "", text, code="size.letter_in_digits")


def named_otherwise(named: str, field: str) -> Message:
    """Refuse a size that its own name gives to another field."""
    text = f"names the {named}, not the {field}. Write it there."
    return Message("", "", text, code="size.named_otherwise")


def of_a_shape(word: str, field: str, example: str) -> Message:
    """Refuse what is said to be square, or a diameter, where nothing is."""
    text = (
        f'"{word}" is said of a piece or an opening, not of a {field}. Write the {field} alone, '
        f"such as {example}, and a piece as its shape."
    )
    return Message("", "", text, code="size.of_a_shape")


def about_taken() -> Message:
    """Note that a size or number was said to be about so."""
    text = "said to be about so; taken as it stands."
    return Message("", "", text, "note", code="size.about_taken")


def states_more(field: str, shown: str) -> Message:
    """Refuse a cell that states another field too, where that cannot be used."""
    text = f"states the {field} too, {shown}. Write each in a column of its own."
    return Message("", "", text, code="size.states_more")


def fraction_over_zero() -> Message:
    """Refuse a fraction that is none."""
    text = "a fraction over zero. Write the size as a decimal."
    return Message("", "", text, code="size.fraction_over_zero")


def fraction_unclear(mend: str) -> Message:
    """Refuse a fraction of no unit where an amount belongs."""
    text = f"a fraction without its unit. {mend}"
    return Message("", "", text, code="size.fraction_unclear")


def something_else(noun: str, mend: str) -> Message:
    """Refuse an amount that its own name makes another."""
    text = f"not {noun} but something else. {mend}"
    return Message("", "", text, code="size.something_else")
