"""Words for forms of supply and for weaves, as codes."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.enquiry import FORMS, PIECE, ROLL, WEAVES
from meshcore.messages import Message
from meshcore.reading.columns import cell_text
from meshcore.reading.numbers.lexing import without_standard
from meshcore.reading.numbers.readings import Stated
from meshcore.reading.sizes.rolls import ROLL_LENGTHS, roll_word
from meshcore.reading.tables.cells import Cells
from meshcore.reading.texts import is_blank, is_unsettled
from meshcore.reading.vocabulary import doubtful, fold, words

#: Forms that do not say the length, but say that it is a roll.
_PART_ROLLS = frozenset({"part roll", "part rolls", "cut roll", "cut length", "cut lengths",
                         "teilrolle", "part rouleau"})  # fmt: skip
FORM_MEND = "how is it to be supplied? Write roll, strip or piece."


def weave_code(text: str) -> int | Message:
    """Return the weave that a text names, or why it names none.

    Examples
    --------
    >>> weave_code("Köper"), weave_code("Dutch").text.split(".")[0]
    (1, 'Dutch weave is no square mesh, and only square mesh is estimated here')
    """
    word = fold(without_standard(text))
    name = words("weave").get(word, word)
    if name not in WEAVES:
        name = _named_in_parts(word)
    if name in WEAVES:
        return WEAVES.index(name)
    other = words("other_goods").get(word)
    if other:
        said = f"{other} is no square mesh, and only square mesh is estimated here"
        return Message("weave", text, f"{said}. Ask for a quotation by hand.", code="weave.other")
    return Message(
        "weave", text, f"no weave known here. Write one of: {', '.join(WEAVES)}.",
        code="weave.unknown",
    )  # fmt: skip


_PARTS = re.compile(r"\s*[(),;]\s*")


def _named_in_parts(text: str) -> str:
    """Return the one weave that each part of a text names or may mean; empty where they do not."""
    parts = [part for part in map(fold, _PARTS.split(text)) if part]
    named = {words("weave")[part] for part in parts if part in words("weave")}
    if len(parts) < 2 or len(named) != 1:  # noqa: PLR2004 - one name alone is no two
        return ""
    (name,) = named
    loose = [part for part in parts if part not in words("weave")]
    return name if all(name in words("weave_unclear").get(part, "") for part in loose) else ""


def read_weaves(
    cells: Cells, blank: int, stated: Sequence[tuple[IntArray, Stated]] = ()
) -> IntArray:
    """Read the weaves; a word that may mean several is read as the usual one and put to review.

    Parameters
    ----------
    cells
        The list's cells.
    blank
        Code of a weave that nobody names.
    stated
        Weaves that other cells state, each with its rows: they fill the blank ones.
    """
    codes = cells.codes("weave", _weave_or_usual, blank=blank)
    different = cells.different_cells("weave")
    if different is not None:
        positions, unique = different
        for number, cell in enumerate(unique):
            if is_unsettled(str(cell)):
                said = "not settled; taken as where none is named. Write which."
                unsettled = Message("weave", str(cell), said, "review", code="weave.unsettled")
                cells.log.add(positions == number, unsettled)
                continue
            choices = _choices(str(cell))
            if choices:
                said = (
                    f"may be {choices}; taken as {WEAVES[_weave_or_usual(str(cell))]}. Write which."  # type: ignore[index]
                )
                message = Message("weave", str(cell), said, "review", code="weave.unclear")
                cells.log.add(positions == number, message)
    return _with_stated_weaves(codes, cells, stated)


def _with_stated_weaves(
    codes: IntArray, cells: Cells, stated: Sequence[tuple[IntArray, Stated]]
) -> IntArray:
    """Put the weaves that counts state where none is named; refuse those that differ."""
    filled, blank = codes.copy(), _blank(cells, "weave")
    for rows, one in stated:
        if one.field != "weave":
            continue
        code = WEAVES.index(one.text)
        said = "taken from the mesh count, where it stands too."
        note = Message("weave", one.text, said, "note", code="weave.stated_elsewhere")
        cells.log.add(rows[blank[rows]], note)
        filled[rows[blank[rows]]] = code
        for row in rows[~blank[rows] & (codes[rows] != code)].tolist():
            why = (
                f"{one.text} stands for it under the mesh count as well, and they differ. Write "
                "the one that is meant."
            )
            shown = WEAVES[codes[row]] if codes[row] >= 0 else ""
            cells.log.add([row], Message("weave", shown, why, code="weave.cells_disagree"))
    return filled


def _weave_or_usual(text: str) -> int | Message:
    choices = _choices(text)
    if not choices:
        return weave_code(text)
    return WEAVES.index(choices.split(",", maxsplit=1)[0].split(" or ")[0].strip())


def _choices(text: str) -> str:
    """Weaves that a word may mean; empty where it means one or none."""
    word = fold(text)
    if word in words("weave") or word in WEAVES:
        return ""
    found = words("weave_unclear").get(word, "") or " or ".join(doubtful("weave").get(word, ()))
    return found and (found if " or " in found else f"{found} or another weave")


def form_name(text: str) -> str:
    """Return the form that a text names, with its length if it has one; empty if none.

    Examples
    --------
    >>> form_name("Rollen"), form_name("1 full roll"), form_name("Ronde"), form_name("bundle")
    ('roll', 'full roll', 'piece', '')
    """
    word = fold(text)
    if word in _PART_ROLLS or word in words("form_part"):
        return "roll"
    named = words("form").get(word, "") or roll_word(text)
    return named or ("piece" if word in words("shape") else "")


def form_code(text: str) -> int | Message:
    """Return the form that a text names, or what would mend it."""
    name = form_name(text)
    if not name and any(c.isdigit() for c in text):
        named = [words("form")[part] for part in fold(text).split() if part in words("form")]
        if named:
            said = f"names {named[0]}, and a size or number too. Write that in its own column."
            return Message("form", text, said, code="form.states_more")
    if not name:
        return Message("form", text, FORM_MEND, code="form.unknown")
    return FORMS.index("roll" if name in ROLL_LENGTHS else name)


#: What nobody names and is as wide and as long as this is a roll: no piece is so long [m]
#: (common practice, no source).
_ROLL_WIDTH, _ROLL_LENGTH = 0.5, 10.0


def named_forms(cells: Cells) -> IntArray:
    """Read the forms that are named, and pieces by their shape; -1 where nothing names one."""
    blank = _blank(cells, "form")
    shaped = ~_blank(cells, "shape") | ~_blank(cells, "dimensions")
    codes = np.full(len(blank), -1, dtype=np.int64)
    if not blank.all():
        codes = cells.codes("form", form_code, blank=-1)
    return np.where(blank & shaped, PIECE, codes).astype(np.int64)


def settled_forms(cells: Cells, named: IntArray, width: FloatArray, length: FloatArray) -> IntArray:
    """Settle forms that nothing names: what is as long as a roll only is one, others are asked.

    Parameters
    ----------
    cells
        The list's cells.
    named
        Forms that are named.
    width, length
        Sizes [m], NaN where not given.
    """
    unnamed = _blank(cells, "form") & (named < 0)
    with np.errstate(invalid="ignore"):
        long = (width >= _ROLL_WIDTH) & (length >= _ROLL_LENGTH) & unnamed
    is_roll = long
    _say_unnamed(cells, unnamed & ~long)
    texts = cells.texts("form")
    for text, lines in _open_texts(texts, long):
        said = "not settled; so long and so wide it is taken as a roll. Write which."
        cells.log.add(lines, Message("form", text, said, "review", code="form.unsettled_roll"))
        long = long & ~lines
    said = "not named; so long and so wide it is a roll."
    cells.log.add(long, Message("form", "", said, "note", code="form.implied"))
    return np.where(is_roll, ROLL, named).astype(np.int64)


def _say_unnamed(cells: Cells, lines: BoolArray) -> None:
    """Refuse lines whose form nothing names, each with what stands there: "tbd"."""
    for text, rows in _open_texts(cells.texts("form"), lines):
        said = Message("form", text, f"not settled: {FORM_MEND}", code="form.unsettled")
        cells.log.add(rows, said)
        lines = lines & ~rows
    cells.log.add(lines, Message("form", "", FORM_MEND, code="form.missing"))


def _open_texts(texts: ObjectArray, lines: BoolArray) -> list[tuple[str, BoolArray]]:
    """Return the texts of some lines that say that nothing is settled, each with its lines."""
    if not lines.any():
        return []
    found = sorted({str(text) for text in texts[lines].tolist() if is_unsettled(str(text))})
    return [(text, lines & (texts == text)) for text in found]


def _blank(cells: Cells, name: str) -> BoolArray:
    """Lines with nothing in a column."""
    different = cells.different_cells(name)
    if different is None:
        return np.ones(len(cells.table), dtype=np.bool_)
    positions, unique = different
    return np.array([is_blank(cell_text(cell)) for cell in unique], dtype=np.bool_)[positions]


def parts_of_rolls(cells: Cells) -> dict[float, BoolArray]:
    """Return the shares of a roll that words of the form name, each with its lines."""
    different = cells.different_cells("form")
    if different is None:
        return {}
    positions, unique = different
    shares = [words("form_part").get(fold(cell_text(cell)), "") for cell in unique]
    return {
        float(share): np.isin(positions, [n for n, s in enumerate(shares) if s == share])
        for share in dict.fromkeys(shares) if share
    }  # fmt: skip


def implied_lengths(cells: Cells) -> ObjectArray | None:
    """Return the roll lengths that words of the form imply; None where none does."""
    different = cells.different_cells("form")
    if different is None:
        return None
    positions, unique = different
    names = [form_name(cell_text(cell)) for cell in unique]
    implied = [name if name in ROLL_LENGTHS else "" for name in names]
    return np.array(implied, dtype=object)[positions] if any(implied) else None
