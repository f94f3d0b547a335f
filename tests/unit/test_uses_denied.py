"""What a sentence denies is never taken, a guard's opening is no distance, two uses are both named.

The sentences are invented, as buyers write (common practice, no source).
"""

from __future__ import annotations

import pytest

import meshcore as mc
from meshcore.uses.catalogue import STATEMENTS
from meshcore.uses.sentences.reading import Said, read_sentence


def said(text: str, use: str = "screening") -> Said:
    return read_sentence(STATEMENTS[use], text)


def codes(told: tuple[mc.Message, ...]) -> dict[str, str]:
    return {one.code: one.read for one in told}


@pytest.mark.parametrize(
    ("text", "figures", "alloy", "denied"),
    [
        ("not cutting at 6 mm but at 8 mm", {"cut_size": "8 mm"}, "", "6 mm"),
        ("cutting at 8 mm, not at 6 mm", {"cut_size": "8 mm"}, "", "6 mm"),
        ("cutting at 6 mm, wet, not dry", {"cut_size": "6 mm", "feed": "wet"}, "", "dry"),
        ("cutting at 6 mm, not dry but damp", {"cut_size": "6 mm", "feed": "damp"}, "", "dry"),
        ("cutting at 6 mm, no heavy duty", {"cut_size": "6 mm"}, "", "heavy duty"),
        ("cutting at 6 mm, neither wet nor damp", {"cut_size": "6 mm"}, "", "wet"),
        ("cutting at 6 mm, not in 304 but in bronze", {"cut_size": "6 mm"}, "bronze", "304"),
        ("cutting at 6 mm, 316L instead of bronze", {"cut_size": "6 mm"}, "316L", "bronze"),
        ("nicht 6 mm sondern Trennschnitt bei 8 mm", {"cut_size": "8 mm"}, "", "6 mm"),
        ("screen not cutting at 6 mm", {}, "", "6 mm"),
    ],
)
def test_what_is_denied_is_never_taken_and_what_stands_behind_but_is(
    text: str, figures: dict[str, str], alloy: str, denied: str
) -> None:
    found = said(text)
    assert dict(found.figures) == figures
    assert found.alloy == alloy
    assert denied in [one.read for one in found.told if one.code == "use.denied"]


@pytest.mark.parametrize(
    ("use", "text", "figures"),
    [
        ("ventilation", "grille against 15 mm, not more than 20 Pa at 3 m/s",
         {"keep_out": "15 mm", "most_drop": "20 Pa", "speed": "3 m/s"}),
        ("filtration", "no dust may pass, not under 0.1 mm",
         {"particle": "0.1 mm", "fluid": "air"}),
        ("insects", "no mosquitoes", {"insect": "mosquitoes"}),
    ],
)  # fmt: skip
def test_a_limit_and_what_must_not_pass_are_no_denial(
    use: str, text: str, figures: dict[str, str]
) -> None:
    found = said(text, use)
    assert dict(found.figures) == figures
    assert found.denied == ()


@pytest.mark.parametrize(
    "level", ["level deck", "not inclined", "horizontal deck", "nicht geneigt"]
)
def test_a_level_deck_does_not_slope(level: str) -> None:
    assert said(f"vibrating screen cutting at 6 mm, {level}").figures["inclination"] == "0°"


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("vibrating screen cutting at 6 mm, not dry", "feed"),
        ("vibrating screen cutting at 6 mm, not inclined at 20°", "inclination"),
        ("vibrating screen cutting at 6 mm, not carbon steel", "alloy"),
        ("vibrating screen, not cutting at 6 mm", "cut_size"),
    ],
)
def test_what_is_usual_and_denied_is_asked_for(text: str, field: str) -> None:
    found = mc.specify(text, count=1)
    assert len(found) == 0
    assert found.messages[0].field == field
    assert "use.denied" in codes(found.messages)


def test_a_figure_that_is_given_answers_what_was_denied() -> None:
    assert len(mc.specify("vibrating screen cutting at 6 mm, not dry", feed="damp", count=1)) == 1


@pytest.mark.parametrize(
    "text",
    [
        "guard, openings of 1/2 in, how near may it be",
        "guard mesh 1/2 in",
        "guard with 1/2 in mesh, how close to the danger may it stand",
    ],
)
def test_an_opening_of_a_guard_is_no_distance(text: str) -> None:
    found = mc.specify(text, count=1)
    assert len(found) == 0
    assert [one.field for one in found.messages] == ["distance", "use"]
    assert found.messages[1].read.startswith("1/2 in")


def test_two_uses_are_both_named_and_which_is_taken() -> None:
    text = "vibrating screen cutting at 6 mm and a machine guard 200 mm away"
    found = mc.specify(text, count=1)
    (told,) = [one for one in found.told if one.code == "use.another_said"]
    assert (found.use, told.read) == ("guarding", "screening")
    assert "guarding is taken" in told.text
    assert ("use.amount_unused", "6 mm") in [(one.code, one.read) for one in found.told]
