from __future__ import annotations

import dataclasses
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.arrays import FloatArray
from meshcore.enquiry import PIECE, ROLL, STRIP
from meshcore.messages import MessageLog
from meshcore.supply.consumption import consume
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.policy import SupplyPolicy, default_supply_policy

POLICY = default_supply_policy()
INCH, FOOT = 0.0254, 0.3048


def forms(form: int, width: float, length: float, quantity: float, count: int = 1) -> FormColumns:
    def column(value: float) -> FloatArray:
        return np.full(count, value)

    return FormColumns(
        form=np.full(count, form),
        width_m=column(width),
        length_m=column(length),
        quantity=column(quantity),
        piece_area_m2=column(width * length),
        piece_cut_m=column(2 * (width + length)),
        item=np.arange(count),
        width_texts=np.array([f"{width} m"] * count, dtype=object),
        length_texts=np.array([f"{length} m"] * count, dtype=object),
    )


def consumed(form: int, width: float, length: float, quantity: float) -> SupplyColumns:
    return consume(forms(form, width, length, quantity), POLICY, MessageLog(1))


def test_full_rolls_of_a_stock_width_consume_what_they_deliver() -> None:
    found = consumed(ROLL, 48 * INCH, 100 * FOOT, 3)
    assert found.gross_area_m2[0] == pytest.approx(3 * 48 * INCH * 100 * FOOT)
    assert found.net_area_m2[0] == found.gross_area_m2[0]
    assert (found.roll_count[0], found.part_roll_count[0], found.cut_count[0]) == (3, 0, 0)


@pytest.mark.parametrize(("width", "stock"), [(1.219, 48), (1.2, 48), (0.914, 36), (1.19, 60)])
def test_a_width_within_tolerance_is_delivered_as_woven(width: float, stock: int) -> None:
    """Widths come out 0 to 2 % over: 48 in cloth, 1219.2 mm, serves from 1195.3 mm."""
    found = consumed(ROLL, width, 100 * FOOT, 1)
    as_woven = stock * INCH <= width * 1.02
    assert found.stock_width_m[0] == pytest.approx((stock if as_woven else 48) * INCH)
    assert (found.cut_length_m[0] == 0) == as_woven


def test_a_width_missed_by_a_hair_is_said() -> None:
    log = MessageLog(1)
    consume(forms(ROLL, 1.220, 100 * FOOT, 1), POLICY, log)
    assert "1219.2 mm is 0.8 mm too narrow" in log.by_line()[0][0].text


def test_an_odd_width_is_trimmed_from_the_next_stock_width() -> None:
    found = consumed(ROLL, 1.0, 100 * FOOT, 1)
    assert found.stock_width_m[0] == pytest.approx(48 * INCH)
    assert found.net_area_m2[0] == pytest.approx(1.0 * 100 * FOOT)
    assert found.cut_length_m[0] == pytest.approx(100 * FOOT)


@pytest.mark.parametrize(
    ("feet", "rolls", "parts"),
    [
        (41, 1, 0),
        (49, 1, 0),
        (30, 1, 1),
        (200, 2, 0),
        (130, 2, 1),
        (149, 2, 0),
        (102, 1, 0),
        (60, 1, 1),
    ],
)
def test_full_half_and_part_rolls(feet: int, rolls: int, parts: int) -> None:
    found = consumed(ROLL, 48 * INCH, feet * FOOT, 1)
    assert (found.roll_count[0], found.part_roll_count[0]) == (rolls, parts)


def test_strips_lie_side_by_side_in_whole_rows() -> None:
    # Across 36 in less two trims of 5 mm lie 18 strips of 50 mm; 20 strips want two rows.
    # Across 48 in lie 24, so one row of the wider cloth takes less.
    found = consumed(STRIP, 0.05, 10.0, 20)
    assert found.stock_width_m[0] == pytest.approx(48 * INCH)
    assert found.run_length_m[0] == pytest.approx(10.0)
    assert found.gross_area_m2[0] == pytest.approx(48 * INCH * 10.0)


def test_pieces_turn_where_that_saves_cloth() -> None:
    # 0.9 m by 0.2 m: upright one lies across 36 in; turned, four lie across and a row is 0.9 m.
    upright_row, turned_row = 0.2 + POLICY.spacing_m, 0.9 + POLICY.spacing_m
    found = consumed(PIECE, 0.9, 0.2, 4)
    assert found.run_length_m[0] == pytest.approx(min(4 * upright_row, turned_row))


@pytest.mark.parametrize(
    ("form", "width", "length"),
    [(ROLL, 2.0, 10.0), (STRIP, 2.0, 10.0), (PIECE, 2.0, 40.0), (STRIP, 0.1, 31.0)],
)
def test_what_no_stock_can_serve_is_refused(form: int, width: float, length: float) -> None:
    log = MessageLog(1)
    consume(forms(form, width, length, 1), POLICY, log)
    assert log.status().tolist() == ["refused"]


@pytest.mark.parametrize(
    ("policy", "feet", "bought", "parts"),
    [
        (replace(POLICY, part_rolls=False), 30, 41, 0),
        (replace(POLICY, part_rolls=False), 60, 82, 0),
        (replace(POLICY, part_roll_charge_m=5.0), 35, 41, 0),
        (replace(POLICY, part_roll_charge_m=5.0), 20, 20, 1),
        (POLICY, 35, 35, 1),
        (POLICY, 40, 40, 0),
        (POLICY, 95, 95, 0),
    ],
)
def test_a_length_is_met_by_the_cheapest_mix(
    policy: SupplyPolicy, feet: int, bought: int, parts: int
) -> None:
    """Full 100 ft, halves of 49 and 41 ft, each ±10 %: 95 ft is a full roll, 40 ft a half."""
    log = MessageLog(1)
    found = consume(forms(ROLL, 48 * INCH, feet * FOOT, 2), policy, log)
    assert found.run_length_m[0] == pytest.approx(2 * bought * FOOT)
    assert found.net_area_m2[0] == pytest.approx(2 * 48 * INCH * feet * FOOT)
    assert found.part_roll_count[0] == 2 * parts
    notes = [m for said in log.by_line().values() for m in said]
    assert len(notes) == (bought > feet)
    assert all("cheapest rolls" in note.text for note in notes)


def test_a_trimmed_roll_loses_its_edges() -> None:
    """35.2 in fits into 36 in, but not once both edges are trimmed by 20 mm."""
    policy = replace(POLICY, edge_trim_m=0.02)
    found = consume(forms(ROLL, 35.2 * INCH, 100 * FOOT, 1), policy, MessageLog(1))
    assert found.stock_width_m[0] == pytest.approx(48 * INCH)


@given(
    st.sampled_from([ROLL, STRIP, PIECE]),
    st.floats(0.01, 1.8),
    st.floats(0.01, 1.8),
    st.integers(1, 500),
)
def test_never_delivers_more_than_it_consumes(
    form: int, width: float, length: float, quantity: int
) -> None:
    found = consumed(form, width, length, quantity)
    assert found.net_area_m2[0] <= found.gross_area_m2[0] * (1 + 1e-9)


def test_mixed_forms_equal_each_form_alone() -> None:
    alone = [forms(ROLL, 1.0, 30.0, 2), forms(STRIP, 0.05, 10.0, 20), forms(PIECE, 0.3, 0.2, 7)]
    names = FormColumns.__slots__
    mixed = FormColumns(**{n: np.concatenate([getattr(f, n) for f in alone]) for n in names})
    mixed = dataclasses.replace(mixed, item=np.arange(3))
    together = consume(mixed, POLICY, MessageLog(3))
    for row, single in enumerate(alone):
        apart = consume(single, POLICY, MessageLog(1))
        for name in SupplyColumns.__slots__:
            assert getattr(together, name)[row] == getattr(apart, name)[0], name
