"""Uses that lines speak of, in which cloth that gives way can hurt someone."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources

from meshcore.documents.facts import ClothLine


@cache
def _patterns() -> Mapping[str, re.Pattern[str]]:
    file = resources.files("meshcore.documents").joinpath("uses.toml")
    held = tomllib.loads(file.read_text("utf-8"))
    return {
        name: re.compile(r"\b(?:" + "|".join(map(re.escape, one["words"])) + ")")
        for name, one in held.items()
    }


def uses_of(lines: Sequence[ClothLine]) -> Mapping[str, tuple[str, ...]]:
    """Return each use that lines speak of, with the labels of those lines.

    Notes
    -----
    A word in another word's middle is no use: "Vanguard" is none.
    """
    found: dict[str, list[str]] = {}
    for name, pattern in _patterns().items():
        labels = [line.label for line in lines if pattern.search(line.asked.casefold())]
        if labels:
            found[name] = labels
    return {name: tuple(dict.fromkeys(labels)) for name, labels in found.items()}
