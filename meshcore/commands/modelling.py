"""The command that makes a solid of a cloth, to look at, to print, or for another program."""

from __future__ import annotations

import argparse
from pathlib import Path

from meshcore.commands.options import (
    Commands,
    add_data_options,
    add_enquiry_options,
    enquiry_line,
    read_data,
    whole_number,
)

#: Wires each way, and the parts of a file that has no objects, as ``meshcore.weave.solids`` has
#: them, which is heavy to load.
_PITCHES, _PARTS = 6, ("both", "warp", "shute")


def add(commands: Commands) -> None:
    """Add ``model``."""
    parser = commands.add_parser("model", help="make a solid of a cloth: .glb, .stl or .step")
    add_enquiry_options(parser)
    parser.add_argument("-o", "--output", type=Path, metavar="OUT",
                        help=".glb (glTF, m), .stl (mm) or .step (mm)")  # fmt: skip
    parser.add_argument("--pitches", type=whole_number, default=_PITCHES, metavar="N",
                        help="wires each way; rounded up to whole repeats")  # fmt: skip
    parser.add_argument("--part", choices=_PARTS, default=_PARTS[0],
                        help="what an .stl file holds, which knows no objects")  # fmt: skip
    add_data_options(parser)
    parser.set_defaults(command=_model)


def _model(chosen: argparse.Namespace) -> None:
    from meshcore.estimates.models import cloth_models  # noqa: PLC0415 - only when a command runs
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415
    from meshcore.weave.geometry.laying import WIRE_SETS  # noqa: PLC0415
    from meshcore.weave.solids.files import ModelError, write_solid  # noqa: PLC0415

    book, policy = read_data(chosen)
    estimates = estimate_list(enquiry_line(chosen), book, policy, chosen.path)
    try:
        [model] = cloth_models(estimates, chosen.pitches)
    except ValueError as error:
        raise ModelError(f"--pitches: {error}") from error
    if model.solid is None:
        raise ModelError(str(model.message))
    print(model.text())
    if chosen.output:
        parts = tuple(part for part in WIRE_SETS if chosen.part in ("both", part))
        told = write_solid(model.solid, chosen.output, parts)
        print(f"{chosen.output}: {told}")
