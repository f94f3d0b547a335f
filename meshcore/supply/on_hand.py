"""Cloth on hand: which lines are taken from stock, and so need no warp set up for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.reading.entries import Entries
from meshcore.reading.texts import POINT, read_text
from meshcore.rounding import SLACK
from meshcore.supply.together import CLOTH_DECIMALS
from meshcore.weave.cloth import WEAVES, ClothColumns

if TYPE_CHECKING:
    from meshcore.messages import Message


@dataclass(frozen=True, slots=True)
class StockCloth:
    """Cloth on hand.

    Parameters
    ----------
    pitch_m, wire_diameter_m, weave, alloy
        Which cloth it is [m]; the weave's name, and the alloy's designation.
    width_m, length_m
        Its stock width, and the length on hand [m].
    """

    pitch_m: float
    wire_diameter_m: float
    weave: str
    alloy: str
    width_m: float
    length_m: float


def read_on_hand(data: Mapping[str, Any], entries: Entries) -> tuple[StockCloth, ...]:
    """Read the ``[[stock]]`` entries of a supply policy; what is wrong goes to `entries`."""
    rows = data.get("stock", [])
    if not isinstance(rows, list):
        entries.wrong.append("stock: a list of tables is due, [[stock]].")
        return ()
    return tuple(_entry(row, f"stock[{n}]", entries) for n, row in enumerate(rows, 1))


def _entry(row: Mapping[str, Any], where: str, entries: Entries) -> StockCloth:
    width, length = (
        entries.read(f"{where}.{name}", row.get(name, ""), "length", True)
        for name in ("width", "length")
    )
    pitch, wire, weave, alloy = cloth_entry(row, where, entries)
    return StockCloth(pitch, wire, weave, alloy, width, length)


def cloth_entry(
    row: Mapping[str, Any], where: str, entries: Entries
) -> tuple[float, float, str, str]:
    """Read which cloth an entry is of: pitch and wire [m], weave and alloy by their names."""
    from meshcore.alloys.records.registry import installed_registry, resolve  # noqa: PLC0415 - loads every plugin

    wire = entries.read(f"{where}.wire_diameter", row.get("wire_diameter", ""), "length", True)
    if "pitch" in row:
        pitch = entries.read(f"{where}.pitch", row["pitch"], "length", True)
    else:
        count = read_text(str(row.get("mesh_count", "")), "count", f"{where}.mesh_count",
                          hints=POINT)  # fmt: skip
        pitch = np.nan if _wrong(count, entries) else 1.0 / count.value  # type: ignore[union-attr]
    weave = str(row.get("weave", WEAVES[0])).casefold()
    if weave not in WEAVES:
        entries.wrong.append(f"{where}.weave: read {weave!r}; one of {', '.join(WEAVES)} is due.")
    registry, text = installed_registry(), str(row.get("alloy", ""))
    found = resolve(registry, text)
    if not isinstance(found, int):
        entries.wrong.append(f"{where}.alloy: read {text!r}; no installed plugin knows it.")
        designation = text
    else:
        designation = registry.alloys[found].designation
    return float(pitch), wire, weave, designation


def _wrong(reading: object, entries: Entries) -> bool:
    if hasattr(reading, "value"):
        return False
    message: Message = reading  # type: ignore[assignment]
    entries.wrong.append(str(message))
    return True


def on_hand_of(stock: Sequence[StockCloth], cloth: ClothColumns) -> list[BoolArray]:
    """Return for each entry the lines whose cloth it is."""
    return [
        (np.round(cloth.pitch_m, CLOTH_DECIMALS) == round(one.pitch_m, CLOTH_DECIMALS))
        & (np.round(cloth.wire_diameter_m, CLOTH_DECIMALS) == round(one.wire_diameter_m, 9))
        & (cloth.weave == WEAVES.index(one.weave))
        & np.isin(
            cloth.alloy, [n for n, a in enumerate(cloth.alloys) if a.designation == one.alloy]
        )
        for one in stock
    ]


def taken_from_stock(
    stock: Sequence[StockCloth],
    cloth: ClothColumns,
    width_m: FloatArray,
    run_m: FloatArray,
    standing: BoolArray,
) -> BoolArray:
    """Return the lines that are taken from stock, in the order of the list as long as it lasts.

    Parameters
    ----------
    stock
        Cloth on hand.
    cloth, width_m, run_m
        Of each line: its cloth, the stock width it is cut from, and the length of it [m].
    standing
        Lines that may take any.

    Notes
    -----
    A line is taken whole or not at all: cloth of two warps may differ in shade and in count.
    """
    taken = np.zeros(len(width_m), dtype=np.bool_)
    for one, same in zip(stock, on_hand_of(stock, cloth), strict=True):
        fits = same & standing & ~taken & (np.abs(width_m - one.width_m) < 10.0**-CLOTH_DECIMALS)
        left = one.length_m
        for row in np.flatnonzero(fits).tolist():
            if run_m[row] <= left * (1.0 + SLACK):
                taken[row] = True
                left -= float(run_m[row])
    return taken


def stocked_widths(
    stock: Sequence[StockCloth], cloth: ClothColumns, widths_m: Sequence[float]
) -> IntArray:
    """Return the number of the stock width that each line's cloth is on hand in; -1 for none."""
    numbers = np.full(len(cloth.pitch_m), -1, dtype=np.int64)
    for one, same in zip(stock, on_hand_of(stock, cloth), strict=True):
        near = np.abs(np.array(widths_m) - one.width_m) < 10.0**-CLOTH_DECIMALS
        if near.any():
            numbers[same & (numbers < 0)] = int(np.argmax(near))
    return numbers


def numbers_of(width_m: FloatArray, widths_m: Sequence[float]) -> IntArray:
    """Return the number of each line's stock width; -1 where it has none.

    Examples
    --------
    >>> numbers_of(np.array([1.5, np.nan]), (1.0, 1.5)).tolist()
    [1, -1]
    """
    apart = np.abs(width_m[:, np.newaxis] - np.array(widths_m))
    numbers: IntArray = np.where(np.isnan(width_m), -1, np.argmin(apart, axis=1))
    return numbers
