"""Pieces from DXF drawings: outlines with arcs and holes, counted; what is not read is said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

from meshcore.limits import beyond, most
from meshcore.messages import Message
from meshcore.supply.shapes.dxf_edges import Edge, NotFlat, edges_of
from meshcore.supply.shapes.dxf_entities import (
    CUT_LAYER,
    Drawn,
    drawn_entities,
    is_text,
    text_place,
)
from meshcore.supply.shapes.dxf_loops import CLOSE_M, OpenEnd, backwards, loops_of
from meshcore.supply.shapes.dxf_opening import metres_of_unit, opened
from meshcore.supply.shapes.dxf_pieces import Piece, sort_loops
from meshcore.supply.shapes.dxf_tables import tables_of
from meshcore.supply.shapes.outlines import Contour, Point, Shape

#: Edges that agree to so many decimals of a metre are one line drawn twice.
_SAME_PLACES = 6
_MM = 1e3


@dataclass(frozen=True, slots=True)
class DrawnPiece:
    """A piece, how often it is drawn, and where it lies each time [m]."""

    shape: Shape
    places: tuple[Piece, ...]

    @property
    def count(self) -> int:
        """How often it is drawn."""
        return len(self.places)


@dataclass(frozen=True, slots=True)
class LayerRead:
    """A layer with lines on it: its name, how many, and whether they were read."""

    name: str
    lines: int
    read: bool


@dataclass(frozen=True, slots=True)
class DrawingRead:
    """What was read of a drawing.

    Parameters
    ----------
    pieces
        Different pieces, in the order of the drawing.
    said
        Notes of what was set aside or mended; refusals of what must be asked about.
    aside
        Lines that were set aside, for the picture [m].
    layers
        Layers with lines on them.
    """

    pieces: tuple[DrawnPiece, ...]
    said: tuple[Message, ...]
    aside: tuple[tuple[Point, ...], ...]
    layers: tuple[LayerRead, ...]

    @property
    def asked(self) -> tuple[Message, ...]:
        """What must be asked about before anything is cut."""
        return tuple(message for message in self.said if message.severity != "note")


def read_dxf(
    source: Path | bytes, unit: str = "", layers: Sequence[str] = (), field: str = "dxf"
) -> list[Shape] | Message:
    """Read the pieces of a drawing that leaves no question; else return the first question.

    As `read_drawing`; each piece as often as it is drawn, in the order of the drawing.
    """
    read = read_drawing(source, unit, layers, field)
    if isinstance(read, Message):
        return read
    if read.asked:
        return read.asked[0]
    drawn = sorted((p.number, n) for n, piece in enumerate(read.pieces) for p in piece.places)
    return [
        replace(read.pieces[n].shape, kind=f"outline {place}")
        for place, (_, n) in enumerate(drawn, start=1)
    ]


def read_drawing(
    source: Path | bytes,
    unit: str = "",
    layers: Sequence[str] = (),
    field: str = "dxf",
    close_m: float = CLOSE_M,
) -> DrawingRead | Message:
    """Read the pieces of a drawing, and say what else is in it.

    Parameters
    ----------
    source
        File, or its content.
    unit
        Unit of the drawing; blank to take the one that the drawing names in ``$INSUNITS``.
    layers
        Layers to read, whatever they are called; none for all that are on and not set aside.
    field
        Where the drawing was given, for the message.
    close_m
        Gaps between the ends of lines up to this are closed, and said [m].

    Returns
    -------
    What was read; or what is wrong with the drawing where nothing can be.

    Notes
    -----
    Lines, arcs, circles, polylines with bulges, ellipses and splines of model space and of inserted
    blocks and arrays of them are read. Arcs stay arcs; ellipses and splines become polygons within
    ``dxf_edges.FLATTEN_M``. An outline inside a hole is a piece of its own. Lines that are drawn
    twice are read once; layers and blocks that are named as frames, dimensions and the like, and
    lines of broken linetypes, are set aside and named.
    """
    name = source.name if isinstance(source, Path) else ""
    try:
        return _read_whole(source, name, unit, layers, field, close_m)
    except Exception as error:  # noqa: BLE001 - ezdxf lets whatever a damaged part leads to through
        text = (f"the drawing is damaged ({type(error).__name__}: {error}). Open it, and save it "
                "again as DXF.")  # fmt: skip
        return Message(field, name, text, code="drawing.damaged")


def _read_whole(
    source: Path | bytes,
    name: str,
    unit: str,
    layers: Sequence[str],
    field: str,
    close_m: float,
) -> DrawingRead | Message:
    drawing = opened(source, name, field)
    if isinstance(drawing, Message):
        return drawing
    entities = list(islice(drawn_entities(drawing, layers), most("drawn_lines") + 1))
    if wrong := beyond("drawn_lines", len(entities)):
        return Message(field, name, f"the drawing is too large: {wrong}", code="drawing.too_large")
    metres = metres_of_unit(drawing, unit, field) if entities else 1.0
    if isinstance(metres, Message):
        return metres
    taken = _taken(entities, metres, name, field)
    if wrong := beyond("corners", max((len(edge.corners) for edge in taken.edges), default=0)):
        return Message(field, name, f"the drawing is too large: {wrong}", code="drawing.too_large")
    own = all(one.layer == CUT_LAYER for one in entities if not is_text(one))
    return _read(taken, entities, metres, name, field, close_m, not layers and not own)


@dataclass(frozen=True, slots=True)
class _Taken:
    """Edges to be chained, those set aside, what is said of them, and the lines of each layer."""

    edges: tuple[Edge, ...]
    aside: tuple[Edge, ...]
    said: tuple[Message, ...]
    layers: tuple[LayerRead, ...]


def _taken(entities: Sequence[Drawn], metres: float, name: str, field: str) -> _Taken:
    edges: list[Edge] = []
    aside: list[Edge] = []
    reasons: Counter[tuple[str, str]] = Counter()
    said: list[Message] = []
    lines: Counter[tuple[str, bool]] = Counter()
    for one in entities:
        try:
            own = edges_of(one.entity, metres)
        except NotFlat as error:
            text = f"{error}, on layer {one.layer}. Draw the piece flat, in the plane of x and y."
            if not one.aside:
                said.append(Message(field, name, text, code="drawing.not_flat"))
            continue
        if own:
            lines[one.layer, not one.aside] += 1
        if own and one.aside:
            reasons[one.aside, one.layer] += 1
        (aside if one.aside else edges).extend(own)
    for (what, layer), count in reasons.items():
        text = (f"{count} line{'s' if count > 1 else ''} on layer {layer} "
                f"{'are' if count > 1 else 'is'} set aside as {what}. Choose the layer if "
                f"{'they are' if count > 1 else 'it is'} to be cut.")  # fmt: skip
        said.append(Message(field, name, text, "note", code="drawing.set_aside"))
    single = {_edge_key(edge): edge for edge in edges[::-1]}
    once = [edge for edge in edges if single[_edge_key(edge)] is edge]
    if more := len(edges) - len(once):
        text = f"{more} line{'s are' if more > 1 else ' is'} drawn twice; each is read once."
        said.append(Message(field, name, text, "note", code="drawing.line_twice"))
    layers = tuple(LayerRead(layer, n, read) for (layer, read), n in lines.items())
    return _Taken(tuple(once), tuple(aside), tuple(said), layers)


def _edge_key(edge: Edge) -> tuple[object, ...]:
    """Return what two drawings of one line agree in, whichever way they run."""

    def rounded(corners: Sequence[tuple[float, float, float]]) -> tuple[tuple[float, ...], ...]:
        return tuple(
            tuple(round(part, _SAME_PLACES) + 0.0 for part in corner) for corner in corners
        )

    if edge.closed:
        # Closed lines that are drawn twice are found by their areas, wherever they begin.
        return (id(edge),)
    open_ended = (*edge.corners[:-1], (*edge.corners[-1][:2], 0.0))
    return (min(rounded(open_ended), rounded(backwards(open_ended))),)


def _read(
    taken: _Taken,
    entities: Sequence[Drawn],
    metres: float,
    name: str,
    field: str,
    close_m: float,
    frames: bool,
) -> DrawingRead | Message:
    said = list(taken.said)
    if not taken.edges:
        if said:
            first = next((m for m in said if m.severity != "note"), said[0])
            return Message(field, name, first.text, code=first.code)
        return Message(
            field, name,
            "no outline found in this DXF drawing: no lines, arcs, circles or polylines on the "
            "layers that are on. Draw each piece as a closed outline in model space.",
            code="drawing.empty",
        )  # fmt: skip
    places = (text_place(one, metres) for one in entities if is_text(one))
    texts = [spot for spot in places if spot is not None]
    aside = [_polyline(edge.corners, edge.closed) for edge in taken.aside]
    tables = tables_of(taken.edges, texts) if frames else []
    for table in tables:
        own = [taken.edges[n] for n in table]
        aside += [_polyline(edge.corners, edge.closed) for edge in own]
        said.append(_about_table(own, name, field))
    of_tables = {n for table in tables for n in table}
    edges = [edge for n, edge in enumerate(taken.edges) if n not in of_tables]
    chained = loops_of(edges, close_m)
    if chained.gaps:
        (x, y), _ = chained.gaps[0]
        most = max(gap for _, gap in chained.gaps)
        count = len(chained.gaps)
        text = (
            f"{count} gap{'s' if count > 1 else ''} of up to {most * _MM:.2g} mm "
            f"{'were' if count > 1 else 'was'} closed, the first at x {x * _MM:g} mm, "
            f"y {y * _MM:g} mm; up to {close_m * _MM:g} mm are."
        )
        said.append(Message(field, name, text, "note", code="drawing.gap_closed"))
    for end in chained.open_ends:
        own = [edges[n] for n in end.edges]
        aside += [_polyline(edge.corners, edge.closed) for edge in own]
        said.append(_about_open(end, name, field))
    found = sort_loops(chained.loops, texts, name, field, frames=frames)
    aside += [_polyline(loop.corners, closed=True) for loop in found.aside]
    pieces: dict[object, list[Piece]] = {}
    for piece in found.pieces:
        pieces.setdefault(piece.key, []).append(piece)
    drawn = tuple(
        DrawnPiece(each[0].shape(f"outline {number}"), tuple(each))
        for number, each in enumerate(pieces.values(), start=1)
    )
    return DrawingRead(drawn, (*said, *found.said), tuple(aside), taken.layers)


def _polyline(corners: Sequence[tuple[float, float, float]], closed: bool) -> tuple[Point, ...]:
    """Points along a line, for the picture."""
    if closed:
        contour = Contour(tuple(corners))
        x0, y0, x1, y1 = contour.bounds
        points = contour.points(max(x1 - x0, y1 - y0, 1e-6) * 1e-2)
        return (*points, points[0])
    return tuple((x, y) for x, y, _ in corners)


def _about_open(end: OpenEnd, name: str, field: str) -> Message:
    x, y = end.at[0] * _MM, end.at[1] * _MM
    return Message(
        field, name,
        f"{end.why} at x {x:g} mm, y {y:g} mm. Close the outline there, and draw each "
        "line once.",
        code="drawing.outline_open",
    )  # fmt: skip


def _about_table(edges: Sequence[Edge], name: str, field: str) -> Message:
    x, y = (min(corner[n] for edge in edges for corner in edge.corners) * _MM for n in (0, 1))
    return Message(
        field, name,
        f"{len(edges)} lines about lettering from x {x:g} mm, y {y:g} mm on look like a table or "
        "title block. Choose the layers to be cut, or take it out.",
        code="drawing.title_block",
    )  # fmt: skip
