"""Lines that no stock cloth serves, and those that one misses by a hair: what is said of them."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.messages import AlikeMessages, Message, MessageLog
from meshcore.supply.forms import FormColumns
from meshcore.supply.policy import SupplyPolicy
from meshcore.units import METRES_PER_FOOT, METRES_PER_INCH

#: A stock width that misses what was asked for by no more than this share is worth a word: 1220 mm
#: asked for, 1219.2 mm woven. A judgement, no source.
NEAR_MISS = 0.002
_NEAR = (
    "cut from {stock_mm:.1f} mm cloth, because {near_mm:.1f} mm is {short_mm:.1f} mm too narrow. "
    "Ask whether that width will do."
)


def note_near_widths(
    forms: FormColumns, widths: FloatArray, stock: FloatArray, trimmed: BoolArray, log: MessageLog
) -> None:
    """Say where cloth is trimmed from a wider stock though a stock width misses by a hair."""
    asked = forms.width_m
    ascending = np.sort(widths)
    place = np.searchsorted(ascending, asked * (1.0 - NEAR_MISS))
    near = np.r_[ascending, np.inf][place]
    rows = np.flatnonzero(trimmed & (near < asked))
    figures = {
        "stock_mm": stock[rows] * 1e3,
        "near_mm": near[rows] * 1e3,
        "short_mm": (asked[rows] - near[rows]) * 1e3,
    }
    log.add_each(
        rows,
        AlikeMessages("width", forms.width_texts[rows], _NEAR, figures, "note",
                      "supply.width_near_stock"),
    )  # fmt: skip


def refuse_wide(forms: FormColumns, policy: SupplyPolicy, log: MessageLog, mask: BoolArray) -> None:
    """Refuse lines wider than the widest cloth."""
    widest = policy.widths_m[-1]
    mend = (
        f"wider than the widest cloth stocked can give, {widest * 1e3:.1f} mm as woven "
        f"({widest / METRES_PER_INCH:g} in). Ask for that width or less, or for joined panels."
    )
    rows = np.flatnonzero(mask & ~np.isnan(forms.width_m))
    log.add_each(
        rows,
        [Message("width", str(forms.width_texts[r]), mend, code="supply.too_wide") for r in rows],
    )


def refuse_long(forms: FormColumns, policy: SupplyPolicy, log: MessageLog, mask: BoolArray) -> None:
    """Refuse strips longer than a full roll."""
    mend = (
        f"longer than a full roll, {policy.full_length_m:.2f} m "
        f"({policy.full_length_m / METRES_PER_FOOT:g} ft), and the supply policy joins no "
        "strips. Ask for that length or less."
    )
    rows = np.flatnonzero(mask)
    log.add_each(
        rows,
        [Message("length", str(forms.length_texts[r]), mend, code="supply.too_long") for r in rows],
    )


def refuse_large(
    forms: FormColumns, policy: SupplyPolicy, log: MessageLog, mask: BoolArray
) -> None:
    """Refuse pieces that no cloth holds."""
    usable = policy.widths_m[-1] - 2.0 * policy.edge_trim_m
    rows = np.flatnonzero(mask)
    log.add_each(
        rows,
        [
            Message(
                "dimensions",
                f"{forms.width_m[r] * 1e3:g} mm x {forms.length_m[r] * 1e3:g} mm",
                f"larger than any stock cloth, {usable * 1e3:.1f} mm usable across and "
                f"{policy.full_length_m:.2f} m long. Ask for smaller pieces to be joined.",
                code="supply.piece_too_large",
            )
            for r in rows
        ],
    )
