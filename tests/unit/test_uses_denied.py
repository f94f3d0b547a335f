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


@pytest.mark.parametrize(
    ("text", "weaves"),
    [
        ("guard 100 mm from a blade, welded", {"welded"}),
        ("screen sand cut at 4 mm plain weave", {"plain"}),
        ("screen sand cut at 4 mm, twilled weave", {"twilled"}),
        ("Schutzgitter geschweißt, Abstand 100 mm", {"welded"}),
    ],
)
def test_a_weave_that_is_named_is_the_only_one_offered(text: str, weaves: set[str]) -> None:
    assert {one.cells["weave"] for one in mc.specify(text).offers} == weaves


def test_a_weave_that_is_denied_is_not_offered_and_a_welded_frame_is_none() -> None:
    usual = {one.cells["weave"] for one in mc.specify("guard 200 mm from a blade").offers}
    without = {one.cells["weave"] for one in mc.specify("guard 200 mm away, not welded").offers}
    assert "welded" in usual
    assert without
    assert "welded" not in without
    assert read_sentence(STATEMENTS["guarding"], "guard welded into a frame").weaves == ()
    assert read_sentence(STATEMENTS["guarding"], "guard, 2 ft wide").weaves == ()


@pytest.mark.parametrize(
    ("text", "alloy", "code"),
    [
        ("guard in stainless steel 100 mm from a blade", "304", "use.alloy_general"),
        ("Abschirmung 50 dB bei 900 MHz aus Edelstahl", "304", "use.alloy_general"),
        ("Filtersieb 0,5 mm aus Edelstahl", "316L", "use.alloy_general"),
        ("screening copper ore at 6 mm", "carbon steel", "use.alloy_not_taken"),
    ],
)
def test_a_name_of_several_alloys_is_told(text: str, alloy: str, code: str) -> None:
    found = mc.specify(text, count=1)
    assert found.alloy == alloy
    assert code in codes(found.told)


@pytest.mark.parametrize("text", ["Schutzgitter Alu, Abstand 200 mm", "strainer bronze, 1 mm"])
def test_a_name_of_several_alloys_none_of_them_usual_is_asked(text: str) -> None:
    found = mc.specify(text, count=1)
    assert len(found) == 0
    assert [one.field for one in found.messages] == ["alloy"]


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("diesel filter, 50 micron, 0.1 m/s", "fluid"),
        ("filter for glycerine, 100 micron, 0.1 m/s", "fluid"),
        ("guard for a child, 100 mm from the fan", "use"),
        ("Schutzgitter für Kinder, Abstand 200 mm", "use"),
    ],
)
def test_what_no_relation_holds_for_is_refused(text: str, field: str) -> None:
    found = mc.specify(text, count=1)
    assert len(found) == 0
    assert found.messages[0].field == field
    assert found.messages[0].text.count(".")


def test_a_fluid_is_named_as_the_nearest_or_left_without_a_speed() -> None:
    assert len(mc.specify("diesel filter, 50 micron, 0.1 m/s", fluid="light oil", count=1))
    found = mc.specify("diesel filter, 50 micron", count=1)
    assert codes(found.told)["use.foreign_choice"] == "diesel"
    assert said("Ölfilter 40 µm bei 0,05 m/s", "filtration").figures["fluid"] == "light oil"
