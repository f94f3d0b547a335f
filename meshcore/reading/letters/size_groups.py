"""Sizes that stand together: pairs and triples, and what their own shape tells."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.binding import CROSSES
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: No form has more sizes than this beside each other.
_MOST_SIZES = 4


def size_groups(
    items: Sequence[Item], amounts: Sequence[int], roles: dict[int, str]
) -> list[list[int]]:
    """Return runs of amounts joined by "x" or "by", with only size words between."""
    groups: list[list[int]] = []
    for n in amounts:
        last = groups[-1][-1] if groups else None
        if last is not None and roles.get(last) == "side" and _listed(items, last, n):
            roles[n] = "side"
            groups[-1].append(n)
        elif last is not None and len(groups[-1]) < _MOST_SIZES and _joined(items, last, n):
            groups[-1].append(n)
        else:
            groups.append([n])
    return groups


#: No count of cloth is more than this per inch (common practice, no source).
_MOST_MESH = 650.0


def same_twice(
    items: Sequence[Item], members: Sequence[int], amounts: Sequence[int], roles: dict[int, str]
) -> None:
    """Take "8x8 .028" for a count each way and its wire."""
    if len(members) != 2 or any(roles.get(n) or not items[n].whole for n in members):  # noqa: PLR2004
        return
    first, last = items[members[0]], items[members[1]]
    wire = next((n for n in amounts if n == members[1] + 1), None)
    if wire is None or first.values != last.values or first.values[0] > _MOST_MESH:
        return
    item = items[wire]
    thin = not item.unit and item.text[:1] == "." and max(item.values) * first.values[0] < 1.0
    welded = any(i.tags.get("weave") == "welded" for i in items)
    if welded:
        roles[members[0]] = roles[members[1]] = "maille"
        roles[wire] = "wire"
    elif thin or item.unit in _GAUGES:
        roles[members[0]] = roles[members[1]] = "mesh"
        roles[wire] = "wire"


_GAUGES = frozenset({"SWG", "BWG", "AWG", "gauge"})


def two_counts(
    items: Sequence[Item], members: Sequence[int], amounts: Sequence[int], doubts: dict[int, str]
) -> Sequence[int]:
    """Take "18 x 14 mesh" for two counts, to be asked about, and "10 x 10 mesh" for one."""
    for first, second in pairwise(members):
        a, b = items[first], items[second]
        if not a.whole or a.unit or not (b.unit.startswith("/") or b.unit == "M"):
            continue
        if a.values != b.values:
            doubts[second] = f'"{a.text} x {b.text}": which is the count of the square mesh?'
        amounts = [n for n in amounts if n != first]
    return amounts


def _listed(items: Sequence[Item], a: int, b: int) -> bool:
    """Whether only commas and an "and" part two sizes: "sides 300, 300 and 220 mm"."""
    return all(i.text == "," or "and" in i.tags for i in items[a + 1 : b])


def _joined(items: Sequence[Item], a: int, b: int) -> bool:
    crossed = False
    for item in items[a + 1 : b]:
        if fold(item.text) in CROSSES:
            crossed = True
        elif (
            (item.kind in ("mark", "nl") and item.text not in ".:'\"")
            or item.kind in ("num", "code")
            or (
                "size" not in item.tags
                and "edge" not in item.tags
                and "form" not in item.tags
                and item.kind == "word"
            )
        ):
            return False
    return crossed


def read_group(items: Sequence[Item], members: Sequence[int], roles: dict[int, str]) -> None:
    """Settle what a pair or triple tells by its own shape: "10 mesh x .025"."""
    for k, n in enumerate(members):
        item = items[n]
        if not item.unit.startswith("/") and item.unit != "M":
            continue
        if k + 1 < len(members):
            after = members[k + 1]
            if roles.get(after, "") in ("", "diameter") and items[after].unit in (
                "",
                "in",
                "mm",
                "µm",
                "thou",
            ):
                roles[after] = "wire"
    if len(members) == 2 and roles.get(members[0]) in ("aperture", "pitch", "maille"):  # noqa: PLR2004
        second = items[members[1]]
        smaller = min(second.values) <= max(items[members[0]].values)
        same = second.unit in ("", items[members[0]].unit, "mm", "µm")
        if not roles.get(members[1]) and same and smaller and second.unit not in ("m", "ft"):
            roles[members[1]] = "wire"
    if len(members) == 2 and items[members[0]].values == items[members[1]].values:  # noqa: PLR2004
        told = [r for n in members if (r := roles.get(n, "")) in ("aperture", "pitch")]
        if len(told) == 1:
            roles[members[0]] = roles[members[1]] = told[0]
    bare = [n for n in members if not items[n].unit]
    if len(members) >= 2 and not any(roles.get(n) for n in members):  # noqa: PLR2004
        first, second = items[members[0]], items[members[1]]
        small = all(v <= 650 for n in members[:2] for v in items[n].values)  # noqa: PLR2004
        if (
            len(members) == 3  # noqa: PLR2004
            and len(bare) == 3  # noqa: PLR2004
            and first.values == second.values
            and small
            and items[members[2]].values[0] < first.values[0]
            and first.values[0] < 200  # noqa: PLR2004
        ):
            welded = any(i.tags.get("weave") == "welded" for i in items)
            roles[members[0]] = roles[members[1]] = "maille" if welded else "mesh"
            roles[members[2]] = "wire"
