"""Changes that name lines by their place, some of a line's pieces, or lines numbered with gaps."""

from __future__ import annotations

from pathlib import Path

import pytest

import meshcore as mc

HERE = Path(__file__).parent
LIST = {
    "en": [
        "3 rolls 20 mesh, 0.4 mm wire, 304, 1 m x 30 m",
        "20 discs 100 mm, 30 mesh, 0.28 mm wire, 304",
        "40 discs 90 mm, 30 mesh, 0.28 mm wire, 304",
    ],
    "de": [
        "3 Rollen 20 mesh, Draht 0,4 mm, 1.4301, 1 m x 30 m",
        "20 Ronden 100 mm, 30 mesh, Draht 0,28 mm, 1.4301",
        "40 Ronden 90 mm, 30 mesh, Draht 0,28 mm, 1.4301",
    ],
    "fr": [
        "3 rouleaux 20 mesh, fil 0,4 mm, inox 304, 1 m x 30 m",
        "20 disques 100 mm, 30 mesh, fil 0,28 mm, inox 304",
        "40 disques 90 mm, 30 mesh, fil 0,28 mm, inox 304",
    ],
    "es": [
        "3 rollos 20 mesh, alambre 0,4 mm, 304, 1 m x 30 m",
        "20 discos 100 mm, 30 mesh, alambre 0,28 mm, 304",
        "40 discos 90 mm, 30 mesh, alambre 0,28 mm, 304",
    ],
}


def _letter(change: str, language: str) -> mc.Letter:
    below = "\n".join(f"> {n}. {line}" for n, line in enumerate(LIST[language], start=1))
    return mc.read_letter(f"{change}\n\n{below}\n")


@pytest.mark.parametrize(
    ("change", "language", "quantities"),
    [
        ("There is no item 3 any more.", "en", [3, 20]),
        ("Please quote only the first two lines.", "en", [3, 20]),
        ("We only want the last two lines now.", "en", [20, 40]),
        ("Bitte nur die ersten zwei Positionen anbieten.", "de", [3, 20]),
        ("Seulement un devis pour les deux premières lignes, svp.", "fr", [3, 20]),
        ("Coticen solo las dos primeras líneas.", "es", [3, 20]),
    ],
)
def test_lines_named_by_their_place_are_kept_or_go(
    change: str, language: str, quantities: list[int]
) -> None:
    assert list(_letter(change, language).values["quantity"]) == quantities


def test_lines_that_are_only_urgent_take_none_away() -> None:
    letter = _letter("Only the first two lines are urgent.", "en")
    assert len(letter.lines) == 3
    assert set(letter.asked["field"]) == {"quantity"}


@pytest.mark.parametrize(
    ("change", "line"),
    [
        ("Hello, make one of them 50 mesh instead.", LIST["en"][0]),
        ("Bitte eine davon in 50 mesh statt 20.", LIST["de"][0]),
    ],
)
def test_a_change_of_some_of_a_line_is_asked(change: str, line: str) -> None:
    letter = mc.read_letter(f"{change}\n\n> {line}\n")
    assert len(letter.lines) == 1
    assert set(letter.asked["field"]) == {"quantity", "mesh_count"}
    assert letter.values["quantity"].isna().all()


def test_changes_above_a_list_that_is_numbered_with_gaps_reach_its_lines() -> None:
    values = mc.read_letter(HERE / "variants" / "d14.txt").values
    found = sorted(zip(values["quantity"], values["alloy"], strict=True))
    assert found == [(2, "316"), (4, "316"), (10, "316"), (14, "316")]


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("3 rolls for our vibrating screen, 4 mesh, 1.6 mm wire, 1 m x 10 m", "vibrating screen"),
        ("3 Rollen für unser Schwingsieb, 4 mesh, Draht 1,6 mm, 1 m x 10 m", "schwingsieb"),
        ("3 rouleaux pour notre crible, 4 mesh, fil 1,6 mm, 1 m x 10 m", "crible"),
        ("3 rollos para nuestra criba, 4 mesh, alambre 1,6 mm, 1 m x 10 m", "criba"),
        ("3 rolls for our office, 4 mesh, 1.6 mm wire, 1 m x 10 m", ""),
    ],
)
def test_what_cloth_is_for_is_kept_in_the_remark(text: str, word: str) -> None:
    letter = mc.read_letter(text)
    assert list(letter.lines.get("note", [""])) == [word]
