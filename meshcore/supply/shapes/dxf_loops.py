"""Loose edges chained into closed loops."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.supply.shapes.dxf_edges import Edge
from meshcore.supply.shapes.outlines import Contour, Corner, Point

#: Ends nearer than this belong together [m]: a fiftieth of the finest wire that pieces are cut
#: from, and far above the rounding of a drawing.
JOIN_M = 2e-5


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """Where a chain of edges stops [m], and why."""

    at: Point
    why: str


def loops_of(edges: Sequence[Edge]) -> list[Contour] | OpenEnd:
    """Chain edges into closed loops.

    Returns
    -------
    The loops, each at the place of its first edge; or the end at which one stays open.

    Examples
    --------
    >>> half = Edge(((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)), closed=False)
    >>> flat = Edge(((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), closed=False)
    >>> [round(loop.area, 4) for loop in loops_of([half, flat])]
    [0.3927]
    """
    from ezdxf import edgeminer  # noqa: PLC0415 - heavy
    from ezdxf.math import Vec3  # noqa: PLC0415

    # Numbered here: the numbers that edgeminer deals out can repeat where threads read drawings.
    links = [
        edgeminer.Edge(number, Vec3(edge.corners[0][:2]), Vec3(edge.corners[-1][:2]))
        for number, edge in enumerate(edges)
        if not edge.closed
    ]
    if not links:
        return [Contour(edge.corners) for edge in edges]
    deposit = edgeminer.Deposit(links, gap_tol=JOIN_M)
    link_of = {link.id: link for link in links}
    loops: list[Contour] = []
    for number, edge in enumerate(edges):
        if edge.closed:
            loops.append(Contour(edge.corners))
        elif number in link_of:
            link = link_of[number]
            alone = edgeminer.is_loop_fast([link], gap_tol=JOIN_M)
            chain = [link] if alone else edgeminer.find_simple_chain(deposit, link)
            for end in (chain[-1].end, chain[0].start):
                if (meeting := deposit.degree(end)) != 2:  # noqa: PLR2004 - one edge in, one out
                    why = "more than two lines meet" if meeting > 1 else "an outline is open"
                    return OpenEnd((end.x, end.y), why)
            for link in chain:
                del link_of[link.id]
            loops.append(Contour(_joined([(edges[c.id], c.is_reverse) for c in chain])))
    return loops


def _joined(chain: Sequence[tuple[Edge, bool]]) -> tuple[Corner, ...]:
    """Corners of edges end to end, those marked run backwards; each ends where the next begins."""
    corners: list[Corner] = []
    for edge, is_reverse in chain:
        following = _backwards(edge.corners) if is_reverse else edge.corners
        if corners:
            # The corner is where the outline has been; the next edge begins there.
            following = ((*corners.pop()[:2], following[0][2]), *following[1:])
        corners += following
    return tuple(corners[:-1])


def _backwards(corners: Sequence[Corner]) -> tuple[Corner, ...]:
    bulges = [-corner[2] for corner in corners[:-1]][::-1]
    return tuple(
        (x, y, bulge) for (x, y, _), bulge in zip(corners[::-1], [*bulges, 0.0], strict=True)
    )
