"""Sentences of buyers: each states a use, and every amount in it is used or told as not used."""

from __future__ import annotations

import re

import pytest
from said_sentences import Sentence, faults, sentences

import meshcore as mc
from meshcore.cli import main
from meshcore.uses.catalogue import STATEMENTS, read_use
from meshcore.uses.sentences.amounts import amounts_in, folded
from meshcore.uses.sentences.reading import read_sentence

FILES = ("first.txt", "fresh.txt", "later.txt", "asked.txt")
SENTENCES = [one for name in FILES for one in sentences(name)]


@pytest.mark.parametrize("one", SENTENCES, ids=lambda one: one.text[:50])
def test_a_sentence_is_read_as_it_is_meant(one: Sentence) -> None:
    assert faults(one) == []


@pytest.mark.parametrize("one", SENTENCES, ids=lambda one: one.text[:50])
@pytest.mark.parametrize("use", STATEMENTS)
def test_no_amount_is_dropped_whatever_the_use(one: Sentence, use: str) -> None:
    """Of another use too: each amount is a figure's text, or is told, or is an alloy's name."""
    said = read_sentence(STATEMENTS[use], one.text)
    kept = " ".join([*said.figures.values(), said.alloy, *(told.read for told in said.told)])
    for amount in amounts_in(folded(one.text)):
        for number in re.findall(r"\d+(?:[.,]\d+)*", amount.text):
            assert number in kept, amount


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("filter 100 µm, 20 off", "20 off"),
        ("filter 100 µm, pump 5 kW", "5 kw"),
        ("filter 100 µm at 6 bar operating pressure", "6 bar"),
        ("filter for 0.1 mm or 0.2 mm", "0.1 mm"),
        ("machine guard 200 mm away, 30 % of it painted", "30%"),
        ("vibrating screen, cut at 6 mm, 150 t/h", "150 t/h"),
        ("vibrating screen 10 mesh, cut at 2 mm", "10 mesh"),
    ],
)
def test_what_no_figure_is_said_of_is_told(text: str, told: str) -> None:
    statement = read_use(text)
    assert not isinstance(statement, mc.Message)
    said = read_sentence(statement, text)
    assert told in " ".join(one.read for one in said.told)
    assert told not in said.figures.values()


def test_of_two_amounts_that_fit_alike_none_is_guessed() -> None:
    found = mc.specify("filter for 0.1 mm or 0.2 mm")
    assert len(found) == 0
    assert {one.field for one in found.messages} == {"particle", "use"}


def test_a_range_gives_the_end_that_the_figure_stands_for_and_says_so() -> None:
    found = mc.specify("machine guard, 200 to 300 mm from the danger zone", count=1)
    assert any("at 200 mm from the danger" in one for one in found.reasons)
    assert [(one.code, one.read) for one in found.told] == [("use.range_taken", "200 to 300 mm")]


def test_of_several_animals_the_smallest_is_kept_out_and_it_is_said() -> None:
    found = mc.specify("to keep flies and mosquitoes out", count=1)
    assert any("mosquitoes" in one for one in found.reasons)
    assert [one.code for one in found.told] == ["use.choice_twice"]


def test_a_sentence_of_two_uses_is_asked_back() -> None:
    (message,) = mc.specify("for a filter or a vibrating screen, 1 mm").messages
    assert message.code == "use.in_doubt"
    assert "filtration" in message.text
    assert "screening" in message.text


def test_fly_ash_is_no_fly() -> None:
    statement = read_use("screening fly ash, cut at 0.5 mm")
    assert not isinstance(statement, mc.Message)
    assert statement.use == "screening"


def test_an_alloy_in_the_sentence_is_taken_and_ore_is_none(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert mc.specify("strainer in 316L, 1 mm", count=1).alloy == "316L"
    assert mc.specify("screening copper ore at 6 mm", count=1).alloy == "carbon steel"
    main(["specify", "vibrating screen, cutting at 6 mm, 1.2 m wide", "--demo", "--count", "1"])
    assert '1.2 m" — not used' in capsys.readouterr().out
