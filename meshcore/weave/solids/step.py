"""A piece of cloth as STEP (ISO 10303-21), in millimetres: true arcs, warp and shute as bodies.

A boundary representation needs a kernel of solids, which is no small thing to bring along: it is
the optional extra ``[step]``, Open CASCADE by its Python bindings ``cadquery-ocp-novtk``.
"""

from __future__ import annotations

import math
import re
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from meshcore.enquiry import WEAVES
from meshcore.weave.geometry.centreline import Line, Segment
from meshcore.weave.geometry.laying import WIRE_SETS, WireSet, laid_wire
from meshcore.weave.solids.cloth_solid import ClothSolid
from meshcore.weave.solids.gltf import COLOURS

#: What to install where the kernel is not there.
EXTRA = 'pip install "wirecloth-meshcore[step]"'
_MM_PER_M = 1000.0
#: The moment of writing and the writer's own version, which would make each file another one.
_WRITTEN = re.compile(rb"FILE_NAME\('[^']*','[^']*'")
_FIXED = b"FILE_NAME('cloth','1970-01-01T00:00:00'"


def has_kernel() -> bool:
    """Whether STEP can be written here."""
    try:
        import OCP.BRepOffsetAPI  # noqa: F401, PLC0415 - an extra, and heavy
    except ImportError:
        return False
    return True


def step_bytes(solid: ClothSolid) -> bytes:
    """Write a piece of cloth as STEP.

    Parameters
    ----------
    solid
        The piece; its facets do not matter.

    Returns
    -------
    The file; the same for the same piece, but that the kernel may list its colours in another
    order.

    Raises
    ------
    ImportError
        If the extra is not installed.
    """
    from OCP.BRep import BRep_Builder  # noqa: PLC0415 - an extra, and heavy
    from OCP.TopoDS import TopoDS_Compound  # noqa: PLC0415

    bodies: dict[WireSet, Any] = {}
    builder = BRep_Builder()
    for wire_set in WIRE_SETS:
        bodies[wire_set] = TopoDS_Compound()
        builder.MakeCompound(bodies[wire_set])
        phases = len(solid.surfaces[wire_set])
        pipes = [_pipe(solid, wire_set, phase) for phase in range(phases)]
        for number in range(solid.pitches):
            builder.Add(bodies[wire_set], _placed(solid, wire_set, number, pipes[number % phases]))
    return _written(bodies, WEAVES[solid.weave])


def _pipe(solid: ClothSolid, wire_set: WireSet, number: int) -> Any:  # noqa: ANN401 - no stubs
    """One wire along x, as a solid of cylinders and tori."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire  # noqa: PLC0415
    from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe  # noqa: PLC0415
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt  # noqa: PLC0415

    pieces = laid_wire(solid.weave, wire_set, number, solid.pitches, solid.wire_diameter_m,
                       solid.pitch_m)  # fmt: skip
    spine = BRepBuilderAPI_MakeWire()
    for piece in pieces:
        spine.Add(_edge(piece))
    (x0, z0), (x1, z1) = _points(pieces[0], (0.0, _A_LITTLE))
    section = gp_Circ(gp_Ax2(gp_Pnt(x0, 0.0, z0), gp_Dir(x1 - x0, 0.0, z1 - z0)),
                      0.5 * solid.wire_diameter_m * _MM_PER_M)  # fmt: skip
    face = BRepBuilderAPI_MakeFace(_wire_of(section)).Face()
    return BRepOffsetAPI_MakePipe(spine.Wire(), face).Shape()


#: Share of the first piece along which its direction at the start is taken.
_A_LITTLE = 1e-6


def _wire_of(circle: Any) -> Any:  # noqa: ANN401 - no stubs
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire  # noqa: PLC0415

    return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire()


def _points(piece: Segment, shares: Sequence[float]) -> list[tuple[float, float]]:
    x, z = piece.points(np.array(shares))
    return list(zip((x * _MM_PER_M).tolist(), (z * _MM_PER_M).tolist(), strict=True))


def _edge(piece: Segment) -> Any:  # noqa: ANN401 - no stubs
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge  # noqa: PLC0415 - an extra, and heavy
    from OCP.GC import GC_MakeArcOfCircle  # noqa: PLC0415
    from OCP.gp import gp_Pnt  # noqa: PLC0415

    start, middle, end = (gp_Pnt(x, 0.0, z) for x, z in _points(piece, (0.0, 0.5, 1.0)))
    if isinstance(piece, Line):
        return BRepBuilderAPI_MakeEdge(start, end).Edge()
    return BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(start, middle, end).Value()).Edge()


def _placed(solid: ClothSolid, wire_set: WireSet, number: int, pipe: Any) -> Any:  # noqa: ANN401
    """Lay one wire in its set's direction and its place; the surface itself is shared."""
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec  # noqa: PLC0415
    from OCP.TopLoc import TopLoc_Location  # noqa: PLC0415

    middle = 0.5 * (solid.pitches - 1) * solid.pitch_m * _MM_PER_M
    across = number * solid.pitch_m * _MM_PER_M - middle
    turn, move = gp_Trsf(), gp_Trsf()
    if wire_set == "warp":
        turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), math.pi / 2)
        move.SetTranslation(gp_Vec(across, -middle, 0.0))
    else:
        move.SetTranslation(gp_Vec(-middle, across, 0.0))
    return pipe.Moved(TopLoc_Location(move.Multiplied(turn)))


def _written(bodies: dict[WireSet, Any], name: str) -> bytes:
    """Write the bodies with their names and colours; the kernel writes to files alone."""
    from OCP.IFSelect import IFSelect_RetDone  # noqa: PLC0415
    from OCP.Message import Message, Message_Gravity  # noqa: PLC0415
    from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor  # noqa: PLC0415
    from OCP.STEPCAFControl import STEPCAFControl_Writer  # noqa: PLC0415
    from OCP.TCollection import TCollection_ExtendedString  # noqa: PLC0415
    from OCP.TDataStd import TDataStd_Name  # noqa: PLC0415
    from OCP.TDocStd import TDocStd_Document  # noqa: PLC0415
    from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool  # noqa: PLC0415

    for printer in Message.DefaultMessenger_s().Printers():
        # The kernel tells its progress on standard output, where a command prints its answer.
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
    document = TDocStd_Document(TCollection_ExtendedString(name))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    for wire_set, body in bodies.items():
        label = shapes.AddShape(body, False)
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(wire_set))
        red, green, blue = (share / 255 for share in bytes.fromhex(COLOURS[wire_set][1:]))
        colour = Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_sRGB)
        colours.SetColor(label, colour, XCAFDoc_ColorSurf)
    writer = STEPCAFControl_Writer()
    writer.Transfer(document)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "cloth.step")
        if writer.Write(str(path)) != IFSelect_RetDone:
            raise OSError(f"the kernel could not write {path}")
        return _WRITTEN.sub(_FIXED, path.read_bytes(), count=1)
