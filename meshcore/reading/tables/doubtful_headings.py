"""Columns whose heading may mean another thing than it was taken for."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.messages import Message
from meshcore.reading import count_refusals
from meshcore.reading.columns import QuantityColumn
from meshcore.reading.refusals import about
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.heading_units import split_unit
from meshcore.reading.tables.heading_words import folded, folded_words


def hold_thicknesses(cells: Cells, wire: QuantityColumn) -> None:
    """Refuse wires under a heading that may be the thickness of the cloth."""
    heading = cells.headings.column.get("wire_diameter", "")
    if split_unit(heading)[0] not in folded_words("heading_thickness"):
        return
    for row in np.flatnonzero(~np.isnan(wire.values)).tolist():
        thick = wire.values[row] * 1e3
        said = (
            f'stands under "{heading}": the thickness of the wire, {thick:.4g} mm, or that of the '
            f"cloth, of two wires of {thick / 2:.4g} mm. Write the wire under a heading of its own."
        )
        message = Message("wire_diameter", str(wire.texts[row]), said, code="wire.or_cloth_thick")
        cells.log.add([row], message)


def hold_pitches(cells: Cells, pitch: QuantityColumn) -> None:
    """Put to review pitches that stand under a t alone, where no wire tells whether they are."""
    heading = cells.headings.column.get("pitch", "")
    if split_unit(heading)[0] != "t" or "wire_diameter" in cells.headings.column:
        return
    for row in np.flatnonzero(~np.isnan(pitch.values)).tolist():
        said = f'stands under "{heading}": taken as the pitch, aperture and wire together.'
        message = Message("pitch", str(pitch.texts[row]), said, "review", code="pitch.headed_t")
        cells.log.add([row], message)


def hold_running_lengths(cells: Cells, length: QuantityColumn, quantity: FloatArray) -> None:
    """Refuse running metres beside a number of things: of each, or of all together."""
    heading = cells.headings.column.get("length", "")
    if folded(heading) not in folded_words("heading_running"):
        return
    with np.errstate(invalid="ignore"):
        several = (quantity > 1) & ~np.isnan(length.values)
    for row in np.flatnonzero(several).tolist():
        text = str(length.texts[row])
        why = count_refusals.each_or_in_all(f"{length.values[row]:.6g} m")
        cells.log.add([row], about(why, "length", text))
