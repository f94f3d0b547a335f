"""The nearest specifications that can be woven, priced for the order of a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry
from meshcore.costing.set_prices import without_amounts
from meshcore.enquiry import WEAVES
from meshcore.estimates.lines import line_of
from meshcore.estimates.pipeline import priced_as
from meshcore.estimates.preparing import read_lines
from meshcore.estimates.results import Estimate, EstimateSet
from meshcore.messages import Message, MessageLog
from meshcore.reading.sizes.gauge_texts import other_systems
from meshcore.reading.sizes.typed_units import unit_typed
from meshcore.reading.tables.headings import with_fields
from meshcore.reading.texts import is_blank, read_text
from meshcore.weave.cloth import ClothColumns, take_cloth
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, weave_rules
from meshcore.weave.search.alternatives import Alternatives, find_alternatives
from meshcore.weave.search.meant import Meaning, meanings

if TYPE_CHECKING:
    import pandas as pd


def nearest_weavable(
    estimates: EstimateSet | Estimate, row: int = 0, hold: Sequence[str] = (), count: int = 8
) -> Alternatives:
    """Find what can be woven instead of a line, and what each costs for the same order.

    Parameters
    ----------
    estimates
        The estimates that hold the line, or the line itself.
    row
        Place of the line, from 0.
    hold
        Properties that must hold, of ``meshcore.weave.search.alternatives.PROPERTIES``.
    count
        Offers wanted.

    Returns
    -------
    The offers, nearest first, with prices where the line's order can be priced.

    Examples
    --------
    >>> import meshcore as mc
    >>> jammed = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.08 in", alloy="304",
    ...                                 form=mc.Roll("48 in", "100 ft")))
    >>> offers = nearest_weavable(jammed, hold=["wire_diameter"], count=3)
    >>> len(offers), bool((offers.price > 0).all())
    (3, True)
    """
    held, line = line_of(estimates, row)
    sizes, meant = _typed(held, line)
    offered = find_alternatives(
        _with_typed(take_cloth(held.orders.cloth, np.array([line])), sizes),
        0,
        weave_rules(plugins.installed()),
        hold=hold,
        count=count,
        typed=tuple("mesh_count" if name == "pitch" else name for name in sizes),
        meant=meant,
        on_hand=_on_hand(held, line),
        weave_named=_names_weave(held, line),
    )
    if not len(offered):
        return offered
    lines = offer_lines(held, line, offered)
    priced = priced_as(held, lines)
    stopped = priced.log.refused()
    return offered.priced(lambda _: np.where(stopped, np.nan, priced.ledger.price))


def _names_weave(held: EstimateSet, line: int) -> bool:
    column = held.headings.column.get("weave", "weave")
    table = held.enquiries
    return column in table and not is_blank(str(table[column].iloc[line]))


def _typed(held: EstimateSet, line: int) -> tuple[dict[str, float], list[Meaning]]:
    """Return the sizes of a line as typed, and what else they may have meant if it cannot be."""
    table = held.enquiries.iloc[[line]].reset_index(drop=True)
    read = read_lines(table, installed_registry(), held.policy, MessageLog(1))
    typed = {name: c for name, c in read.readings.items() if np.isfinite(c.values[0])}
    sizes = {name: float(column.values[0]) for name, column in typed.items()}
    if held.practicality.verdict[line] == CAN_BE_WOVEN:
        return sizes, []
    texts = {
        name: f"{column.texts[0]} {held.headings.unit.get(name, '')}".strip()
        for name, column in typed.items()
    }
    said, wire = dict(sizes), _wire_text(held, line)
    if "wire_diameter" not in sizes and not isinstance(
        length := read_text(wire, "length", ""), Message
    ):
        # No wire can be so fine or so heavy, but the number may be right in another unit.
        said["wire_diameter"], texts["wire_diameter"] = length.value, wire
    units = {name: unit for name, text in texts.items() if (unit := unit_typed(text, name))}
    return sizes, list(meanings(said, units, other_systems(wire)))


def _wire_text(held: EstimateSet, line: int) -> str:
    """Return the wire of a line as typed, though it may not have been read."""
    column = held.headings.column.get("wire_diameter", "wire_diameter")
    typed = str(held.enquiries[column].iloc[line]) if column in held.enquiries else ""
    return f"{typed} {held.headings.unit.get('wire_diameter', '')}".strip()


def _on_hand(held: EstimateSet, line: int) -> list[tuple[int, float, float]]:
    """Weave, wire and pitch of the cloth on hand in a line's alloy."""
    cloth = held.orders.cloth
    alloy = int(cloth.alloy[line])
    name = cloth.alloys[alloy].designation if alloy >= 0 else ""
    return [
        (WEAVES.index(one.weave), one.wire_diameter_m, one.pitch_m)
        for one in held.policy.on_hand
        if one.alloy == name
    ]


def _with_typed(cloth: ClothColumns, sizes: Mapping[str, float]) -> ClothColumns:
    """Return cloth of one line, of sizes that make none, those typed in place of nothing."""
    if np.isfinite(cloth.pitch_m[0]):
        return cloth
    pitch = sizes.get("pitch", 1.0 / sizes["mesh_count"] if "mesh_count" in sizes else np.nan)
    return replace(
        cloth,
        pitch_m=np.array([pitch]),
        wire_diameter_m=np.array([sizes.get("wire_diameter", np.nan)]),
        aperture_m=np.array([sizes.get("aperture", np.nan)]),
        open_area=np.array([sizes.get("open_area", np.nan)]),
    )


def offer_lines(estimates: EstimateSet, row: int, offered: Alternatives) -> pd.DataFrame:
    """Return the line as it came, then the line with each offer in place of its specification."""
    line = without_amounts(estimates.enquiries.iloc[[row]].astype(object))
    lines = line.loc[line.index.repeat(len(offered) + 1)].reset_index(drop=True)
    cells = [offered.cells(rank) for rank in range(len(offered))]
    lines = with_fields(lines, [name for one in cells for name in one])
    for rank, one in enumerate(cells):
        for name, cell in one.items():
            lines.loc[rank + 1, estimates.headings.column.get(name, name)] = cell
    return lines
