"""One box finds anything: by number, reference, sender, cloth and sizes, day and state."""

from __future__ import annotations

import pytest

from meshcore.register import matching
from meshcore.register.connecting import Register
from meshcore.register.finding import find
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.storing import add, mark_as
from meshcore.register.wanting import wanted
from meshcore.register.words import line_words

MM = 1e-3


def cloth(label: str, text: str, sizes_m: list[float], pitch_m: float, *names: str) -> FoundLine:
    return FoundLine(label, text, line_words((text, *names), sizes_m, [pitch_m]))


TEN_316 = cloth("1", "10 / in · 0.025 in · 316L · roll 48 in", [0.635 * MM, 1.2192], 0.00254,
                "S31603", "1.4404")  # fmt: skip
TEN_304 = cloth("1", "10 / in · 0.025 in · 304", [0.635 * MM, 0.9144], 0.00254, "S30400")
TWENTY_316 = cloth("2", "20 / in · 316L · roll 48 in", [0.4 * MM, 1.2192], 0.00127, "1.4404")


@pytest.fixture(scope="module")
def filed(shared_register: Register) -> Register:
    register = shared_register
    add(register, "quotation",
        Head(day="2026-03-02", sender="Müller & Söhne", reference="E-2207/1", keys=("Roll 7",)),
        {}, [TEN_316])  # fmt: skip
    add(register, "quotation",
        Head(day="2026-04-05", sender="Bakery by the Weir", reference="BW 12"), {},
        [TEN_304, TWENTY_316])  # fmt: skip
    add(register, "order", Head(day="2026-05-06", sender="Bakery by the Weir"), {}, [TEN_304])
    return register


def numbers(register: Register, text: str) -> list[str]:
    return [found.number for found in find(register, text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Q2026-000001", ["Q2026-000001"]),
        ("q2026 000002", ["Q2026-000002"]),
        ("E-2207/1", ["Q2026-000001"]),
        ("e2207", ["Q2026-000001"]),
        ("roll 7", ["Q2026-000001"]),
        ("muller", ["Q2026-000001"]),
        ("Söhne", ["Q2026-000001"]),
        # All words in one line: the second quotation has them in two.
        ("10 mesh 316L 48 in", ["Q2026-000001"]),
        ("10/in 1.4404 1219.2 mm", ["Q2026-000001"]),
        ("10 mesh", ["A2026-000001", "Q2026-000002", "Q2026-000001"]),
        ("S30400", ["A2026-000001", "Q2026-000002"]),
        ("0,635 mm 316l", ["Q2026-000001"]),
        ("bakery orders", ["A2026-000001"]),
        ("2026-04", ["Q2026-000002"]),
        ("10 mesh 2026-03..2026-04", ["Q2026-000002", "Q2026-000001"]),
        ("..2026-03", ["Q2026-000001"]),
        ("", ["A2026-000001", "Q2026-000002", "Q2026-000001"]),
    ],
)
def test_the_box(filed: Register, text: str, expected: list[str]) -> None:
    assert numbers(filed, text) == expected


def test_a_whole_number_comes_before_what_only_begins_with_it(register: Register) -> None:
    add(register, "order", Head(day="2026-01-01"), {}, number="4711")
    add(register, "order", Head(day="2026-12-31"), {}, number="47112")
    assert numbers(register, "4711") == ["4711", "47112"]


def test_where_no_line_has_all_words_any_will_do(filed: Register) -> None:
    assert numbers(filed, "weir unobtainium") == ["A2026-000001", "Q2026-000002"]
    assert numbers(filed, "unobtainium") == []


def test_states_and_what_is_deleted(register: Register) -> None:
    made = add(register, "quotation", Head(day="2026-04-05"), {}, [TEN_304])
    won = mark_as(register, made, "won")
    assert numbers(register, "won") == ["Q2026-000001"]
    mark_as(register, won, "deleted")
    assert numbers(register, "10 mesh") == []
    assert numbers(register, "") == []
    assert numbers(register, "deleted") == ["Q2026-000001"]


def test_the_line_that_agrees_is_told(filed: Register) -> None:
    [found] = find(filed, "20 mesh 316L")
    assert (found.number, found.label, found.line) == ("Q2026-000002", "2", TWENTY_316.text)


def test_pages_follow_one_another(filed: Register) -> None:
    one_by_one = [find(filed, "10 mesh", limit=1, offset=n)[0].number for n in range(3)]
    assert one_by_one == numbers(filed, "10 mesh")


@pytest.mark.parametrize(
    "text",
    ["'; DROP TABLE lines; --", '" OR 1=1', "a:* & !b | (", "NEAR(", "*", "\0", "\ud800", "''",
     "∞ mesh", "9" * 400, "-", "..", "2026-13", "0 mesh", "1/0 in", "%_", "﷽"],
)  # fmt: skip
def test_whatever_is_typed_finds_or_does_not(filed: Register, text: str) -> None:
    assert len(find(filed, text)) <= 3
    assert numbers(filed, "BW 12") == ["Q2026-000002"]


def test_a_date_that_is_none_is_a_word() -> None:
    assert wanted("2026-13").since == ""
    assert wanted("2026-02-30").terms
    assert (wanted("2026..").since, wanted("2026..").until) == ("2026-01-01", "")


@pytest.mark.parametrize(("few", "rare"), [(3000, 3000), (0, 3000), (0, 1)])
def test_every_way_of_looking_finds_the_same(
    filed: Register, monkeypatch: pytest.MonkeyPatch, few: int, rare: int
) -> None:
    """Whether few things are left by kind, state and day, and whether a word is rare or common."""
    monkeypatch.setattr(matching, "_FEW", few)
    monkeypatch.setattr(matching, "_RARE", rare)
    assert numbers(filed, "bakery orders") == ["A2026-000001"]
    assert numbers(filed, "10 mesh 2026-03..2026-04") == ["Q2026-000002", "Q2026-000001"]
    assert numbers(filed, "10 mesh 316L 48 in quotations") == ["Q2026-000001"]
    assert numbers(filed, "bak 2026-04") == ["Q2026-000002"]
    assert numbers(filed, "weir unobtainium orders") == ["A2026-000001"]
    assert numbers(filed, "unobtainium orders") == []
    assert numbers(filed, "30400 orders") == []
