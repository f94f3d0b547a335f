"""Sentences of buyers as the text files beside this have them, and how many are read rightly."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import meshcore as mc
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.uses.catalogue import STATEMENTS, read_use
from meshcore.uses.figures import read_figures
from meshcore.uses.sentences.reading import read_sentence

_PARTS = 4
_ALLOY = "alloy"


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence with its truth: use, figures, alloy, and amounts that say nothing of the use."""

    text: str
    use: str
    figures: dict[str, str]
    alloy: str
    unused: tuple[str, ...]


def sentences(name: str) -> list[Sentence]:
    """Read one of the files."""
    out = []
    for line in (Path(__file__).parent / "said_in_words" / name).read_text("utf-8").splitlines():
        if line.startswith("#") or not line.strip():
            continue
        parts = [part.strip() for part in line.split("|")]
        text, use, given, left = (parts + [""] * _PARTS)[:_PARTS]
        figures = dict(one.strip().split("=") for one in given.split(";") if one.strip())
        alloy = figures.pop(_ALLOY, "")
        unused = tuple(one.strip() for one in left.split(";") if one.strip())
        out.append(Sentence(text, use, figures, alloy, unused))
    return out


def _alloy(name: str) -> object:
    found = resolve(installed_registry(), name) if name else ""
    return found if isinstance(found, int) else name.casefold()


def faults(one: Sentence) -> list[str]:
    """Say what is read otherwise than is true; empty where all is right."""
    statement = read_use(one.text)
    if isinstance(statement, mc.Message):
        return [f"no use: {statement}"]
    if statement.use != one.use:
        return [f"{statement.use}, not {one.use}"]
    said = read_sentence(statement, one.text)
    wrong = []
    known = STATEMENTS[one.use].figures
    read, faulty = read_figures(known, said.figures)
    true, _ = read_figures(known, one.figures)
    asked = {message.field for message in faulty if not message.read}
    wrong += [str(message) for message in faulty if message.read]
    for figure in known:
        name = figure.name
        if (name in said.figures) != (name in one.figures) or (
            name in said.figures and name not in asked and read.get(name) != true.get(name)
        ):
            wrong.append(f"{name}: {said.figures.get(name)}, not {one.figures.get(name)}")
    if _alloy(said.alloy) != _alloy(one.alloy):
        wrong.append(f"alloy {said.alloy!r}, not {one.alloy!r}")
    told = [message.read for message in said.told if message.code == "use.amount_unused"]
    left = " ".join(told)
    for amount in one.unused:
        if not all(sign in left for sign in amount.split()):
            wrong.append(f"{amount} is dropped; told: {told}")
    if told and not one.unused:
        wrong.append(f"not used: {told}")
    return wrong
