"""Cloth, cuts and rolls of rolls, strips and pieces, each worked by hand in round numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from meshcore.enquiry import PIECE, ROLL, STRIP
from meshcore.messages import MessageLog
from meshcore.supply.consumption import consume
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.offcuts import KeepTerms, Offcut, credited_share, worth_keeping
from meshcore.supply.policy import SupplyPolicy, Tolerance, default_supply_policy
from meshcore.supply.rolls import RollTerms, cheapest_mix, cheapest_width, roll_terms

#: 1 m cloth in rolls of 30 m; 980 mm of it between the trimmed edges.
MILL = replace(
    default_supply_policy(),
    widths_m=(1.0,),
    full_length_m=30.0,
    half_lengths_m=(15.0, 12.0),
    part_rolls=True,
    part_roll_charge_m=0.0,
    rolls=Tolerance(0.10, 0.10, 0.0, 0.02),
    strips=Tolerance(0.01, 0.03, 0.02, 0.04),
    edge_trim_m=0.010,
    kerf_m=0.002,
    spacing_m=0.005,
)
BOTH = replace(MILL, widths_m=(1.0, 2.0))


def asked(
    form: int, width: float, length: float, quantity: int, policy: SupplyPolicy = MILL
) -> tuple[SupplyColumns, list[str]]:
    """Supply of one line, and what is said about it."""
    log = MessageLog(1)
    columns = FormColumns(
        form=np.array([form]),
        width_m=np.array([width]),
        length_m=np.array([length]),
        quantity=np.array([float(quantity)]),
        piece_area_m2=np.array([width * length]),
        piece_cut_m=np.array([2 * (width + length)]),
        item=np.array([0]),
        width_texts=np.array([f"{width} m"], dtype=object),
        length_texts=np.array([f"{length} m"], dtype=object),
    )
    supply = consume(columns, policy, log)
    return supply, [message.text for said in log.by_line().values() for message in said]


def numbers(supply: SupplyColumns) -> dict[str, float]:
    return {name: float(getattr(supply, name)[0]) for name in SupplyColumns.__slots__}


@pytest.mark.parametrize(
    ("quantity", "rows", "rolls", "parts"),
    [(1, 1, 1, 1), (9, 1, 1, 1), (10, 2, 1, 1), (27, 3, 1, 0), (28, 4, 2, 1), (54, 6, 2, 0)],
)
def test_strips(quantity: int, rows: int, rolls: int, parts: int) -> None:
    """Nine strips of 100 mm lie across 980 mm with 2 mm between them; rows are 10 m long."""
    supply, said = asked(STRIP, 0.1, 10.0, quantity)
    assert said == []
    assert numbers(supply) == pytest.approx(
        {
            "stock_width_m": 1.0,
            "run_length_m": rows * 10.0,
            "net_area_m2": quantity * 1.0,
            "gross_area_m2": rows * 10.0,
            # Each strip's one side, each row's other side, and one cut across at its end.
            "cut_length_m": quantity * 10.0 + rows * 10.0 + rows * 1.0,
            "cut_count": quantity + 2 * rows,
            "roll_count": rolls,
            "part_roll_count": parts,
            "offcut_credit": 0.0,
            "length_low": 0.99,
            "length_high": 1.03,
            "width_low": 0.98,
            "width_high": 1.04,
        }
    )


@pytest.mark.parametrize(("width", "across"), [(0.1944, 5), (0.1945, 4), (0.98, 1), (0.489, 2)])
def test_strips_fill_the_usable_width_to_the_last_kerf(width: float, across: int) -> None:
    """Five strips of 194.4 mm and four kerfs of 2 mm are 980 mm; 0.1 mm more is too much."""
    for quantity, rows in ((across, 1), (across + 1, 2)):
        assert asked(STRIP, width, 10.0, quantity)[0].run_length_m[0] == pytest.approx(rows * 10.0)


def test_of_widths_that_take_the_same_area_the_narrower_serves() -> None:
    policy = replace(BOTH, edge_trim_m=0.0, kerf_m=0.0)
    same, _ = asked(STRIP, 0.5, 10.0, 4, policy)
    assert (same.stock_width_m[0], same.run_length_m[0]) == (1.0, 20.0)
    less, _ = asked(STRIP, 0.4, 10.0, 5, policy)
    assert (less.stock_width_m[0], less.run_length_m[0]) == (2.0, 10.0)


def test_strips_as_long_as_a_roll_and_longer() -> None:
    policy = replace(MILL, join_beyond_roll=False)
    assert asked(STRIP, 0.1, 30.0, 1, policy)[1] == []
    (text,) = asked(STRIP, 0.1, 30.01, 1, policy)[1]
    assert "longer than a full roll, 30.00 m (98.4252 ft)" in text
    joined, said = asked(STRIP, 0.1, 40.0, 1, replace(MILL, join_beyond_roll=True))
    assert said == []
    assert (joined.roll_count[0], joined.part_roll_count[0]) == (2, 1)


def test_strips_too_wide() -> None:
    assert asked(STRIP, 0.98, 1.0, 1)[1] == []
    (text,) = asked(STRIP, 0.981, 1.0, 1)[1]
    assert "1000.0 mm as woven (39.3701 in)" in text


@pytest.mark.parametrize(
    ("width", "length", "quantity", "run", "rolls", "parts"),
    [
        (0.3, 0.2, 7, 2 * 0.305, 1, 1),  # turned, four across: 0.61; upright, three: 0.615
        (0.2, 0.3, 7, 2 * 0.305, 1, 1),
        (0.3, 0.2, 3, 1 * 0.205, 1, 1),  # upright, one row
        (0.32, 0.295, 300, 100 * 0.3, 1, 0),  # a whole roll, to the last spacing
        (0.32, 0.295, 301, 101 * 0.3, 2, 1),
        (0.1, 29.0, 9, 29.005, 1, 1),
        (0.98, 0.5, 2, 2 * 0.505, 1, 1),  # as wide as the usable width
        (0.4875, 0.8, 2, 0.805, 1, 1),  # two and the spacing fill it
    ],
)
def test_pieces(
    width: float, length: float, quantity: int, run: float, rolls: int, parts: int
) -> None:
    """Boxes in rows on 980 mm, 5 mm between them and after each row, turned where that is less."""
    supply, said = asked(PIECE, width, length, quantity)
    assert said == []
    row = numbers(supply)
    assert row["run_length_m"] == pytest.approx(run)
    assert row["gross_area_m2"] == pytest.approx(run * 1.0)
    assert row["net_area_m2"] == pytest.approx(width * length * quantity)
    assert row["cut_length_m"] == pytest.approx(2 * (width + length) * quantity)
    assert row["cut_count"] == quantity
    assert (row["roll_count"], row["part_roll_count"]) == (rolls, parts)
    assert row["offcut_credit"] == 0.0


def test_a_piece_is_laid_the_way_it_fits() -> None:
    """Longer than wide cloth either way: along it is at most a roll, across at most its width."""
    along, _ = asked(PIECE, 1.5, 0.4, 1)
    assert along.run_length_m[0] == pytest.approx(1.505)
    assert asked(PIECE, 0.5, 30.0, 1)[1] == []
    (text,) = asked(PIECE, 0.5, 30.01, 1)[1]
    assert "larger than any stock cloth, 980.0 mm usable across and 30.00 m long" in text
    assert len(asked(PIECE, 0.99, 0.985, 1)[1]) == 1


@pytest.mark.parametrize(
    ("width", "length", "bought", "rolls", "parts", "cut", "cuts"),
    [
        (1.0, 30.0, 30.0, 1, 0, 0.0, 0),
        (1.0, 27.0, 27.0, 1, 0, 0.0, 0),  # 10 % under a full roll is one
        (1.0, 33.0, 33.0, 1, 0, 0.0, 0),
        (1.0, 26.9, 26.9, 1, 1, 1.0, 1),
        (1.0, 66.0, 66.0, 2, 0, 0.0, 0),
        (1.0, 66.1, 66.1, 3, 1, 1.0, 1),
        (1.0, 15.0, 15.0, 1, 0, 1.0, 1),  # a half roll, cut off
        (1.0, 13.5, 13.5, 1, 0, 1.0, 1),
        (1.0, 16.5, 16.5, 1, 0, 1.0, 1),
        (1.0, 16.6, 16.6, 1, 1, 1.0, 1),
        (1.0, 10.8, 10.8, 1, 0, 1.0, 1),  # 10 % under the shorter half roll
        (1.0, 10.7, 10.7, 1, 1, 1.0, 1),
        (1.0, 45.0, 45.0, 2, 0, 1.0, 1),
        (1.0, 35.0, 35.0, 2, 1, 1.0, 1),
        (0.99, 30.0, 30.0, 1, 0, 0.0, 0),  # 1 % over is delivered as woven
        (0.98, 30.0, 30.0, 1, 0, 30.0, 1),  # 2.04 % over is trimmed
        (0.9, 35.0, 35.0, 2, 1, 35.0 + 1.0, 2),
    ],
)
def test_rolls(
    width: float, length: float, bought: float, rolls: int, parts: int, cut: float, cuts: int
) -> None:
    supply, _ = asked(ROLL, width, length, 3)
    assert numbers(supply) == pytest.approx(
        {
            "stock_width_m": 1.0,
            "run_length_m": 3 * bought,
            "net_area_m2": 3 * width * length,
            "gross_area_m2": 3 * bought * 1.0,
            "cut_length_m": 3 * cut,
            "cut_count": 3 * cuts,
            "roll_count": 3 * rolls,
            "part_roll_count": 3 * parts,
            "offcut_credit": 0.0,
            "length_low": 0.9,
            "length_high": 1.1,
            "width_low": 1.0,
            "width_high": 1.02,
        }
    )


def test_what_is_said_of_lengths() -> None:
    assert asked(ROLL, 1.0, 35.0, 1)[1] == ["arrives as 1 full and a part roll of 5.00 m."]
    assert asked(ROLL, 1.0, 65.0, 1)[1] == []
    assert asked(ROLL, 1.0, 26.9, 1)[1] == []
    charged = replace(MILL, part_roll_charge_m=4.0, half_lengths_m=(15.0,))
    supply, (text,) = asked(ROLL, 1.0, 42.0, 1, replace(charged, rolls=MILL.strips))
    # A part roll of 12 m costs 16 m of cloth, the half roll 15 m.
    assert supply.run_length_m[0] == pytest.approx(45.0)
    assert "1 full, 1 half of 49.2126 ft, 45.00 m in all" in text
    assert (supply.roll_count[0], supply.part_roll_count[0]) == (2, 0)
    same, said = asked(ROLL, 1.0, 36.0, 1, charged)
    assert said == []
    assert (same.run_length_m[0], same.part_roll_count[0]) == (36.0, 1)


@pytest.mark.parametrize(
    ("width", "words"),
    [
        (0.999, None),
        (1.001, "1000.0 mm is 1.0 mm too narrow"),
        (1.002, "1000.0 mm is 2.0 mm too narrow"),
        (1.0021, None),
    ],
)
def test_a_near_miss_is_said_within_two_in_a_thousand(width: float, words: str | None) -> None:
    supply, said = asked(ROLL, width, 30.0, 1, BOTH)
    assert supply.stock_width_m[0] == (1.0 if width < 1.0 else 2.0)
    assert [words in text for text in said if words] == ([True] if words else [])
    assert len(said) == (words is not None)
    if words:
        assert said[0].startswith("cut from 2000.0 mm cloth")


def test_cheapest_width_at_its_limits() -> None:
    widths = np.array([1.0, 2.0])
    required = np.array([1.0, 0.98, 0.985, 1.001, 1.98, 1.985, 2.0, 2.01])
    chosen = cheapest_width(required, widths, widths, edge_trim_m=0.01, over=0.01)
    # 985 mm is neither within 1 % under 1000 mm nor between its trimmed edges.
    assert chosen.tolist() == [0, 0, 1, 1, 1, 1, 1, -1]


def test_roll_mix_in_full() -> None:
    terms = RollTerms(30.0, (15.0, 12.0), (5.0, 30.0), metre_cost=2.0, part_charge=4.0)
    required = np.array([12.0, 13.5, 15.0, 16.0, 3.0, 44.0, 60.0, 72.5])
    mix = cheapest_mix(required, terms)
    # 16 m: a part roll at 36 is cheaper than 2 × 12 m at 48; 3 m: at 14, as short as they come;
    # 72.5 m: two full rolls and a part roll of 12.5 m at 149, where a half of 15 m makes it 150.
    assert mix.length_m.tolist() == pytest.approx([12.0, 15.0, 15.0, 16.0, 5.0, 45.0, 60.0, 72.5])
    assert mix.cost.tolist() == pytest.approx([24.0, 30.0, 30.0, 36.0, 14.0, 90.0, 120.0, 149.0])
    assert mix.full.tolist() == [0, 0, 0, 0, 0, 1, 2, 2]
    assert mix.halves.tolist() == [[0, 1], [1, 0], [1, 0], [0, 0], [0, 0], [1, 0], [0, 0], [0, 0]]
    assert mix.parts.tolist() == [0, 0, 0, 1, 1, 0, 0, 1]
    assert mix.part_m.tolist() == pytest.approx([0.0, 0.0, 0.0, 16.0, 5.0, 0.0, 0.0, 12.5])


def test_of_equal_costs_the_fewest_rolls() -> None:
    mix = cheapest_mix(np.array([30.0]), RollTerms(30.0, (15.0,), (0.0, 30.0)))
    assert (mix.full[0], mix.halves[0, 0], mix.parts[0]) == (1, 0, 0)


def test_ten_half_rolls_are_tried_and_no_more() -> None:
    """Full rolls of 100 m and halves of 9 m: ten halves are 90 m."""
    terms = RollTerms(100.0, (9.0,))
    mix = cheapest_mix(np.array([90.0, 91.0]), terms)
    assert mix.halves[:, 0].tolist() == [10, 0]
    assert mix.length_m.tolist() == [90.0, 100.0]


def test_terms_of_a_policy() -> None:
    terms = roll_terms(MILL, metre_cost=3.0, part_charge=2.0)
    assert terms == RollTerms(30.0, (15.0, 12.0), (0.0, 30.0), 3.0, 2.0)
    assert roll_terms(replace(MILL, part_rolls=False)).part_m is None


def test_offcuts_are_kept_from_their_least_size_on() -> None:
    terms = KeepTerms(0.3, 1.0, 0.5)
    sizes = [(0.3, 1.0), (0.2999, 5.0), (0.5, 0.9999), (0.4, 2.0)]
    left = [Offcut("end of a roll", width, length, 2) for width, length in sizes]
    kept = worth_keeping(left, terms)
    assert [(o.width_m, o.length_m) for o in kept] == [(0.3, 1.0), (0.4, 2.0)]
    assert [o.area_m2 for o in kept] == pytest.approx([0.6, 1.6])
    assert credited_share(kept, 22.0, terms) == pytest.approx(0.5 * 2.2 / 22.0)


@pytest.mark.parametrize("length", [30.0 * (1 + 1e-12), 30.0 * (1 - 1e-12)])
def test_rounding_of_a_length_is_not_a_rest(length: float) -> None:
    """A length that misses a roll by the rounding of its units is the roll, in every form."""
    strips, said = asked(STRIP, 0.1, length, 1)
    assert said == []
    assert (strips.roll_count[0], strips.part_roll_count[0]) == (1, 0)
    assert asked(PIECE, 0.98, length, 1)[1] == []
    charged = replace(MILL, part_roll_charge_m=4.0, rolls=Tolerance(0.0, 0.0, 0.0, 0.0))
    rolls, said = asked(ROLL, 1.0, length, 1, charged)
    assert said == []
    assert (rolls.roll_count[0], rolls.part_roll_count[0]) == (1, 0)
    assert rolls.cut_length_m[0] == 0.0
    for terms in (RollTerms(30.0), RollTerms(30.0, (), (5.0, 30.0), 1.0, 4.0)):
        mix = cheapest_mix(np.array([length, 2 * length]), terms)
        assert mix.full.tolist() == [1, 2]
        assert mix.parts.tolist() == [0, 0]


@pytest.mark.parametrize("width", [1.0 * (1 + 1e-12), 1.0 * (1 - 1e-12)])
def test_rounding_of_a_width_is_not_a_trim(width: float) -> None:
    exact = replace(MILL, rolls=Tolerance(0.0, 0.0, 0.0, 0.0))
    supply, said = asked(ROLL, width, 30.0, 1, exact)
    assert said == []
    assert (supply.stock_width_m[0], supply.cut_length_m[0], supply.cut_count[0]) == (1.0, 0.0, 0)
    usable = asked(STRIP, 0.98 * width, 10.0, 1)
    assert usable[1] == []
