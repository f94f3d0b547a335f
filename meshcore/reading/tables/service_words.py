"""Services asked for: in a column of names, or in a column each with yes and no."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from meshcore import enquiry
from meshcore.arrays import BoolArray
from meshcore.messages import Message
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import Cells, column_under
from meshcore.reading.texts import is_blank, tidy
from meshcore.reading.vocabulary import fold, words

_PARTED = re.compile(r"[,;/+&]|\band\b|\bund\b|\bet\b|\by\b")


def service_names(services: Sequence[enquiry.Service]) -> Mapping[str, str]:
    """Return each folded word for a service that is offered, and the service's name."""
    offered = {s.name for s in services}
    known = {word: name for word, name in words("service").items() if name in offered}
    return known | {fold(word): s.name for s in services for word in (s.name, *s.aliases)}


def read_services(cells: Cells, services: Sequence[enquiry.Service]) -> dict[str, BoolArray]:
    """Return service name → lines that ask for it; a service nobody offers is said, not dropped."""
    names = service_names(services)
    asked: dict[str, BoolArray] = {}
    offered = ", ".join(s.name for s in services)
    if cells.series("services") is not None:
        _read_names(cells, names, asked, offered)
    for heading in cells.headings.unknown:
        name = service_of(heading, names)
        if name:
            _read_marks(cells, heading, name, asked)
    return asked


def service_of(heading: str, names: Mapping[str, str]) -> str:
    """Service that a heading names, as over a column of yes and no; empty if none.

    Examples
    --------
    >>> service_of("Weld?", {"weld": "weld seam"}), service_of("Buyer", {"weld": "weld seam"})
    ('weld seam', '')
    """
    return names.get(fold(heading.strip(" ?*:")), "")


def _read_names(
    cells: Cells, names: Mapping[str, str], asked: dict[str, BoolArray], offered: str
) -> None:
    texts = cells.texts("services")
    positions, unique = pd.factorize(texts)
    for number, cell in enumerate(unique):
        text = tidy(str(cell))
        if is_blank(text) or fold(text) in words("no"):
            continue
        rows = positions == number
        for word in [text] if fold(text) in names else _PARTED.split(text.casefold()):
            name = names.get(fold(word))
            if name is not None:
                _ask(asked, name, rows)
            elif word.strip():
                mend = f"no such service here, so it is not in the price. Offered: {offered}."
                said = Message("services", word.strip(), mend, "review", code="services.unknown")
                cells.log.add(rows, said)


def _read_marks(cells: Cells, heading: str, name: str, asked: dict[str, BoolArray]) -> None:
    """Read a column that is named after a service: yes, no, or what is to be asked."""
    texts = cell_texts(column_under(cells.table, heading))
    positions, unique = pd.factorize(texts)
    for number, cell in enumerate(unique):
        word = fold(str(cell))
        rows = positions == number
        if word in words("yes") or word == "x" or word == fold(heading):
            _ask(asked, name, rows)
        elif word and word not in words("no") and word != "false":
            mend = f'neither yes nor no, so "{name}" is not in the price. Write yes or no.'
            said = Message(
                "services", f"{heading}: {cell}", mend, "review", code="services.unclear"
            )
            cells.log.add(rows, said)


def _ask(asked: dict[str, BoolArray], name: str, rows: BoolArray) -> None:
    asked.setdefault(name, np.zeros(len(rows), dtype=np.bool_))[rows] = True
