"""One box finds anything: by number, reference, sender, cloth and sizes, day and state."""

from __future__ import annotations

import pytest

from meshcore.register import matching
from meshcore.register.amounts import amount_key
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


#: Sums of the same digits in other currencies, and others that begin like them.
SUMS = (("EUR", 2, 509495), ("JPY", 0, 509495), ("KWD", 3, 5094950), ("EUR", 2, 123400))


@pytest.fixture
def priced(register: Register) -> Register:
    for currency, digits, minor in SUMS:
        add(register, "quotation",
            Head(day="2026-03-02", sender=f"Mill {currency}", currency=currency, digits=digits,
                 total_minor=minor, keys=(amount_key(minor * 6 // 5, currency),)),
            {}, [TEN_316])  # fmt: skip
    add(register, "quotation", Head(day="2026-03-02", reference="123400"), {}, [TEN_304])
    return register


def test_an_amount_finds_what_comes_to_it(priced: Register) -> None:
    cases = {
        "5,094.95 EUR": [1], "5.094,95 EUR": [1], "5 094,95 EUR": [1], "EUR 5094.95": [1],
        "5,094.95 EUR quotations": [1], "mill 5,094.95 EUR": [1],
        # With a tax of 20 % on it.
        "6,113.94 EUR": [1], "6,113.94": [3, 1],
        "509,495 JPY": [2], "5,094.950 KWD": [3], "1,234 EUR": [4], "1234.00 EUR": [4],
        # A sign of money, or none: whichever currency has the amount.
        "€5,094.95": [3, 1], "5,094.95": [3, 1],
        # A number on file is no amount.
        "123400": [5],
    }  # fmt: skip
    for text, expected in cases.items():
        assert numbers(priced, text) == [f"Q2026-{n:06d}" for n in expected], text


def test_an_amount_of_another_line_is_not_found(priced: Register) -> None:
    assert find(priced, "304 5,094.95 EUR", strict=True) == []


def test_pages_of_what_any_of_the_words_finds_end(filed: Register) -> None:
    every = find(filed, "bakery unheard", limit=10)
    assert len(every) > 1
    pages = [find(filed, "bakery unheard", limit=1, offset=n) for n in range(len(every) + 1)]
    assert [one for page in pages for one in page] == every
