"""Free polygons as text: corners in parentheses, each with a radius of its own if need be."""

from __future__ import annotations

import math
import re
from itertools import combinations

from meshcore.messages import Message
from meshcore.reading.texts import read_text
from meshcore.supply.shapes.fillets import filleted
from meshcore.supply.shapes.outlines import Point, Shape, make_shape

_GROUP = re.compile(r"\(([^()]*)\)")
_RADIUS = re.compile(r"(?:corner\s+)?(?:radius|radii|r)\s*[:=]?\s*(.+)$", re.IGNORECASE)
_EXAMPLE = "polygon: points (0, 0) (300, 0) (300, 200) mm, radius 5 mm"
_LEAST_CORNERS = 3


def read_polygon(text: str, field: str) -> Shape | Message:
    """Read a polygon from its corners.

    Parameters
    ----------
    text
        Corners as ``(x, y)`` or ``(x, y, radius)``, the unit after the last of them, then the
        radius of the corners that have none of their own.
    field
        The column it stands in, for the message.

    Returns
    -------
    The shape, or a refusal.

    Examples
    --------
    >>> read_polygon("points (0, 0) (300, 0) (300, 200) mm", "dimensions").area_m2
    0.03
    """
    groups = list(_GROUP.finditer(text))
    if len(groups) < _LEAST_CORNERS:
        return Message(
            field,
            text,
            f'a polygon needs its corners, three or more. Write "{_EXAMPLE}".',
            code="polygon.corners_missing",
        )
    unit, _, rest = text[groups[-1].end() :].strip().partition(",")
    radius = _common_radius(rest, text, field)
    if isinstance(radius, Message):
        return radius
    corners = [_corner(group[1], unit.strip(), radius, text, field) for group in groups]
    wrong = next((c for c in corners if isinstance(c, Message)), None)
    if wrong:
        return wrong
    return _built([c for c in corners if not isinstance(c, Message)], text, field)


def _common_radius(rest: str, text: str, field: str) -> float | Message:
    if not rest.strip():
        return 0.0
    matched = _RADIUS.match(rest.strip())
    if not matched:
        return Message(
            field,
            text,
            f'"{rest.strip()}" is not understood. Write "{_EXAMPLE}".',
            code="polygon.not_understood",
        )
    reading = read_text(matched[1], "length", field)
    if isinstance(reading, Message):
        return Message(field, text, f"radius: {reading.text}", code=reading.code)
    if reading.value < 0:
        return Message(
            field,
            text,
            "radius: cannot be negative. Leave it out for sharp corners.",
            code="polygon.radius_negative",
        )
    return reading.value


def _corner(
    group: str, unit: str, radius: float, text: str, field: str
) -> tuple[float, float, float] | Message:
    parts = group.split(";") if ";" in group else group.split(",")
    if len(parts) not in (2, 3):
        return Message(
            field, text,
            f'corner ({group}) needs x and y, and a radius if it has its own. Write "{_EXAMPLE}".',
            code="polygon.corner_incomplete",
        )  # fmt: skip
    numbers: list[float] = []
    for part in parts:
        plain = part.strip().lower().removeprefix("r").strip()
        reading = read_text(plain, "length", field, unit)
        if isinstance(reading, Message):
            return Message(field, text, f"corner ({group}): {reading.text}", code=reading.code)
        numbers.append(reading.value)
    own = numbers[2] if len(numbers) > 2 else radius  # noqa: PLR2004 - the third is the radius
    if own < 0:
        return Message(
            field,
            text,
            f"corner ({group}): its radius cannot be negative.",
            code="polygon.corner_radius_negative",
        )
    return numbers[0], numbers[1], own


def _built(corners: list[tuple[float, float, float]], text: str, field: str) -> Shape | Message:
    points = [(x, y) for x, y, _ in corners]
    if crossing := _crossing(points):
        return Message(
            field, text,
            f"edges {crossing[0] + 1} and {crossing[1] + 1} cross or touch. Give the corners in "
            "order around the outline, each once.",
            code="polygon.edges_cross",
        )  # fmt: skip
    outline = filleted(points, [radius for _, _, radius in corners])
    if isinstance(outline, int):
        return Message(
            field, text,
            f"radius: edge {outline + 1} is too short for the radii at its ends. Make them "
            "smaller.",
            code="polygon.edge_too_short",
        )  # fmt: skip
    return make_shape("polygon", outline)


def _crossing(points: list[Point]) -> tuple[int, int] | None:
    """Numbers of two edges that meet anywhere but at a corner they share."""
    count = len(points)
    edges = [(points[i], points[(i + 1) % count]) for i in range(count)]
    for i, j in combinations(range(count), 2):
        (a, b), (c, d) = edges[i], edges[j]
        if j == i + 1 or (i == 0 and j == count - 1):
            before, here, after = (a, b, d) if j == i + 1 else (c, d, b)
            # Neighbours share a corner; they meet elsewhere only by folding straight back.
            ahead = (after[0] - here[0]) * (before[0] - here[0])
            ahead += (after[1] - here[1]) * (before[1] - here[1])
            if here in (before, after) or (_side(before, here, after) == 0 and ahead > 0):
                return i, j
        elif _meet(a, b, c, d):
            return i, j
    return None


def _side(a: Point, b: Point, c: Point) -> float:
    """Sign of the turn a → b → c: 1, 0 or -1."""
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return math.copysign(1.0, cross) if cross else 0.0


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    first, second = _side(a, b, c) * _side(a, b, d), _side(c, d, a) * _side(c, d, b)
    if first < 0 and second < 0:
        return True
    ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(_side(p, q, r) == 0 and _between(p, q, r) for p, q, r in ends)


def _between(a: Point, b: Point, c: Point) -> bool:
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])
