"""The alloys of this process, and the names by which they are found."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from meshcore.alloys.record import Alloy
from meshcore.alloys.records import as_written
from meshcore.alloys.records.checking import check_alloy
from meshcore.alloys.records.customary import likely_few
from meshcore.alloys.records.naming import normalise
from meshcore.arrays import IntArray
from meshcore.messages import Message

__all__ = [
    "CLASH_RULE",
    "Clash",
    "Registry",
    "build_registry",
    "check_alloy",
    "installed_registry",
    "resolve",
    "resolve_column",
]

#: How two plugins that claim one name are told apart; printed with every clash.
CLASH_RULE = (
    "the plugin whose name comes first in the alphabet keeps it; within one plugin, the alloy "
    "listed first"
)
#: Near misses offered, and how like the typed name they must be (difflib ratio).
_SUGGESTIONS = 3
_LIKENESS = 0.7
#: Signs by which people write two names of one alloy in one cell: "1.4404 / 316L".
SEPARATORS = re.compile(r"[/;,|()\[\]]+")
#: Those of them that are in no name themselves, and a dash or equals sign that stands free.
_TWICE = re.compile(r"[;,|()\[\]]+|\s/\s|\s[-–—=]\s")


@dataclass(frozen=True, slots=True)
class Clash:
    """Two alloys that claim one name, and what became of it."""

    name: str
    kept_by: str
    kept_for: str
    denied_to: str
    denied_for: str

    @property
    def leaves_out(self) -> bool:
        """Whether the denied alloy is left out whole, because it lost its designation."""
        return normalise(self.name) == normalise(self.denied_for)

    def __str__(self) -> str:
        outcome = "is left out" if self.leaves_out else "goes without this name"
        return (
            f'plugins {self.kept_by} and {self.denied_to} both claim "{self.name}": it stays with '
            f"{self.kept_for} of {self.kept_by}, and {self.denied_for} of {self.denied_to} "
            f"{outcome} ({CLASH_RULE})"
        )


@dataclass(frozen=True, slots=True)
class Registry:
    """All alloys in a fixed order, and every name that finds one.

    Parameters
    ----------
    alloys
        The alloys; every index elsewhere refers to this order.
    plugins
        The plugin that contributed each alloy.
    clashes
        Names claimed twice, and how each was resolved.
    names
        Normalised name → index of its alloy.
    shared_names
        Normalised general name → indices of the alloys that share it.
    """

    alloys: tuple[Alloy, ...]
    plugins: tuple[str, ...]
    clashes: tuple[Clash, ...]
    names: Mapping[str, int]
    shared_names: Mapping[str, tuple[int, ...]]

    def __len__(self) -> int:
        """Return the number of alloys."""
        return len(self.alloys)


def build_registry(contributions: Sequence[tuple[str, Alloy]]) -> Registry:
    """Build the registry from (plugin name, alloy) pairs.

    Parameters
    ----------
    contributions
        What the plugins contributed, in any order; each plugin's own order is kept.

    Notes
    -----
    Designations are claimed first, then UNS and EN numbers, then aliases; a name claimed twice
    goes by ``CLASH_RULE`` and is reported. An alloy that loses its designation is left out.
    """
    clashes: list[Clash] = []
    kept: list[tuple[str, Alloy]] = []
    names: dict[str, int] = {}

    def claim(name: str, index: int, plugin: str, alloy: Alloy) -> bool:
        key = normalise(name)
        holder = names.setdefault(key, index) if key else index
        if holder != index:
            by, of = kept[holder]
            clashes.append(Clash(name, by, of.designation, plugin, alloy.designation))
        return holder == index

    for plugin, alloy in sorted(contributions, key=lambda c: c[0]):
        if claim(alloy.designation, len(kept), plugin, alloy):
            kept.append((plugin, alloy))
    for index, (plugin, alloy) in enumerate(kept):
        for number in (alloy.uns, alloy.en):
            claim(number, index, plugin, alloy)
    for index, (plugin, alloy) in enumerate(kept):
        for alias in alloy.aliases:
            claim(alias, index, plugin, alloy)

    shared: dict[str, list[int]] = {}
    for index, (_, alloy) in enumerate(kept):
        for key in dict.fromkeys(normalise(n) for n in alloy.general_names):
            if key not in names:
                shared.setdefault(key, []).append(index)
    return Registry(
        alloys=tuple(alloy for _, alloy in kept),
        plugins=tuple(plugin for plugin, _ in kept),
        clashes=tuple(clashes),
        names=names,
        shared_names={key: tuple(indices) for key, indices in shared.items()},
    )


def installed_registry() -> Registry:
    """Return the registry of the alloys that the plugins of this process contribute.

    It is built once, and again where a program has registered a plugin or removed one.
    """
    from meshcore import plugins  # noqa: PLC0415 - importing the registry loads no plugin

    contributed = plugins.installed().collect("meshcore_alloys", Alloy, check_alloy)
    if not (_BUILT and _same(_BUILT[0][0], contributed)):
        _BUILT[:] = [(contributed, build_registry(contributed))]
    return _BUILT[0][1]


#: The registry in use, if there is one yet, and what it was built from.
_BUILT: list[tuple[list[tuple[str, Alloy]], Registry]] = []


def _same(one: Sequence[tuple[str, Alloy]], other: Sequence[tuple[str, Alloy]]) -> bool:
    """Whether two contributions are the very same alloys of the same plugins."""
    return len(one) == len(other) and all(
        a is b and by == of for (by, a), (of, b) in zip(one, other, strict=True)
    )


def resolve(  # noqa: PLR0911 - one return for each way of naming an alloy
    registry: Registry, text: str, field: str = "alloy"
) -> int | Message:
    """Find the alloy that a cell names.

    Parameters
    ----------
    registry
        Where to look.
    text
        As typed: a designation, UNS or EN number, alias, or two names of one alloy in one cell.
    field
        The column it stands in, for the message.

    Returns
    -------
    Index into ``registry.alloys``, or the refusal: what was read, with the candidates of a
    general name or the nearest names to a misspelt one.
    """
    key = normalise(text)
    if not key:
        return Message(
            field,
            "",
            'no alloy is named. Write one such as "304", "galvanized steel".',
            code="alloy.missing",
        )
    if len(text) > _LONGEST_TEXT:
        return Message(field, text, _NO_NAME, code="alloy.unknown")
    if shared := _known(registry, as_written.shared(text)):
        return Message(field, text, _general(registry, shared), code="alloy.ambiguous")
    index = registry.names.get(key)
    if as_written.is_broken(text):
        return Message(field, text, _unknown(registry, key), code="alloy.unknown")
    if index is not None:
        return index
    if (index := _as_written(registry, text)) is not None:
        return index
    bare = normalise(as_written.without_asides(text)) or " "
    if general := registry.shared_names.get(key) or registry.shared_names.get(bare):
        return Message(field, text, _general(registry, general), code="alloy.general_name")
    if (index := _named_twice(registry, text)) is not None:
        return index
    parts = [p for p in map(normalise, SEPARATORS.split(as_written.with_strokes(text))) if p]
    indices = {registry.names.get(part, -1) for part in parts}
    if len(indices) == 1 and -1 not in indices:
        return indices.pop()
    if len(indices - {-1}) > 1:
        return Message(
            field,
            text,
            _general(registry, tuple(sorted(indices - {-1}))),
            code="alloy.general_name",
        )
    return Message(field, text, _unknown(registry, key), code="alloy.unknown")


def _named_twice(registry: Registry, text: str) -> int | None:
    """Find the one alloy that each part of a text names: "CuZn37 (Ms63)", "316L - 1.4404"."""
    common: frozenset[int] | None = None
    parts = [part for part in map(str.strip, _TWICE.split(text)) if part]
    for part in parts if len(parts) > 1 else ():
        found = _may_mean(registry, part)
        common = found if common is None else common & found
    return next(iter(common)) if common is not None and len(common) == 1 else None


def may_mean(registry: Registry, text: str) -> frozenset[int]:
    """Alloys that a name may mean, one or several; none where it names none.

    Examples
    --------
    >>> registry = installed_registry()
    >>> names = [registry.alloys[one].designation for one in may_mean(registry, "Messing")]
    >>> sorted(names)
    ['brass 65/35', 'brass 70/30', 'brass 80/20']
    """
    bare = normalise(as_written.without_asides(text))
    return _may_mean(registry, text) or frozenset(registry.shared_names.get(bare, ()))


def _may_mean(registry: Registry, part: str) -> frozenset[int]:
    """Alloys that a part of a text may mean by itself; none where it names none."""
    if shared := _known(registry, as_written.shared(part)):
        return frozenset(shared)
    index = registry.names.get(normalise(part) or " ")
    index = _as_written(registry, part) if index is None else index
    if index is not None:
        return frozenset({index})
    return frozenset(registry.shared_names.get(normalise(part), ()))


def _known(registry: Registry, designations: Sequence[str]) -> tuple[int, ...]:
    """Return those of some designations that there are records of."""
    found = (registry.names.get(normalise(name), -1) for name in designations)
    return tuple(dict.fromkeys(index for index in found if index >= 0))


def _as_written(registry: Registry, text: str) -> int | None:
    """Find the alloy of a text in the trade's words, or with what stands about a number."""
    if name := as_written.meant(text):
        return registry.names.get(normalise(name))
    found = registry.names.get(normalise(as_written.without_asides(text)) or " ")
    return _of_its_kind(registry, text) if found is None else found


def _of_its_kind(registry: Registry, text: str) -> int | None:
    """Find the alloy beside a word for its kind: "Edelstahl 1.4301", but no "brass 304"."""
    for names, rest in as_written.kinds(text):
        designation = as_written.meant(rest) or rest
        index = registry.names.get(normalise(designation) or " ")
        if index is None:
            index = _of_its_kind(registry, rest)
        if index is not None and index in _of_names(registry, names):
            return index
    return None


def _of_names(registry: Registry, names: Sequence[str]) -> frozenset[int]:
    """Return the alloys of some names, each one's own or one that several share."""
    keys = [normalise(name) for name in names]
    own = [registry.names[key] for key in keys if key in registry.names]
    return frozenset(own).union(*(registry.shared_names.get(key, ()) for key in keys))


def resolve_column(
    registry: Registry, cells: Sequence[str], field: str = "alloy"
) -> tuple[IntArray, dict[int, Message]]:
    """Resolve a column; each different text once.

    Returns
    -------
    Index into ``registry.alloys`` per cell, -1 where refused; and the refusal by row.
    """
    answers = {text: resolve(registry, text, field) for text in dict.fromkeys(cells)}
    refused = {
        row: answer
        for row, text in enumerate(cells)
        if isinstance(answer := answers[text], Message)
    }
    indices = [-1 if isinstance(answers[t], Message) else answers[t] for t in cells]
    return np.array(indices, dtype=np.int64), refused


def _general(registry: Registry, candidates: tuple[int, ...]) -> str:
    few, others = likely_few([registry.alloys[i].designation for i in candidates])
    rest = f", or one of {others} others" if others else ""
    return f'could be any of: {", ".join(few)}{rest}. Write one of them, such as "{few[0]}".'


def _figures(key: str) -> str:
    """Figures of a name: "1.4044" may be 1.4404, but 1.4828 is another steel than any here."""
    return "".join(sorted(character for character in key if character.isdigit()))


def _unknown(registry: Registry, key: str) -> str:
    if len(key) > _LONGEST_NAME:
        return _NO_NAME
    alike = _by_figures(tuple(registry.names)).get(_figures(key), ())
    near = difflib.get_close_matches(key, alike, n=12, cutoff=_LIKENESS)
    nearest = list(dict.fromkeys(registry.alloys[registry.names[n]].designation for n in near))
    if nearest:
        return f"no such alloy is known. Nearest: {', '.join(nearest[:_SUGGESTIONS])}. Write one."
    return _NO_NAME


#: No cell that names one has more; longer ones would take their time [characters].
_LONGEST_TEXT = 400
#: No name of an alloy is longer; what is, is like none of them [characters].
_LONGEST_NAME = 60
_NO_NAME = (
    "no such alloy is known. Write a trade, UNS or EN number, such as 316L, S31603 or 1.4404; "
    "brand names are not kept here."
)


@lru_cache(maxsize=4)
def _by_figures(names: tuple[str, ...]) -> dict[str, list[str]]:
    """Part names by their figures, so that a misspelt one is held against few."""
    parted: dict[str, list[str]] = {}
    for name in names:
        parted.setdefault(_figures(name), []).append(name)
    return parted


def designation(registry: Registry, text: str) -> str:
    """Return the designation of the alloy that a text names; empty where it names none."""
    found = resolve(registry, text)
    return registry.alloys[found].designation if isinstance(found, int) else ""
