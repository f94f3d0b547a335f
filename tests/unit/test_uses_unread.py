"""Nothing that a sentence says of a cloth is lost unsaid: it is used, or named as not read."""

from __future__ import annotations

import pytest

import meshcore as mc
from meshcore.uses.catalogue import STATEMENTS, read_use
from meshcore.uses.figures import read_figures
from meshcore.uses.sentences.reading import Said, read_sentence


def _said(text: str) -> Said:
    statement = read_use(text)
    assert not isinstance(statement, mc.Message), statement
    return read_sentence(statement, text)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("vibrating screen, cutting at 6 mm, in unobtanium", "unobtanium"),
        ("vibrating screen, cutting at 6 mm, made of Zorbium 400", "zorbium"),
        ("filter 100 µm in Xyloy-9", "xyloy-9"),
        ("filter 100 µm, nylon", "nylon"),
        ("insect screen against mosquitoes, polyester", "polyester"),
        ("Filter aus Kunststoff, Partikel ab 0,1 mm", "kunststoff"),
    ],
)
def test_a_material_that_is_no_known_metal_is_doubted(text: str, word: str) -> None:
    told = [one for one in _said(text).told if one.code == "use.material_unknown"]
    assert [(one.read, one.severity, one.field) for one in told] == [(word, "review", "alloy")]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("vibrating screen, cutting at 6 mm, plastic coated", "plastic, coated"),
        ("ventilation, keep out 6 mm, magnetic", "magnetic"),
        ("machine guard 200 mm away, hot rolled spring wire", "hot, rolled, spring"),
        ("machine guard 200 mm away, heavy duty", "heavy"),
        ("Schutzgitter, Abstand 200 mm, schwarz", "schwarz"),
    ],
)
def test_words_that_nothing_reads_are_named(text: str, words: str) -> None:
    told = [one.read for one in _said(text).told if one.code == "use.words_unread"]
    assert told == [words]


@pytest.mark.parametrize(
    "text",
    [
        "for a vibrating screen, cutting at 6 mm",
        "We need a strainer in 316L, please quote: it must stop 0.5 mm in water.",
        "to keep mosquitoes out, air at 1 m/s",
        "screening fly ash, cut at 0.5 mm",
        "Prüfsieb 150 µm",
    ],
)
def test_a_sentence_that_is_read_whole_has_nothing_unread(text: str) -> None:
    codes = {one.code for one in _said(text).told}
    assert not codes & {"use.words_unread", "use.material_unknown"}


@pytest.mark.parametrize(
    "text",
    [
        "vibrating screen, cutting at 6 mm, 65 % open",
        "filter 100 µm, 45 % open",
        "fly screen, 75 % open area",
        "machine guard 200 mm from the danger, 75 % open",
        "reinforcement 60 mm²/m, grain 4 mm, 70 % open",
        "shielding 40 dB at 1 GHz, 60 % open",
    ],
)
def test_a_wish_of_open_area_is_kept_by_every_offer(text: str) -> None:
    found = mc.specify(text, price_book=mc.demo_price_book())
    least = float(_said(text).figures["open_area"].rstrip("% "))
    assert any(f"at least {least:g} % open" in one for one in found.reasons)
    opened = [float(one.measures["open area"].split()[0]) for one in found.offers]
    assert opened
    assert min(opened) >= least - 0.05


@pytest.mark.parametrize("text", ["screen at 6 mm", "screen 6 mm cut", "screens, 6 mm cut"])
def test_a_screen_of_which_nothing_else_is_said_screens(text: str) -> None:
    assert dict(_said(text).figures) == {"cut_size": "6 mm"}


def test_a_figure_may_stand_with_its_name_in_a_sentence() -> None:
    said = _said("screening, cut_size=6 mm, duty=schwer")
    assert dict(said.figures) == {"cut_size": "6 mm", "duty": "schwer"}
    values, wrong = read_figures(STATEMENTS["screening"].figures, said.figures)
    assert not wrong
    assert values["duty"] == "heavy"


def test_speeds_per_hour_are_read() -> None:
    """A filter's speed is often given so: 36 m/h are 10 mm/s by the clock."""
    values, wrong = read_figures(STATEMENTS["filtration"].figures,
                                 {"particle": "0.1 mm", "speed": "36 m/h"})  # fmt: skip
    assert not wrong
    assert values["speed"] == pytest.approx(0.010)


@pytest.mark.parametrize(
    ("text", "aperture_m"),
    [("0.0059 in", 150e-6), ("0.0787 in", 2e-3), ("0.132 in", 3.35e-3)],
)
def test_a_sieve_in_printed_inches_is_that_sieve(text: str, aperture_m: float) -> None:
    """Inches as ASTM E11 prints them beside the apertures (from memory)."""
    values, wrong = read_figures(STATEMENTS["test sieving"].figures, {"aperture": text})
    assert not wrong
    assert values["aperture"] == pytest.approx(aperture_m, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "use", "figure", "value"),
    [
        ("spark arrestor for a chimney", "ventilation", "keep_out", "12.7 mm"),
        ("barbecue grill", "conveying", "item", "25 mm"),
    ],
)
def test_a_thing_that_stands_for_a_figure_says_what_is_taken(
    text: str, use: str, figure: str, value: str
) -> None:
    statement = read_use(text)
    assert not isinstance(statement, mc.Message)
    assert statement.use == use
    said = read_sentence(statement, text)
    assert said.figures[figure] == value
    (told,) = [one for one in said.told if one.code == "use.figure_taken"]
    assert (told.severity, told.field) == ("review", figure)
    assert figure not in {one.field for one in read_sentence(statement, f"{text}, 3 mm").told}


@pytest.mark.parametrize(
    ("text", "animal"),
    [
        ("chicken wire for the run", "chickens"),
        ("aviary for budgies", "cage birds"),
        ("rabbit hutch", "rabbits"),
        ("Voliere", "cage birds"),
    ],
)
def test_kept_animals_are_known(text: str, animal: str) -> None:
    assert dict(_said(text).figures) == {"insect": animal}
