"""Cloth consumed by rolls, strips and pieces: whole-roll-width arithmetic."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import PIECE, ROLL, STRIP
from meshcore.messages import MessageLog
from meshcore.rounding import SLACK
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.policy import SupplyPolicy, Tolerance
from meshcore.supply.roll_lengths import roll_lengths
from meshcore.supply.rolls import cheapest_width
from meshcore.supply.together import group_sums
from meshcore.supply.unserved import note_near_widths, refuse_large, refuse_long, refuse_wide


def consume(
    forms: FormColumns,
    policy: SupplyPolicy,
    log: MessageLog,
    stock: IntArray | None = None,
    piece_runs_m: FloatArray | None = None,
) -> SupplyColumns:
    """Work out the cloth that each line consumes.

    Parameters
    ----------
    forms
        What is to be delivered.
    policy
        Stock widths, roll lengths, trims and tolerances.
    log
        Receives a refusal for each line that no stock cloth can serve.
    stock
        Number of the stock width that a line is to be cut from, where it holds it; -1, or None
        for all, is the one that takes the least area.
    piece_runs_m
        Length that all pieces of a line's item take on each stock width where they are laid closer
        than in rows of boxes [m], one column a width; NaN where they are not.

    Returns
    -------
    Columns; NaN where the line cannot be served.

    Notes
    -----
    A roll is cut from the cheapest stock width that holds it, and from the cheapest mix of full,
    half and part rolls. Strips and pieces are laid side by
    side across the stock width that consumes the least area, in whole rows; pieces may turn by
    90°, which leaves square mesh as it is.
    """
    is_roll = forms.form == ROLL
    wanted = np.full(len(is_roll), -1) if stock is None else stock
    if is_roll.all():
        return _rolls(wanted, forms, policy, log, is_roll)
    parts: list[tuple[BoolArray, Callable[..., SupplyColumns]]] = [
        (is_roll, partial(_rolls, wanted)),
        (forms.form == STRIP, partial(_strips, wanted)),
        (forms.form == PIECE, partial(_pieces, wanted, piece_runs_m)),
    ]
    columns = {name: np.full(len(is_roll), np.nan) for name in SupplyColumns.__slots__}
    for mask, work in parts:
        if mask.any():
            supply = work(forms, policy, log, mask)
            for name, column in columns.items():
                np.copyto(column, getattr(supply, name), where=mask)
    return SupplyColumns(**columns)


def _rolls(
    wanted: IntArray, forms: FormColumns, policy: SupplyPolicy, log: MessageLog, mask: BoolArray
) -> SupplyColumns:
    widths = np.array(policy.widths_m)
    over = policy.rolls.width_over
    place = cheapest_width(forms.width_m, widths, widths, policy.edge_trim_m, over)
    wider = np.maximum(wanted, 0)
    trims = forms.width_m + 2.0 * policy.edge_trim_m
    from_wider = (wanted >= 0) & (place >= 0) & (widths[wider] >= trims * (1.0 - SLACK))
    place = np.where(from_wider, wanted, place)
    too_wide = mask & (place < 0) & ~np.isnan(forms.width_m)
    refuse_wide(forms, policy, log, too_wide)
    stock = np.where(place < 0, np.nan, widths[place])
    each, full, has_rest, is_part = roll_lengths(
        forms.length_m, forms.length_texts, policy, log, mask
    )
    run = each * forms.quantity
    trimmed = stock > forms.width_m * (1.0 + over + SLACK)
    note_near_widths(forms, widths, stock, mask & trimmed, log)
    tolerance = policy.rolls
    return SupplyColumns(
        stock_width_m=stock,
        run_length_m=run,
        net_area_m2=forms.width_m * forms.length_m * forms.quantity,
        gross_area_m2=stock * run,
        cut_length_m=np.where(trimmed, run, 0.0) + np.where(has_rest, stock * forms.quantity, 0.0),
        cut_count=(trimmed + has_rest.astype(np.float64)) * forms.quantity,
        roll_count=(full + has_rest) * forms.quantity,
        part_roll_count=is_part * forms.quantity,
        offcut_credit=np.broadcast_to(0.0, run.shape),
        **_ratios(tolerance, len(run)),
    )


def _ratios(tolerance: Tolerance, lines: int) -> dict[str, FloatArray]:
    return {
        "length_low": np.full(lines, 1.0 - tolerance.length_under),
        "length_high": np.full(lines, 1.0 + tolerance.length_over),
        "width_low": np.full(lines, 1.0 - tolerance.width_under),
        "width_high": np.full(lines, 1.0 + tolerance.width_over),
    }


def _strips(
    wanted: IntArray, forms: FormColumns, policy: SupplyPolicy, log: MessageLog, mask: BoolArray
) -> SupplyColumns:
    pooled, share = _pooled(forms)
    across = _across(forms.width_m, policy.kerf_m, policy)
    place = _chosen(_rows(pooled, across), wanted, policy)
    refuse_wide(forms, policy, log, mask & (place < 0))
    too_long = mask & (forms.length_m > policy.full_length_m * (1.0 + SLACK))
    if not policy.join_beyond_roll:
        refuse_long(forms, policy, log, too_long)
    stock = _widths(place, policy)
    rows = np.ceil(pooled / _at(across, place))
    run = rows * forms.length_m
    return SupplyColumns(
        stock_width_m=stock,
        run_length_m=run * share,
        net_area_m2=forms.width_m * forms.length_m * forms.quantity,
        gross_area_m2=stock * run * share,
        cut_length_m=((pooled + rows) * forms.length_m + rows * stock) * share,
        cut_count=(pooled + 2.0 * rows) * share,
        **_source_rolls(run, policy, share),
        offcut_credit=np.broadcast_to(0.0, run.shape),
        **_ratios(policy.strips, len(run)),
    )


def _pieces(
    wanted: IntArray,
    closer_m: FloatArray | None,
    forms: FormColumns,
    policy: SupplyPolicy,
    log: MessageLog,
    mask: BoolArray,
) -> SupplyColumns:
    pooled, share = _pooled(forms)
    runs = box_runs(forms, pooled, policy)
    if closer_m is not None:
        runs = np.fmin(runs, closer_m)
    place = _chosen(runs, wanted, policy)
    stock, run = _widths(place, policy), _at(runs, place)
    run[np.isnan(forms.quantity)] = np.nan
    sized = mask & ~np.isnan(forms.width_m) & ~np.isnan(forms.length_m)
    refuse_large(forms, policy, log, sized & (place < 0))
    return SupplyColumns(
        stock_width_m=stock,
        run_length_m=run * share,
        net_area_m2=forms.piece_area_m2 * forms.quantity,
        gross_area_m2=stock * run * share,
        cut_length_m=forms.piece_cut_m * forms.quantity,
        cut_count=forms.quantity,
        **_source_rolls(run, policy, share),
        offcut_credit=np.broadcast_to(0.0, run.shape),
        **_ratios(policy.pieces, len(run)),
    )


def box_runs(forms: FormColumns, pooled: FloatArray, policy: SupplyPolicy) -> FloatArray:
    """Length that pieces take in rows of boxes, the better way round, on each stock width [m]."""
    gap, ways = policy.spacing_m, []
    for across_m, along_m in (
        (forms.width_m, forms.length_m),
        (forms.length_m, forms.width_m),
    ):
        rows = _rows(pooled, _across(across_m, gap, policy))
        fits = along_m <= policy.full_length_m * (1.0 + SLACK)
        ways.append(np.where(fits[:, np.newaxis], rows * (along_m + gap)[:, np.newaxis], np.nan))
    return np.fmin(*ways)


def _across(width_m: FloatArray, gap_m: float, policy: SupplyPolicy) -> FloatArray:
    """How many lie side by side on each stock width, one column a width; NaN where none does."""
    usable = np.array(policy.widths_m) - 2.0 * policy.edge_trim_m
    across = np.floor((usable + gap_m) / (width_m + gap_m)[:, np.newaxis] + SLACK)
    return np.where(across > 0, across, np.nan)


def _rows(pooled: FloatArray, across: FloatArray) -> FloatArray:
    # Whether it fits across does not hang on the quantity, which may still be open.
    rows: FloatArray = np.ceil(np.where(np.isnan(pooled), 1.0, pooled)[:, np.newaxis] / across)
    return rows


def _chosen(runs: FloatArray, wanted: IntArray, policy: SupplyPolicy) -> IntArray:
    """Choose the stock width wanted, where it serves, or that of the least area."""
    area = np.where(np.isnan(runs), np.inf, runs * np.array(policy.widths_m))
    # Of equals to the last bits of a float, the narrowest.
    near = area <= area.min(axis=1, keepdims=True) * (1.0 + SLACK)
    least = np.argmax(near, axis=1)
    held = np.maximum(wanted, 0)
    serves = (wanted >= 0) & np.isfinite(_at(area, held))
    place: IntArray = np.where(serves, held, least)
    return np.where(np.isfinite(area).any(axis=1), place, -1)


def _at(columns: FloatArray, place: IntArray) -> FloatArray:
    """Value at each line's place; NaN where it has none."""
    found = columns[np.arange(len(place)), np.maximum(place, 0)]
    return np.where(place < 0, np.nan, found)


def _widths(place: IntArray, policy: SupplyPolicy) -> FloatArray:
    return np.where(place < 0, np.nan, np.array(policy.widths_m)[place])


def _pooled(forms: FormColumns) -> tuple[FloatArray, FloatArray]:
    """Quantity of each line's item, over all its lines, and the line's share of it."""
    pooled = group_sums(forms.quantity, forms.item)
    share = np.ones(len(pooled)) if pooled is forms.quantity else forms.quantity / pooled
    return pooled, share


def _source_rolls(
    run_m: FloatArray, policy: SupplyPolicy, share: FloatArray
) -> dict[str, FloatArray]:
    full = np.floor(run_m / policy.full_length_m + SLACK)
    part = (run_m - full * policy.full_length_m > policy.full_length_m * SLACK).astype(float)
    return {"roll_count": (full + part) * share, "part_roll_count": part * share}
