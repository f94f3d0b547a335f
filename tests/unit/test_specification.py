"""Any two sizes give the rest; more are checked; what cannot be is refused in words."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.arrays import FloatArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import QuantityColumn, read_column
from meshcore.units import Kind
from meshcore.weave.specification import telling
from meshcore.weave.specification.completing import Specification, complete
from meshcore.weave.specification.pairs import BASES, FIELDS, solve
from meshcore.weave.specification.stated import Stated, decimal_step, stated

KINDS: dict[str, Kind] = {
    "mesh_count": "count",
    "pitch": "length",
    "aperture": "length",
    "wire_diameter": "length",
    "open_area": "share",
}


def typed(**texts: str) -> tuple[Specification, MessageLog, list[Message]]:
    """Complete one line of text cells."""
    log = MessageLog(1)
    readings = {f: read_column([t], KINDS[f], f, log) for f, t in texts.items()}
    done = complete(readings, log)
    return done, log, log.by_line().get(0, [])


def bare(values: FloatArray, step: float = 1.0) -> QuantityColumn:
    """Return a column of bare numbers in a unit of `step` SI units."""
    numbers = np.asarray(values, dtype=np.float64)
    unknown = np.full(len(numbers), np.nan)
    return QuantityColumn(numbers * step, unknown, ~np.isnan(numbers), numbers)


def exact(value: float) -> QuantityColumn:
    """Return one size of which every digit is meant."""
    sizes = np.array([value])
    return QuantityColumn(sizes, np.zeros(1), np.ones(1, dtype=np.bool_), sizes)


def sizes_of(pitch: float, slenderness: float) -> dict[str, float]:
    wire = slenderness * pitch
    aperture = pitch - wire
    return {
        "mesh_count": 1.0 / pitch,
        "pitch": pitch,
        "aperture": aperture,
        "wire_diameter": wire,
        "open_area": (aperture / pitch) ** 2,
    }


@given(
    st.sampled_from(BASES),
    st.floats(30e-6, 0.3),
    st.floats(0.02, 0.95),
)
def test_every_pair_round_trips(basis: tuple[str, str], pitch: float, slenderness: float) -> None:
    """To 1e-12 of the pitch; open area, which runs from 0 to 1, to 1e-12."""
    truth = sizes_of(pitch, slenderness)
    log = MessageLog(1)
    done = complete({f: exact(truth[f]) for f in basis}, log)
    assert log.status()[0] == "ok"
    assert BASES[done.basis[0]] == basis
    for field, found in (
        ("pitch", done.pitch_m),
        ("aperture", done.aperture_m),
        ("wire_diameter", done.wire_diameter_m),
    ):
        assert abs(found[0] - truth[field]) <= 1e-12 * pitch, field
    assert abs(done.open_area[0] - truth["open_area"]) <= 1e-12


def test_bases_are_all_independent_pairs() -> None:
    pairs = {frozenset((a, b)) for a in FIELDS for b in FIELDS if a < b}
    assert {frozenset(b) for b in BASES} == pairs - {frozenset(("mesh_count", "pitch"))}


@given(st.floats(1e-4, 0.1), st.floats(0.02, 0.9), st.floats(1.001, 1.5))
def test_open_area_falls_with_wire(pitch: float, slenderness: float, factor: float) -> None:
    thin = solve(
        BASES[1], {"pitch": np.array([pitch]), "wire_diameter": np.array([slenderness * pitch])}
    )
    wire = np.array([min(slenderness * factor, 0.99) * pitch])
    thick = solve(BASES[1], {"pitch": np.array([pitch]), "wire_diameter": wire})
    assert thick.open_area[0] < thin.open_area[0]


def test_many_patterns_in_one_table() -> None:
    """Lines that give different sizes are each completed by their own pair."""
    truth = sizes_of(2.54e-3, 0.25)
    rows = [*BASES, ("pitch",), (), ("mesh_count", "pitch")]
    columns = {
        f: bare(np.array([truth[f] if f in row else np.nan for row in rows])) for f in FIELDS
    }
    log = MessageLog(len(rows))
    done = complete(columns, log)
    assert log.status().tolist() == ["ok"] * len(BASES) + ["refused"] * 3
    assert done.basis.tolist() == [*range(len(BASES)), -1, -1, -1]
    np.testing.assert_allclose(done.wire_diameter_m[:-3], truth["wire_diameter"], rtol=1e-12)
    np.testing.assert_allclose(done.open_area[:-3], truth["open_area"], rtol=1e-12)
    assert np.isnan(done.pitch_m[-3:]).all()
    said = log.by_line()
    assert {row: len(m) for row, m in said.items()} == {9: 1, 10: 1, 11: 1}


@pytest.mark.parametrize(
    ("texts", "field", "part"),
    [
        ({}, "mesh_count", "Write any two of"),
        ({"wire_diameter": "1 mm"}, "mesh_count", "wire_diameter alone does not fix the cloth"),
        ({"open_area": "50 %"}, "wire_diameter", "open_area alone"),
        (
            {"mesh_count": "10 / in", "pitch": "2.54 mm"},
            "wire_diameter",
            "one size written two ways",
        ),
    ],
)
def test_too_few(texts: dict[str, str], field: str, part: str) -> None:
    done, log, messages = typed(**texts)
    assert log.status()[0] == "refused"
    assert len(messages) == 1
    assert messages[0].field == field
    assert messages[0].read == ""
    assert part in messages[0].text
    assert np.isnan(done.pitch_m[0])
    assert done.basis[0] == -1


@pytest.mark.parametrize(
    ("texts", "field", "part"),
    [
        (
            {"mesh_count": "10 / in", "wire_diameter": "3 mm"},
            "wire_diameter",
            "no aperture is left",
        ),
        ({"mesh_count": "10 / in", "wire_diameter": "0.1 in"}, "wire_diameter", "no aperture"),
        ({"pitch": "2 mm", "aperture": "3 mm"}, "aperture", "no wire is left"),
        ({"mesh_count": "0 / in", "wire_diameter": "1 mm"}, "mesh_count", "greater than zero"),
        ({"mesh_count": "10 / in", "wire_diameter": "-1 mm"}, "wire_diameter", "greater than zero"),
        ({"open_area": "100 %", "wire_diameter": "1 mm"}, "open_area", "less than 100 %"),
        ({"open_area": "0 %", "aperture": "1 mm"}, "open_area", "greater than zero"),
        (
            {"mesh_count": "10 / in", "pitch": "2.54 mm", "wire_diameter": "3 mm"},
            "wire_diameter",
            "no aperture is left",
        ),
    ],
)
def test_impossible(texts: dict[str, str], field: str, part: str) -> None:
    done, log, messages = typed(**texts)
    assert log.status()[0] == "refused"
    assert [m.field for m in messages] == [field]
    assert messages[0].read == texts[field]
    assert part in messages[0].text
    assert np.isnan(done.aperture_m[0])


def test_agreeing_sizes_name_the_best_determined_pair() -> None:
    done, log, messages = typed(mesh_count="10 / in", wire_diameter="0.025 in", aperture="0.075 in")
    assert log.status()[0] == "ok"
    assert BASES[done.basis[0]] == ("mesh_count", "wire_diameter")
    assert [m.severity for m in messages] == ["note"]
    assert "mesh_count with wire_diameter is best determined" in messages[0].text


@pytest.mark.parametrize(
    ("texts", "wire_in"),
    [
        ({"mesh_count": "10 / in", "wire_diameter": "0.64 mm", "aperture": "1.90 mm",
          "open_area": "56 %"}, 0.025),
        ({"mesh_count": "20 / in", "wire_diameter": "0.41 mm", "aperture": "0.86 mm"}, 0.016),
        ({"mesh_count": "40 / in", "wire_diameter": "0.25 mm", "aperture": "0.38 mm"}, 0.010),
    ],
)  # fmt: skip
def test_rounded_millimetres_of_a_market_grade_name_it(
    texts: dict[str, str], wire_in: float
) -> None:
    """Market grade of ASTM E2016 (from memory), as lists in millimetres round it."""
    done, log, messages = typed(**texts)
    assert log.status()[0] == "ok"
    assert done.wire_diameter_m[0] == pytest.approx(wire_in * 0.0254, rel=1e-9)
    assert "specification.named_cloth" in {m.code for m in messages}


def test_a_standard_aperture_is_not_altered_without_a_word() -> None:
    """2.5 mm is an aperture of ISO 565 (from memory), and 8 / in with 0.028 in has 2.464 mm."""
    _, log, messages = typed(mesh_count="8 / in", wire_diameter="0.7 mm", aperture="2.5 mm")
    assert log.status()[0] == "review"
    assert "specification.aperture_altered" in {m.code for m in messages}


def test_best_determined_pair_has_the_most_digits() -> None:
    done, log, _ = typed(pitch="2.5 mm", wire_diameter="0.6350 mm", aperture="1.9050 mm")
    assert log.status()[0] == "ok"
    assert BASES[done.basis[0]] == ("aperture", "wire_diameter")
    assert done.pitch_m[0] == pytest.approx(2.54e-3, rel=1e-12)


@pytest.mark.parametrize(
    ("aperture", "refused"),
    [("0.0755 in", False), ("0.0745 in", False), ("0.0756 in", True), ("0.0744 in", True)],
)
def test_agreement_ends_at_the_typed_rounding(aperture: str, refused: bool) -> None:
    """1/10 in is exact, 0.025 in is ±0.0005 and these apertures ±0.00005: 0.075 ± 0.00055 in."""
    _, log, _ = typed(pitch="1/10 in", wire_diameter="0.025 in", aperture=aperture)
    assert log.refused()[0] == refused


def test_contradiction_names_fields_and_what_each_implies() -> None:
    done, log, messages = typed(mesh_count="10 / in", wire_diameter="0.025 in", aperture="0.090 in")
    assert log.status()[0] == "refused"
    assert len(messages) == 1
    text = messages[0].text
    assert messages[0].field == "aperture"
    assert 'mesh_count "10 / in" with wire_diameter "0.025 in" implies aperture 1.905 mm' in text
    assert 'mesh_count "10 / in" with aperture "0.090 in" implies wire_diameter 0.254 mm' in text
    assert 'aperture "0.090 in" with wire_diameter "0.025 in" implies mesh_count 8.696 / in' in text
    assert np.isnan(done.pitch_m[0])


def test_whole_count_may_be_rounded_and_is_put_up_for_review() -> None:
    done, log, messages = typed(mesh_count="12 / in", aperture="1.50 mm", wire_diameter="0.56 mm")
    assert log.status()[0] == "review"
    assert BASES[done.basis[0]] == ("aperture", "wire_diameter")
    assert "12.33 / in" in messages[0].text


def test_agreement_by_few_digits_is_put_up_for_review() -> None:
    _, log, messages = typed(mesh_count="10 / in", aperture="0.1 in", wire_diameter="0.025 in")
    assert log.status()[0] == "review"
    assert messages[0].field == "aperture"
    assert "0.075 in" in messages[0].text


def test_all_five_sizes() -> None:
    _, log, _ = typed(
        mesh_count="10 / in", pitch="2.54 mm", aperture="1.905 mm", wire_diameter="0.635 mm",
        open_area="56.25 %",
    )  # fmt: skip
    assert log.status()[0] == "ok"
    _, log, messages = typed(
        mesh_count="10 / in", pitch="2.54 mm", aperture="1.905 mm", wire_diameter="0.635 mm",
        open_area="50 %",
    )  # fmt: skip
    assert log.status()[0] == "refused"
    assert messages[0].field == "open_area"


def test_unread_size_is_refused_once() -> None:
    _, _, messages = typed(mesh_count="10 / in", wire_diameter="16 ga")
    assert len(messages) == 1
    assert "without its system" in messages[0].text


def test_gauge_wire_is_exact_and_agrees_with_rounded_aperture() -> None:
    _, log, _ = typed(mesh_count="10 / in", wire_diameter="22 AWG", aperture="0.075 in")
    assert log.status()[0] == "ok"


def test_bare_numbers_have_the_rounding_of_their_shortest_text() -> None:
    log = MessageLog(3)
    readings = {
        "pitch": bare(np.array([2.54, 2.54, 2.5]), 1e-3),
        "wire_diameter": bare(np.array([0.635, 0.635, 0.6]), 1e-3),
        "aperture": bare(np.array([1.905, 1.95, 1.9]), 1e-3),
    }
    complete(readings, log)
    assert log.status().tolist() == ["ok", "refused", "ok"]


@given(st.integers(1, 10**9), st.integers(0, 9))
def test_decimal_step_is_that_of_the_shortest_text(digits: int, places: int) -> None:
    number = float(f"{digits}e-{places}")
    exponent = Decimal(repr(number)).normalize().as_tuple().exponent
    assert isinstance(exponent, int)
    assert decimal_step(np.array([number]))[0] == float(f"1e{min(exponent, 0)}")


number_cells = st.floats(allow_nan=True, allow_infinity=True)


@given(st.lists(st.tuples(*[number_cells] * 5), min_size=1, max_size=4))
def test_no_numbers_raise_and_what_passes_is_physical(
    rows: list[tuple[float, float, float, float, float]],
) -> None:
    log = MessageLog(len(rows))
    columns = {f: bare(np.array([row[n] for row in rows])) for n, f in enumerate(FIELDS)}
    done = complete(columns, log)
    for row, status in enumerate(log.status()):
        if status == "refused":
            assert math.isnan(done.pitch_m[row])
            assert done.basis[row] == -1
            assert all(str(m) for m in log.by_line()[row])
        else:
            assert 0.0 < done.aperture_m[row] <= done.pitch_m[row] < math.inf
            assert 0.0 < done.wire_diameter_m[row] <= done.pitch_m[row]


cell_texts = st.one_of(
    st.sampled_from(
        ["", "10 / in", "1 mm", "0.5 mm", "50 %", "16 SWG", "16 ga", "0", "-1 mm", "x"]
    ),
    st.text(max_size=10),
)


@given(st.fixed_dictionaries(dict.fromkeys(FIELDS, cell_texts)))
def test_no_texts_raise(texts: dict[str, str]) -> None:
    done, log, messages = typed(**texts)
    assert (log.status()[0] == "refused") == bool(np.isnan(done.pitch_m[0]))
    assert all(m.text.endswith((".", '"')) for m in messages)


def sized(done: Specification) -> tuple[float, float]:
    """Aperture and wire of a line [mm]."""
    return round(float(done.aperture_m[0]) * 1e3, 4), round(float(done.wire_diameter_m[0]) * 1e3, 4)


def test_a_whole_millimetre_is_itself_and_three_sizes_name_standard_cloth() -> None:
    """It was refused: 1 mm was taken as 0.5 to 1.5 mm, and the open area moved it."""
    done, log, messages = typed(
        aperture="1 mm", wire_diameter="0.63 mm", mesh_count="16 / in", open_area="38 %"
    )
    assert log.status()[0] == "ok"
    assert sized(done) == (1.0, 0.63)
    assert "ISO 565" in messages[0].text
    assert "15.58 / in" in messages[0].text


def test_a_whole_millimetre_that_the_others_contradict_is_not_moved() -> None:
    """It became 1.3 mm, for review."""
    _, log, messages = typed(aperture="1 mm", wire_diameter="0.3 mm", pitch="1.6 mm")
    assert log.status()[0] == "refused"
    assert 'pitch "1.6 mm" with wire_diameter "0.3 mm" implies aperture 1.3 mm' in messages[0].text


def test_aperture_with_wire_goes_before_wire_with_open_area() -> None:
    done, log, messages = typed(aperture="1.07 mm", wire_diameter="0.61 mm", open_area="41 %")
    assert log.status()[0] == "ok"
    assert sized(done) == (1.07, 0.61)
    assert "aperture with wire_diameter is best determined" in messages[0].text


def test_a_named_cloth_is_said() -> None:
    done, log, messages = typed(mesh_count="16 mesh", aperture="1 mm", wire_diameter="0.56 mm")
    assert log.status()[0] == "ok"
    assert sized(done) == (1.0, 0.56)
    assert [m.code for m in messages] == ["specification.named_cloth"]
    assert "ISO 3310-1" in messages[0].text


def test_a_wire_that_rounding_leaves_open_is_asked() -> None:
    """It was priced as 0.1 mm, ok, though a pitch of 0.7 mm and one of 1.4 mm are written so."""
    done, log, messages = typed(pitch="1 mm", aperture="0.9 mm")
    assert log.status()[0] == "refused"
    assert np.isnan(done.wire_diameter_m[0])
    assert [m.code for m in messages] == ["specification.left_open"]
    assert messages[0].field == "wire_diameter"
    assert "from nothing to 0.6 mm" in messages[0].text


def test_a_pitch_and_an_aperture_in_whole_millimetres_leave_nothing_open() -> None:
    done, log, _ = typed(pitch="3 mm", aperture="2 mm")
    assert log.status()[0] == "ok"
    assert sized(done) == (2.0, 1.0)


def test_a_mass_open_by_less_is_priced_as_a_range() -> None:
    """0.54 mm of wire at 10 mesh, ±0.05: (0.59 / 0.54)² is 19 % more, (0.49 / 0.54)² 18 % less."""
    done, log, messages = typed(mesh_count="10 mesh", aperture="1.98 mm")
    assert log.status()[0] == "ok"
    done, log, messages = typed(mesh_count="7 / in", aperture="3.1 mm")
    assert log.status()[0] == "review"
    assert [m.code for m in messages] == ["specification.priced_as_range"]
    wire = 25.4 / 7 - 3.1
    assert done.mass_low[0] == pytest.approx(((wire - 0.05) / wire) ** 2, rel=1e-9)
    assert done.mass_high[0] == pytest.approx(((wire + 0.05) / wire) ** 2, rel=1e-9)


def test_a_count_typed_to_a_decimal_is_measured() -> None:
    """13.0 per inch is 12.96: cloth of ISO 565 with 1.4 and 0.56 mm."""
    done, log, _ = typed(mesh_count="13.0 / in", aperture="1.4 mm")
    assert log.status()[0] == "ok"
    assert sized(done) == (1.4, 0.56)


def test_many_open_lines_are_held_against_their_rounding_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A list of 200,000 such lines took minutes: each message looked at all of them."""
    calls: list[int] = []

    def counted(columns: dict[str, QuantityColumn]) -> Stated:
        calls.append(1)
        return stated(columns)

    monkeypatch.setattr(telling, "stated", counted)
    lines = 50
    log = MessageLog(lines)
    sizes = {"pitch": bare(np.full(lines, 1.0), 1e-3), "aperture": bare(np.full(lines, 0.9), 1e-3)}
    complete(sizes, log)
    assert log.refused().all()
    assert len(calls) == 1
