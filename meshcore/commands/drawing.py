"""What is read of a DXF drawing, before it is cut: pieces, layers, and what was set aside."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands
from meshcore.commands.writing import write_file

if TYPE_CHECKING:
    from meshcore.supply.shapes.dxf import DrawingRead

_MM, _MM2 = 1e3, 1e6


def add(commands: Commands) -> None:
    """Add ``drawing``."""
    parser = commands.add_parser("drawing", help="show what is read of a DXF drawing")
    parser.add_argument("input", type=Path, metavar="IN.dxf")
    parser.add_argument("--unit", default="", metavar="UNIT", help="mm, cm, m, in or ft")
    parser.add_argument("--layers", default="", metavar="NAMES", help="to be cut, as CUT,HOLES")
    parser.add_argument("--close", default="", metavar="SIZE",
                        help='close gaps up to this, as "0.5 mm"; 0.2 mm unless given')  # fmt: skip
    parser.add_argument("-o", "--output", type=Path, metavar="OUT.svg", help="a picture of it")
    parser.set_defaults(command=_show)


def _show(chosen: argparse.Namespace) -> None:
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when a command runs
    from meshcore.messages import Message  # noqa: PLC0415
    from meshcore.reading.texts import read_text  # noqa: PLC0415
    from meshcore.supply.drawing.drawing_picture import draw_reading  # noqa: PLC0415
    from meshcore.supply.shapes.dxf import read_drawing  # noqa: PLC0415
    from meshcore.supply.shapes.dxf_loops import CLOSE_M  # noqa: PLC0415

    close_m = CLOSE_M
    if chosen.close:
        asked = read_text(chosen.close, "length", "close")
        if isinstance(asked, Message):
            raise ListError(str(asked))
        close_m = asked.value
    layers = [name.strip() for name in chosen.layers.split(",") if name.strip()]
    read = read_drawing(chosen.input, chosen.unit, layers, "drawing", close_m)
    if isinstance(read, Message):
        raise ListError(str(read))
    print("\n".join(_lines(read)))
    if chosen.output:
        write_file(draw_reading(read).encode(), chosen.output)


def _lines(read: DrawingRead) -> list[str]:
    lines = [
        f"{piece.count} × {piece.shape.kind}: {piece.shape.width_m * _MM:.6g} mm × "
        f"{piece.shape.height_m * _MM:.6g} mm, {piece.shape.area_m2 * _MM2:.6g} mm²"
        + (f", {len(piece.shape.holes)} holes" if piece.shape.holes else "")
        for piece in read.pieces
    ]
    for layer in read.layers:
        state = "read" if layer.read else "set aside"
        lines.append(f"layer {layer.name}: {layer.lines} line{'s' * (layer.lines > 1)}, {state}")
    return lines + [f"{'note' if m.severity == 'note' else 'asked'}: {m.text}" for m in read.said]
