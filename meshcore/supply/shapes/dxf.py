"""Shapes from DXF drawings: closed outlines with arcs, and their holes."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from meshcore.messages import Message
from meshcore.rounding import SLACK
from meshcore.supply.shapes.dxf_edges import Edge, NotFlat, edges_of
from meshcore.supply.shapes.dxf_loops import OpenEnd, loops_of
from meshcore.supply.shapes.outlines import Contour, Shape, make_shape

if TYPE_CHECKING:
    from shapely import Polygon

#: Units that a drawing may be in [m]: name, other names, and the code of $INSUNITS.
_UNITS: tuple[tuple[str, tuple[str, ...], int, float], ...] = (
    ("mm", ("millimetre", "millimeter"), 4, 1e-3),
    ("cm", ("centimetre", "centimeter"), 5, 1e-2),
    ("m", ("metre", "meter"), 6, 1.0),
    ("in", ("inch", "inches", '"'), 1, 0.0254),
    ("ft", ("foot", "feet", "'"), 2, 0.3048),
)
_CHOICES = ", ".join(name for name, *_ in _UNITS)
#: Distance between an outline's arcs and the polygon by which holes are told from outlines, as a
#: share of its size [-].
_LOOK_SHARE = 1e-4
_MM = 1e3


def read_dxf(
    source: Path | bytes, unit: str = "", layers: Sequence[str] = (), field: str = "dxf"
) -> list[Shape] | Message:
    """Read the pieces of a drawing.

    Parameters
    ----------
    source
        File, or its content.
    unit
        Unit of the drawing; blank to take the one that the drawing names in ``$INSUNITS``.
    layers
        Layers to read; none for all that are on.
    field
        Where the drawing was given, for the message.

    Returns
    -------
    Each outline with its holes, in the order of the drawing; or what is wrong with the drawing.
    An outline inside a hole is a piece of its own.

    Notes
    -----
    Lines, arcs, circles, polylines with bulges, ellipses and splines of model space and of inserted
    blocks are read. Arcs stay arcs; ellipses and splines become polygons within
    ``dxf_edges.FLATTEN_M``. Texts, dimensions and hatches are passed over.
    """
    from ezdxf import recover  # noqa: PLC0415 - heavy
    from ezdxf.lldxf.const import DXFError  # noqa: PLC0415

    name = source.name if isinstance(source, Path) else ""
    try:
        stream = io.BytesIO(source if isinstance(source, bytes) else source.read_bytes())
        drawing, _ = recover.read(stream)
    except OSError as error:
        return Message(
            field,
            name,
            f"the file cannot be opened ({error.strerror}).",
            code="drawing.file_unreadable",
        )
    except (DXFError, ValueError) as error:
        return Message(
            field,
            name,
            f"not a DXF drawing ({error}). Save it as DXF R12 or later.",
            code="drawing.not_dxf",
        )
    entities = list(_entities(drawing, layers))
    metres = _metres(drawing, unit, field) if entities else 1.0
    if isinstance(metres, Message):
        return metres
    try:
        edges = [edge for entity in entities for edge in edges_of(entity, metres)]
    except NotFlat as error:
        return Message(
            field,
            name,
            f"{error}. Draw the piece flat, in the plane of x and y.",
            code="drawing.not_flat",
        )
    if not edges:
        return Message(
            field, name,
            "no outline found in this DXF drawing: no lines, arcs, circles or polylines on the "
            "layers that are on. Draw each piece as a closed outline in model space.",
            code="drawing.empty",
        )  # fmt: skip
    return _shapes(edges, name, field)


def _metres(drawing: Any, unit: str, field: str) -> float | Message:  # noqa: ANN401 - untyped package
    """Metres of a drawing unit."""
    wanted = unit.strip().casefold()
    if wanted:
        for name, others, _, metres in _UNITS:
            if wanted in (name, *others, f"{name}."):
                return metres
        return Message(
            field,
            unit,
            f"no unit that drawings come in. Write one of {_CHOICES}.",
            code="drawing.unit_unknown",
        )
    code = int(drawing.header.get("$INSUNITS", 0))
    for _, _, number, metres in _UNITS:
        if code == number:
            return metres
    stated = f"$INSUNITS {code}" if code else ""
    return Message(
        field, stated,
        f"the drawing does not say in what unit it is drawn. Choose one of {_CHOICES}.",
        code="drawing.unit_missing",
    )  # fmt: skip


def _entities(drawing: Any, layers: Sequence[str]) -> Iterator[Any]:  # noqa: ANN401 - untyped package
    """Entities of model space, inserted blocks opened, on the layers asked for."""
    wanted = {layer.casefold() for layer in layers}
    hidden = {
        layer.dxf.name.casefold() for layer in drawing.layers if layer.is_off() or layer.is_frozen()
    }
    # Points of dimensions stand on a layer of their own that is never plotted.
    hidden.add("defpoints")
    pending = list(drawing.modelspace())[::-1]
    while pending:
        entity = pending.pop()
        if entity.dxftype() == "INSERT":
            pending += list(entity.virtual_entities())[::-1]
            continue
        layer = entity.dxf.layer.casefold()
        if layer in wanted if wanted else layer not in hidden:
            yield entity


def _shapes(edges: Sequence[Edge], name: str, field: str) -> list[Shape] | Message:
    loops = loops_of(edges)
    if isinstance(loops, OpenEnd):
        x, y = loops.at[0] * _MM, loops.at[1] * _MM
        return Message(
            field, name,
            f"{loops.why} at x {x:g} mm, y {y:g} mm. Close the outline there, and draw each "
            "line once.",
            code="drawing.outline_open",
        )  # fmt: skip
    polygons = []
    for loop in loops:
        polygon = _polygon(loop)
        if polygon is None:
            x, y = loop.corners[0][0] * _MM, loop.corners[0][1] * _MM
            return Message(
                field, name,
                f"the outline that begins at x {x:g} mm, y {y:g} mm crosses itself or encloses "
                "nothing. Redraw it as one simple closed line.",
                code="drawing.outline_crosses",
            )  # fmt: skip
        polygons.append(polygon)
    return _with_holes(loops, polygons)


def _polygon(loop: Contour) -> Polygon | None:
    from shapely import Polygon  # noqa: PLC0415 - heavy

    x0, y0, x1, y1 = loop.bounds
    if abs(loop.area) <= SLACK * (x1 - x0) * (y1 - y0):
        # A line drawn there and back, not a piece.
        return None
    points = loop.points(_LOOK_SHARE * max(x1 - x0, y1 - y0))
    if len(points) < 3:  # noqa: PLR2004 - corners of a polygon
        return None
    polygon = Polygon(points)
    return polygon if polygon.is_valid else None


def _with_holes(loops: Sequence[Contour], polygons: Sequence[Polygon]) -> list[Shape]:
    """Outlines and holes take turns from the outside inwards."""
    order = sorted(range(len(loops)), key=lambda n: -abs(loops[n].area))
    around: dict[int, list[int]] = {n: [] for n in order}
    for place, inner in enumerate(order):
        spot = polygons[inner].representative_point()
        around[inner] = [outer for outer in order[:place] if polygons[outer].contains(spot)]
    holes: dict[int, list[Contour]] = {n: [] for n in order if len(around[n]) % 2 == 0}
    for inner in order:
        if len(around[inner]) % 2:
            holes[around[inner][-1]].append(loops[inner])
    return [
        make_shape(f"outline {place}", loops[n], holes[n])
        for place, n in enumerate(sorted(holes), start=1)
    ]
