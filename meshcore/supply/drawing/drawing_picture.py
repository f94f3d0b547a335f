"""A picture of what was read of a drawing: pieces by number, the rest in broken lines."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import numpy as np

from meshcore.supply.drawing.outlines import View, path_of
from meshcore.supply.shapes.dxf import DrawingRead
from meshcore.weave.drawing.svg import TEXT, Theme, new_sheet

#: Width of the picture, its margin and its greatest height, in drawing units.
_WIDTH, _MARGIN, _HEIGHT = 420.0, 14.0, 420.0
_FILL = "#56b4e9"


def draw_reading(read: DrawingRead, theme: Theme = "system") -> str:
    """Draw what was read.

    Returns
    -------
    SVG text. Each piece carries its number in ``data-outline`` as often as it is drawn; lines that
    were set aside are broken and carry ``data-aside``.
    """
    spots = [np.array(points) for points in read.aside]
    boxes = [p.outline.bounds for piece in read.pieces for p in piece.places]
    spots += [np.array([box[:2], box[2:]]) for box in boxes]
    every = np.concatenate(spots) if spots else np.zeros((1, 2))
    (x0, y0), (x1, y1) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
    room = _WIDTH - 2 * _MARGIN
    scale = min(room / max(x1 - x0, 1e-9), (_HEIGHT - 2 * _MARGIN) / max(y1 - y0, 1e-9))
    height = (y1 - y0) * scale + 2 * _MARGIN
    count = sum(piece.count for piece in read.pieces)
    title = f"{count} outlines read, {len(read.aside)} lines set aside"
    sheet = new_sheet(_WIDTH, height, title, ". ".join(m.text for m in read.said), theme)
    # The view's y runs down from the far edge of a cloth: here from the top of the drawing.
    view = View(scale, x0, _MARGIN, _MARGIN, y1)
    for number, piece in enumerate(read.pieces, 1):
        for place in piece.places:
            group = sheet.group(data_outline=str(number))
            ink = {"d": " ".join(path_of(c, view) for c in (place.outline, *place.holes)),
                   "fill": _FILL, "fill-opacity": "0.35", "fill-rule": "evenodd",
                   "stroke": "currentColor"}  # fmt: skip
            ET.SubElement(group.here, "path", ink)
            ax, ay, bx, by = place.outline.bounds
            if min(bx - ax, by - ay) * scale > TEXT:
                group.text(view.x((ax + bx) / 2), view.y((ay + by) / 2) + TEXT / 3, str(number),
                           text_anchor="middle")  # fmt: skip
    for points in read.aside:
        line = np.array(points)
        sheet.curve(
            view.left + (line[:, 0] - x0) * scale, view.top + (y1 - line[:, 1]) * scale,
            fill="none", stroke="currentColor", stroke_dasharray="4 3", data_aside="yes",
        )  # fmt: skip
    return sheet.write()
