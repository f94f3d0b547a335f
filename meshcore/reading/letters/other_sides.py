"""A side of a pair that is named once more: "48 in x 100 ft, or 36 in wide"."""

from __future__ import annotations

from dataclasses import replace

from meshcore.reading.letters.facts import Fact, Said


def ask_other_side(said: Said) -> None:
    """Ask about the side that a size under an if or an "or" may take: "1 m x 10 m, or 1.2 m wide"."""  # noqa: E501
    for fact in said.of("dim"):
        told = "under an if" in fact.why or _after_or(said, fact)
        if fact.role not in ("width", "length") or not told:
            continue
        pair = [f for f in said.of("dim") if f.group and not f.role and f.start < fact.start]
        if len(pair) != 2 or pair[0].group != pair[1].group:  # noqa: PLR2004
            continue
        side = pair[0] if fact.role == "width" else pair[1]
        why = f'"{side.text}" or "{fact.text}": which of them?'
        said.facts = [replace(f, why=why) if f is side else f for f in said.facts if f is not fact]


def _after_or(said: Said, fact: Fact) -> bool:
    """Whether an "or" stands right before a size or the word that names it."""
    before = [i for i in said.items if i.end <= fact.start][-2:]
    if before and "size" in before[-1].tags:
        before = before[:-1]
    return bool(before) and "or" in before[-1].tags
