"""A word of the trade or an amount added to a cell that reads is never dropped in silence.

Each field's clear texts of the corpus get something of another field, or a word that says more,
before or behind. What comes back is refused, put to review, or the same by its own words: a second
statement of the same size. Read as before with no word said is the one fault.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from test_reading_corpus import (
    ASK,
    KINDS,
    TAKES,
    Row,
    corpus,
    read_alloy,
    read_cell,
    read_condition,
    read_form,
    read_piece,
    read_services_asked,
    read_weave,
    same,
)

from meshcore.reading.numbers.readings import Hints, Reading
from meshcore.reading.shape_texts import pieces_counted
from meshcore.reading.texts import read_text

SEED = 20261126
TRIED = 1_500
#: What is added: none of it says again what the cells of the corpus say.
ADDED = (
    "annealed", "galvanised", "hemmed", "twilled", "brass", "or equal", "or similar",
    "incl. selvedge", "welded", "painted", "PVC coated", "black", "hard drawn",
    "with certificate", "urgent",
    "geglüht", "verzinkt", "recuit", "galvanisé", "galvanizado", "oder gleichwertig", "316Ti",
    "x 7", "+ 7", "(7.77 mm)", "7.77 mm", "77 mesh", "77 rolls", "77 off", "7.77 in", "777 ft",
    "77 %", "14 SWG", "/ 77", "and 77", "or 77", "& 316Ti", "Dutch", "per kg", "7 kg", "per m²",
    "crimped", "tapered", "see drawing", "with holes", "passivated", "77 °C", "in 7 pieces",
)  # fmt: skip
#: Words that belong to the field itself and may stand in its cell, whatever else it says.
OWN = {
    "services": {"annealed", "hemmed", "welded", "painted", "PVC coated", "urgent",
                 "with certificate", "geglüht", "recuit"},
    # A weave's wider name beside it says nothing else of it.
    "weave": {"twilled", "crimped", "welded"},
    "aperture": {"with holes"},
    "mesh_count": {"with holes"},
}  # fmt: skip
READERS: dict[str, Callable[[Row], str]] = {
    **{field: (lambda row, field=field: read_cell(field, row)) for field in KINDS},  # type: ignore[misc]
    "alloy": read_alloy,
    "shape": read_piece,
    "weave": read_weave,
    "form": read_form,
    "services": read_services_asked,
    "conditions": read_condition,
}


def clear_rows(field: str) -> list[Row]:
    """Texts of the corpus that are read, and read as what they mean."""
    rows = [row for row in corpus(field) if row.is_clear and not (field == "shape" and row.unit)]
    return [row for row in rows if same(READERS[field](row), row.meaning)]


def says_its_place(field: str, text: str, row: Row) -> bool:
    """Whether what was added is used: a count in a piece's text, a size that another field has."""
    if field == "shape":
        return pieces_counted("", text) is not None
    if field == "alloy":
        named = {"brass": "brass", "zink": "galv", "galv": "galv", "316Ti": "316Ti"}
        return any(word in text and said in row.meaning for word, said in named.items())
    if field not in KINDS:
        return False
    hints = Hints(takes=frozenset(TAKES.get(field, ())))
    unit = row.unit or ("/in" if KINDS[field][0] == "count" else "")
    read = read_text(text, KINDS[field][0], field, unit, hints)
    return isinstance(read, Reading) and bool(read.also)


@pytest.mark.parametrize("text", ["plain, twilled", "twilled; plain", "plain, lock crimp"])
def test_a_second_weave_is_never_dropped_in_silence(text: str) -> None:
    assert read_weave(Row(text, "", "plain", "", "weave")) == ASK


@pytest.mark.parametrize("field", list(READERS))
def test_what_is_added_to_a_cell_is_never_dropped_in_silence(field: str) -> None:
    rng = random.Random(SEED)
    rows = clear_rows(field)
    added = [word for word in ADDED if word not in OWN.get(field, ())]
    dropped: set[str] = set()
    for _ in range(TRIED):
        row, word = rng.choice(rows), rng.choice(added)
        sign = rng.choice((" ", " ", ", ", " - ", "; "))
        text = rng.choice((f"{row.text}{sign}{word}", f"{word}{sign}{row.text}"))
        one_number = text[len(row.text) :].startswith(" 7") and row.text[-1].isdigit()
        if one_number or says_its_place(field, text, row):
            continue
        answer = READERS[field](Row(text, row.unit, row.meaning, "", row.field))
        if answer != ASK and same(answer, row.meaning):
            dropped.add(f"{text!r} under {row.unit!r}: {answer}, with no word of {word!r}")
    assert not sorted(dropped)
