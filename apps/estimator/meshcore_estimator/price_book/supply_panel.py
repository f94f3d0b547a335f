"""The supply policy as a table."""

from __future__ import annotations

import streamlit as st

from meshcore.supply.policy import SupplyPolicy, Tolerance
from meshcore_estimator.shared.numbers import converted, size
from meshcore_estimator.shared.parts import Cell, lines, soft, table

#: Lengths beyond this are roll lengths, not widths [ft].
_IN_FEET_ABOVE_FT = 30.0


def draw(policy: SupplyPolicy) -> None:
    """Draw what a mill stocks, and how far a delivery may be off."""
    st.header("Supply policy", anchor=False)
    rows: list[tuple[Cell, ...]] = [
        ("Stock widths", _lengths(policy.widths_m)),
        ("Full roll", _lengths((policy.full_length_m,))),
        ("Half rolls", _lengths(policy.half_lengths_m)),
        ("Other lengths", "supplied, as part rolls" if policy.part_rolls else "not supplied"),
        *(
            (f"Tolerance of {name}", _tolerance(held))
            for name, held in (
                ("rolls", policy.rolls), ("strips", policy.strips), ("pieces", policy.pieces)
            )
        ),
        ("Strips longer than a roll", "joined" if policy.join_beyond_roll else "not joined"),
        ("Trim at each edge", _length(policy.edge_trim_m)),
        ("Lost by each slit", _length(policy.kerf_m)),
        ("Between pieces", _length(policy.spacing_m)),
    ]  # fmt: skip
    st.html(f'<div class="mc-soft">{lines(f"{policy.name}, {policy.date.isoformat()}").html}: '
            f"{lines(policy.note).html}</div>")  # fmt: skip
    st.html(table((), rows))


def _lengths(metres: tuple[float, ...]) -> Cell:
    return lines(*map(_length, metres)) if metres else soft("none")


def _length(metres: float) -> str:
    """Write a length as the trade does: long ones in metres and feet, the rest in mm and inches."""
    if converted(metres, "m", "ft") > _IN_FEET_ABOVE_FT:
        return f"{size(metres, 'm')} ({size(converted(metres, 'm', 'ft'), 'ft')})"
    millimetres, inches = converted(metres, "m", "mm"), converted(metres, "m", "inch")
    return f"{size(millimetres, 'mm', 5)} ({size(inches, 'in')})"


def _tolerance(held: Tolerance) -> Cell:
    return lines(
        f"length {_between(held.length_under, held.length_over)}",
        f"width {_between(held.width_under, held.width_over)}",
    )


def _between(under: float, over: float) -> str:
    below, above = (size(converted(share, "", "percent"), "%") for share in (under, over))
    return f"{'−' if under else ''}{below} to {'+' if over else ''}{above}"
