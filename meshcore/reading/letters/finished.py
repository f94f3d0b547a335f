"""One line finished: its cells, numbers, evidence and questions."""

from __future__ import annotations

from dataclasses import dataclass, field

from meshcore.messages import Message
from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.resolve import MM_OF, Size
from meshcore.reading.texts import read_text


@dataclass(slots=True)
class Finished:
    """One line finished: cells of an enquiry list, numbers, evidence and questions."""

    cells: dict[str, str] = field(default_factory=dict)
    values: dict[str, object] = field(default_factory=dict)
    asked: list[tuple[str, str]] = field(default_factory=list)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    evidence: list[tuple[str, Fact]] = field(default_factory=list)


def take(done: Finished, column: str, fact: Fact, cell: str) -> None:
    """Put a cell, with the fact that states it."""
    done.cells[column] = cell
    done.evidence.append((column, fact))


def ask(done: Finished, column: str, fact: Fact, why: str) -> None:
    """Leave a cell open, and say why it is asked about."""
    done.asked.append((column, why))
    done.evidence.append((column, fact))


def cell_text(fact: Fact, size: Size, column: str) -> str:
    """Words of a size as they stood, where the list reader reads just this from them."""
    written = fact.text if fact.item is not None and fact.item.unit else f"{fact.text} {size.unit}"
    if _reads_as(written, size, column):
        return written
    if size.unit in MM_OF or size.unit in ("SWG", "BWG", "AWG"):
        written = f"{size.number:.10g} {size.unit}"
        if _reads_as(written, size, column):
            return written
    return f"{size.mm:.10g} mm"


def _reads_as(written: str, size: Size, column: str) -> bool:
    """Whether the reader of cells takes a text for just that size."""
    read = read_text(written, "length", column)
    if isinstance(read, Message) or size.mm is None:
        return False
    return abs(read.value * 1000.0 - size.mm) <= 1e-6 * size.mm
