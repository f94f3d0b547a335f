"""What a letter says of its own lines: shares, totals, work on some, changes, guesses, codes."""

from __future__ import annotations

from typing import Any

import pytest

import meshcore as mc

CLOTH = {
    "en": "brass, 6 mm aperture, 1.2 mm wire",
    "de": "Messing, Maschenweite 6 mm, Draht 1,2 mm",
    "fr": "laiton, ouverture 6 mm, fil 1,2 mm",
    "es": "latón, luz 6 mm, hilo 1,2 mm",
}


def _lines(text: str, *names: str) -> list[tuple[Any, ...]]:
    values = mc.read_letter(text).values
    return [tuple(row[name] for name in names) for row in values.to_dict("records")]


def _asked(text: str) -> set[tuple[int, str]]:
    asked = mc.read_letter(text).asked
    return set(zip(asked["line"], asked["field"], strict=True))


@pytest.mark.parametrize(
    ("text", "shares"),
    [
        (f"Twelve panels 600 x 450 mm, {CLOTH['en']}: four with a hem, eight without.", (4, 8)),
        (f"zwölf Zuschnitte 600 x 450 mm, {CLOTH['de']}: vier mit Saum, acht ohne.", (4, 8)),
        (f"six panneaux de 600 x 450 mm, {CLOTH['fr']} : deux avec ourlet, quatre sans.", (2, 4)),
        (
            f"nueve paneles de 600 x 450 mm, {CLOTH['es']}: cinco con dobladillo y cuatro sin.",
            (5, 4),
        ),
        (f"10 panels 600 x 450 mm, {CLOTH['en']}. Six of them hemmed, the rest plain.", (6, 4)),
        (f"20 Zuschnitte 600 x 450 mm, {CLOTH['de']}, davon acht gesäumt.", (8, 12)),
    ],
)
def test_a_count_told_in_shares_is_a_line_for_each(text: str, shares: tuple[int, int]) -> None:
    first, second = _lines(text, "quantity", "services")
    assert (first[0], second[0]) == shares
    assert first[1] == ["hemmed"]
    assert second[1] == []


def test_shares_that_do_not_add_up_are_asked() -> None:
    text = f"Twelve panels 600 x 450 mm, {CLOTH['en']}: four with a hem, seven without."
    assert (1, "quantity") in _asked(text)
    assert _lines(text, "quantity") == [(None,)]


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        (
            f"Each of our four driers takes three panels, twelve in all, 600 x 450 mm, {CLOTH['en']}",  # noqa: E501
            12,
        ),
        (f"Per drier two panels 600 x 450 mm, {CLOTH['en']}; eight together, please.", 8),
        (f"pro Maschine vier Zuschnitte 600 x 450 mm, {CLOTH['de']}; insgesamt 12 Stück", 12),
        (f"Par séchoir deux panneaux 600 x 450 mm, {CLOTH['fr']} ; huit au total.", 8),
        (f"Per drier two panels 600 x 450 mm, {CLOTH['en']}.", None),
        (f"pro Maschine zwei Zuschnitte 600 x 450 mm, {CLOTH['de']}.", None),
    ],
)
def test_counts_for_each_are_summed_or_asked(text: str, quantity: int | None) -> None:
    assert _lines(text, "quantity") == [(quantity,)]
    assert ((1, "quantity") in _asked(text)) == (quantity is None)


LIST = """
> 1. 3 rolls 20 mesh, 0.4 mm wire, 304, 1.0 m x 30 m
> 2. 2 rolls 30 mesh, 0.28 mm wire, 304, 1.0 m x 30 m
> 3. 40 discs 90 mm dia, 30 mesh, 0.28 mm wire, 304, hemmed
"""


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ("line 2 goes, and all lengths are 25 m, not 30.", [(3, "304", 25000.0), (40, "304", None)]),  # noqa: E501
        ("swap the 304 in item 1 for 316. Knock item 2 off altogether.", [(3, "316", 30000.0), (40, "304", None)]),  # noqa: E501
        ("please read 316L for 304 throughout.", [(3, "316L", 30000.0), (2, "316L", 30000.0), (40, "316L", None)]),  # noqa: E501
        ("Two corrections: 5 rolls of item 1, and item 2 no longer.", [(5, "304", 30000.0), (40, "304", None)]),  # noqa: E501
    ],
)  # fmt: skip
def test_changes_reach_the_lines_that_they_name(change: str, expected: list[Any]) -> None:
    assert _lines(f"{change}\n{LIST}", "quantity", "alloy", "length_mm") == expected


def test_a_value_taken_back_without_a_new_one_is_asked() -> None:
    text = "Bonjour,\n\nau lieu de deux rouleaux on verra.\n\n> - 2 rouleaux 30 mesh, fil 0,28 mm, inox 304, 1 m x 30 m"  # noqa: E501
    assert (1, "quantity") in _asked(text)


def test_a_change_of_several_lines_that_went_astray_is_asked() -> None:
    change = "the quantity of item 1 is wrong (we need 16), the width of item 2 should read 1250."
    text = f"{change}\n{LIST}"
    values = mc.read_letter(text).values
    asked = _asked(text)
    assert values.loc[0, "quantity"] == 16 or (1, "quantity") in asked
    assert values.loc[1, "width_mm"] == 1250 or (2, "width") in asked
    assert values.loc[1, "quantity"] == 2 or (2, "quantity") in asked


@pytest.mark.parametrize(
    ("said", "services"),
    [
        ("Certificates 3.1 only for line 1.", (["certificate 3.1"], [])),
        ("Hooks on the discs only.", ([], ["hooked"])),
        ("Both with hooks? No, only the discs.", ([], ["hooked"])),
        ("Nothing gets hooks.", ([], [])),
    ],
)
def test_work_is_done_on_the_lines_it_is_said_of(said: str, services: tuple[Any, Any]) -> None:
    text = (
        "1. 4 panels 600 x 450 mm, 20 mesh 0.4 mm wire, 304\n"
        f"2. 6 discs 200 mm dia, 20 mesh 0.4 mm wire, 304\n\n{said}"
    )
    assert tuple(one for (one,) in _lines(text, "services")) == services


@pytest.mark.parametrize(
    "text",
    [
        "One piece 300 x 200 mm. Someone said six mesh but he is only guessing.",
        "Ein Stück 300 x 200 mm. Jemand sagte 6 mesh, aber nur geschätzt.",
    ],
)
def test_a_guess_is_asked_about(text: str) -> None:
    assert _lines(text, "mesh_count_per_in") in ([(None,)], [])


def test_what_is_left_for_later_is_asked() -> None:
    text = "item | opening | wire | alloy | size | qty\n1 | 8 mm | 2 mm | 304 | 800 x 600 mm | tbc\n2 | 5 mm | tbc | 304 | 800 x 600 mm | 4\n"  # noqa: E501
    assert _asked(text) >= {(1, "quantity"), (2, "wire_diameter")}


@pytest.mark.parametrize(
    ("noise", "lines"),
    [
        ("Gate code 4417#", 1),
        ("Ovens run 220 C, three of them, 24/7.", 1),
        ("I should be obliged if you would mention WS/D2/screens in your answer.", 1),
        ("Last supply was 20 mesh and no good.", 1),
        ("The old disc was 316L and lasted 8 months.", 1),
        ("Para la tela da igual el largo.", 1),
    ],
)
def test_what_is_no_goods_changes_nothing(noise: str, lines: int) -> None:
    text = f"Please quote 4 rolls 24 mesh, 0.36 mm wire, 304, 1 m x 30 m.\n\n{noise}"
    read = _lines(text, "quantity", "mesh_count_per_in", "alloy")
    assert read == [(4, 24.0, "304")] * lines


def test_pitch_opening_and_wire_that_do_not_add_up_are_asked() -> None:
    text = "8 panels 1000 x 800 mm, pitch 8 mm, aperture 6 mm, wire 2.5 mm, mild steel"
    assert _asked(text) >= {(1, "pitch"), (1, "aperture"), (1, "wire_diameter")}


@pytest.mark.parametrize(
    ("text", "name", "words"),
    [
        ("send to: Lab 3, Quillon Materials. rush!!", "deliver_to", "Lab 3, Quillon Materials"),
        ("They go to our paint kitchen, Lowther Wharf.", "deliver_to", "our paint kitchen, Lowther Wharf"),  # noqa: E501
        ("Ship-to: 2210 Velderhout, dock 3", "deliver_to", "2210 Velderhout, dock 3"),
        ("good to talk. See you.", "deliver_to", None),
        ("Need by 10/15. Net 30.", "wanted_by", "10/15"),
        ("Requested delivery: 2025-10-06", "wanted_by", "2025-10-06"),
        ("Someone else offered them, delivered in 21 days.", "wanted_by", None),
        ("as in my letter of the 2nd.", "wanted_by", None),
        ("DEMANDE DE PRIX n° DP-25-118", "reference", "DP-25-118"),
        ("our PO will be ART-0091", "reference", "ART-0091"),
        ("I should be glad if you would mention WS/D2/screens in your answer.", "reference", "WS/D2/screens"),  # noqa: E501
        ("please requote what we had last yr on PO 88213", "reference", None),
    ],
)  # fmt: skip
def test_the_head_is_told_in_many_ways(text: str, name: str, words: str | None) -> None:
    found = mc.read_letter(f"2 rolls 20 mesh, 0.4 mm wire, 304, 1 m x 30 m\n\n{text}").header[name]
    assert (found.text if found is not None else None) == words
