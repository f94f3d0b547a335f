"""Which field an amount belongs to, by what stands beside it."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.vocabulary import fold

#: Words beside an amount → the enquiry column that they name.
SIZES = {
    "aperture": "aperture",
    "wire": "wire_diameter",
    "pitch": "pitch",
    "open_area": "open_area",
}


def place_amount(  # noqa: PLR0911, PLR0912
    items: Sequence[Item], n: int, role: str, members: Sequence[int]
) -> tuple[str, str]:
    """Name of the fact that an amount states, and its role among the sizes of the form."""
    item = items[n]
    if item.unit.startswith("/") or item.unit == "M" or role == "mesh":
        return "mesh_count", ""
    if role == "maille":
        return "hole_or_pitch", ""
    if item.unit == "%":
        return ("open_area", "") if role == "open_area" else ("", "")
    if role in SIZES:
        return SIZES[role], ""
    if role == "diameter" and _finer_than_count(items, n):
        return "wire_diameter", ""
    if role == "thickness":
        return "", ""
    if role in (
        "width",
        "length",
        "height",
        "diameter",
        "od",
        "id",
        "radius",
        "side",
        "base",
        "top",
        "dim",
    ):
        return "dim", "" if role == "dim" else role
    after = items[n + 1] if n + 1 < len(items) else None
    before = items[n - 1] if n else None
    if item.unit in ("in", "mm") and after is not None and "count" in after.tags:
        return "hole_or_pitch", ""
    if len(members) == 2 and members[0] and _is_mesh_size(items, members):  # noqa: PLR2004
        return "hole_or_pitch", ""
    large = len(members) > 1 and all(min(items[k].values) >= _NO_COUNT for k in members)
    large = large or _counted_sides(items, members)
    if not item.unit and before is not None and _heads_count(items, n) and not large:
        return "mesh_count", ""
    crossed = before is not None and n > 1 and fold(before.text) in ("x", "by", "par", "por")
    if crossed and item.unit in ("m", "ft", "yd") and len(members) == 1:
        return "dim", ""
    if n > 1 and fold(items[n - 1].text) in ("of", "zu", "a", "de", "von", "à"):
        rolled = items[n - 2].tags.get("form") == "roll"
        if rolled and item.unit in ("m", "ft", "yd") and fold(items[n - 2].text) in _LENGTH:
            return "dim", "length"
        if rolled and item.unit in ("m", "ft", "yd") and len(members) == 1:
            return "dim", "length"
    if len(members) == 2 and _slashed(items, members):  # noqa: PLR2004
        return "pair", ""
    if len(members) > 1:
        if _twice(items, members):
            return "hole_or_pitch", ""
        return ("pair" if _bare_pair(items, members) else "dim"), ""
    if _and_wire(items, n):
        return "wire_diameter", ""
    if item.unit == "µm":
        return "aperture", ""
    if after is not None and after.tags.get("form") in ("roll", "strip") and item.unit:
        if item.unit in ("m", "ft", "yd"):
            return "dim", "length"
        if item.unit in ("mm", "cm", "in") and min(item.values) * MM_OF[item.unit] >= _NARROWEST:
            return "dim", "width"
    if item.unit == "thou":
        return "wire_diameter", ""
    if _beside_shape(items, n) and (item.unit or item.values[0] >= 3):  # noqa: PLR2004
        return "dim", ""
    if (
        n >= 1
        and ((item.unit in ("mm", "in", "") and not item.whole) or item.unit)
        and item.unit not in ("m", "ft", "yd")
        and _after_mesh(items, n)
    ):
        return "wire_diameter", ""
    return "", ""


def _and_wire(items: Sequence[Item], n: int) -> bool:
    """Whether a size after an opening and an "and" is the wire: "6 mm hole and 3 mm"."""
    before = items[max(n - 3, 0) : n]
    if len(before) < 3 or "and" not in before[2].tags or before[1].tags.get("size") != "aperture":  # noqa: PLR2004
        return False
    opening, wire = before[0], items[n]
    after = items[n + 1] if n + 1 < len(items) else None
    if opening.kind != "num" or opening.unit != wire.unit or not wire.unit:
        return False
    named = after is not None and "size" in after.tags
    return not named and max(wire.values) < min(opening.values)


_LENGTH = frozenset({"length", "lengths", "lange", "longueur", "tramo"})


#: Crossed numbers from here on are sides, and no counts: "frames mesh 450 x 450" (our choice).
_NO_COUNT = 200.0


#: A size before "rolls" is their width from here on [mm]; less is cloth (common practice).
_NARROWEST = 250.0


#: Sides of pieces that are counted are no less than this, in whatever unit (our choice).
_SIDE = 50.0


def _counted_sides(items: Sequence[Item], members: Sequence[int]) -> bool:
    """Whether two numbers after "25 pcs mesh" are the sides of pieces: "150 x 150 mm"."""
    if len(members) != 2 or items[members[1]].unit not in ("mm", ""):  # noqa: PLR2004
        return False
    sized = all(min(items[k].values) >= _SIDE for k in members)
    counted = any("counts_pieces" in i.tags for i in items[: members[0]])
    return sized and counted


def _heads_count(items: Sequence[Item], n: int) -> bool:
    """Whether a bare number follows the word "mesh": "mesh: 20"."""
    before = items[n - 1]
    if before.text in ":=" and n > 1:
        before = items[n - 2]
    return "count" in before.tags and before.kind == "word" and before.text != "#"


def _is_mesh_size(items: Sequence[Item], members: Sequence[int]) -> bool:
    """Whether a mesh is named by its size each way: "mesh 50 x 50 mm", wire after it."""
    first, second = items[members[0]], items[members[1]]
    alike = first.values == second.values and first.unit in ("", second.unit)
    small = (
        bool(second.unit in ("mm", "cm", "in"))
        and max(second.values) * MM_OF[second.unit] < _LARGEST_TWICE
    )
    return alike and small and _heads_count(items, members[0])


def _slashed(items: Sequence[Item], members: Sequence[int]) -> bool:
    """Whether two small sizes stand with a stroke between: "the 6mm/2mm cloth"."""
    first, second = members
    if second != first + 2 or items[first + 1].text != "/":
        return False
    small = all(max(items[n].values) * MM_OF.get(items[n].unit, 1.0) < 60 for n in members)  # noqa: PLR2004
    return small and items[first].unit == items[second].unit == "mm"


#: Bare numbers after "pieces" from here on are their sides, be it in inches (our choice).
_LEAST_SIDE = 6.0


def _bare_pair(items: Sequence[Item], members: Sequence[int]) -> bool:
    """Whether two small numbers stand side by side with nothing to tell what they are."""
    before = items[members[0] - 1].tags if members[0] else {}
    piece = before.get("form") == "piece" or "counts_pieces" in before
    if (piece or before.get("shape") == "rectangle") and all(
        min(items[n].values) >= _LEAST_SIDE for n in members
    ):
        return False
    pair = [items[n] for n in members if items[n].unit not in ("gauge", "SWG", "BWG", "AWG")]
    bare = [one for one in pair if not one.unit]
    small = all(v < 60 for one in bare for v in one.values)  # noqa: PLR2004 - sizes of forms are more
    return len(bare) == len(pair) and small


def _twice(items: Sequence[Item], members: Sequence[int]) -> bool:
    """Whether a fraction stands twice, as the mesh of welded cloth is written: "1/2 x 1/2"."""
    first, second = items[members[0]], items[members[1]]
    if first.values != second.values or first.unit != second.unit:
        return False
    if first.values[0] * MM_OF.get(first.unit, MM_OF["in"]) > _LARGEST_TWICE:
        return False
    if "/" in first.text and first.unit in ("", "in"):
        return True
    return any(item.tags.get("weave") == "welded" for item in items)


#: Mesh of welded cloth written twice is smaller than this [mm]; larger is a sheet (common practice).  # noqa: E501
_LARGEST_TWICE = 110.0


def _beside_shape(items: Sequence[Item], n: int) -> bool:
    """Whether a shape's word stands right beside: "discs 90 mm", "16 squares 12 in"."""
    if n > 1 and items[n - 1].text == "," and "shape" in items[n - 2].tags and items[n].unit:
        return True
    for m in (n - 1, n + 1):
        if 0 <= m < len(items) and (
            "shape" in items[m].tags or items[m].tags.get("form") == "strip"
        ):
            return True
    k = n - 1
    while (
        k >= 0 and n - k <= 3 and items[k].kind in ("word", "mark") and items[k].text not in ",;."  # noqa: PLR2004
    ):
        if "shape" in items[k].tags:
            return True
        k -= 1
    return False


def _finer_than_count(items: Sequence[Item], n: int) -> bool:
    """Whether a diameter right after a count is smaller than its pitch: "40 mesh, 0.22 mm dia"."""
    before = next((i for i in reversed(items[:n]) if i.kind == "num"), None)
    if before is None or before.unit != "/in" or not _after_mesh(items, n):
        return False
    mm = min(items[n].values) * MM_OF.get(items[n].unit, 1.0)
    return mm * min(before.values) < MM_OF["in"]


def _after_mesh(items: Sequence[Item], n: int) -> bool:
    """Whether a mesh count stands right before, but for a comma: "20 mesh, 0.5 mm"."""
    k = n - 1
    while k >= 0 and n - k <= 3:  # noqa: PLR2004
        if items[k].kind == "num":
            return items[k].unit.startswith("/") or items[k].unit == "M"
        if items[k].kind == "mark" and items[k].text not in ",(|":
            return False
        k -= 1
    return False
