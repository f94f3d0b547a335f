"""A weave that nobody named is chosen for the sizes and the use; advice goes in no circle."""

from __future__ import annotations

import numpy as np
import pytest

import meshcore as mc
from meshcore.enquiry import PLAIN, WEAVES
from meshcore.messages import MessageLog
from meshcore.reading.uses import USES, use_named
from meshcore.reading.vocabulary import languages, words
from meshcore.weave.geometry.specifications import specifications
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, NOT_JUDGED, assess
from meshcore.weave.judging.verdict import judge
from meshcore.weave.search.grid import combinations
from meshcore_weave_practice import meshcore_weave_rules

RULES = tuple(("weave-practice", rule) for rule in meshcore_weave_rules())


def chosen(note: str = "", **sizes: str) -> mc.Estimate:
    form = mc.Roll("1 m", "10 m")
    return mc.estimate(mc.Enquiry(alloy="304", form=form, note=note, **sizes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("sizes", "weave"),
    [
        # Common practice, no source: plain to 3/4 in and 0.148 in, pre-crimped beyond, and extra
        # crimps where light wire would shift.
        ({"mesh_count": "10 / in", "wire_diameter": "0.025 in"}, "plain"),
        ({"aperture": "25 mm", "wire_diameter": "5 mm"}, "double crimp"),
        ({"aperture": "50 mm", "wire_diameter": "3 mm"}, "intermediate crimp"),
        ({"mesh_count": "20 / in", "wire_diameter": "0.026 in"}, "twilled"),
        ({"mesh_count": "200 / in", "wire_diameter": "0.0021 in"}, "plain"),
    ],
)
def test_a_blank_weave_is_the_one_usual_in_its_sizes(sizes: dict[str, str], weave: str) -> None:
    one = chosen(**sizes)
    assert one.row["weave"] == weave
    said = [m for m in one.messages if m.code == "weave.chosen"]
    assert [m.severity for m in said] == ([] if weave == "plain" else ["note"])
    assert all(weave in m.text for m in said)
    assert not any(m.code == "weave.plain_too_coarse" for m in one.messages)


def test_what_a_note_says_of_the_use_decides() -> None:
    one = chosen("for the vibrating screen", aperture="8 mm", wire_diameter="2.5 mm")
    assert one.row["weave"] == "double crimp"
    (said,) = [m for m in one.messages if m.code == "weave.chosen"]
    assert "vibrating screen" in said.text


def test_a_weave_that_is_named_stays_as_asked() -> None:
    one = chosen(weave="plain", aperture="25 mm", wire_diameter="5 mm")
    assert one.row["weave"] == "plain"
    assert "Double crimp can be woven in these sizes" in str(one.messages)


def test_where_none_can_be_woven_plain_is_judged() -> None:
    one = chosen(mesh_count="10 / in", wire_diameter="0.08 in")
    assert one.row["weave"] == "plain"
    assert one.status == "refused"


@pytest.mark.parametrize("weave", range(len(WEAVES)))
def test_advice_never_sends_an_enquiry_in_a_circle(weave: int) -> None:
    # Over the whole grid: the weave that is advised is itself advised nothing.
    wire, pitch, _ = combinations()
    codes = np.full(len(wire), weave, dtype=np.int64)
    cloth = specifications(codes, wire, pitch)
    practicality = judge(cloth, RULES, MessageLog(len(wire)))
    remedy = practicality.remedy
    assert remedy is not None
    advised = np.flatnonzero(remedy >= 0)
    assert len(advised)
    assert (practicality.verdict[advised] != CAN_BE_WOVEN).all()
    again = specifications(remedy[advised], wire[advised], pitch[advised])
    assert (assess(again, RULES).verdict == CAN_BE_WOVEN).all()


def test_no_rule_names_a_weave_in_its_advice() -> None:
    # Another rule might be against it; which weave takes the sizes is said by judging them all.
    wire, pitch, _ = combinations()
    part = slice(0, len(wire), 997)
    for weave in range(len(WEAVES)):
        cloth = specifications(np.full(len(wire[part]), weave), wire[part], pitch[part])
        for _, rule in RULES:
            advice = rule.judge(cloth).advice.casefold()
            assert not any(f"ask for {name}" in advice or f"take {name}" in advice
                           for name in WEAVES), rule.name  # fmt: skip


def test_lines_that_are_not_judged_have_no_remedy() -> None:
    cloth = specifications(np.array([PLAIN]), np.array([np.nan]), np.array([1e-3]))
    found = judge(cloth, RULES, MessageLog(1))
    assert found.verdict[0] == NOT_JUDGED
    assert found.remedy is not None
    assert found.remedy[0] == -1


@pytest.mark.parametrize("language", languages())
def test_every_language_names_every_use(language: str) -> None:
    assert set(words("use", language).values()) == set(USES)


@pytest.mark.parametrize(
    ("text", "use"),
    [
        ("for our vibrating screens", "screening"),
        ("Siebbelag für Schwingsieb", "screening"),
        ("moustiquaire", "insects"),
        ("insect screen, 18 mesh", "insects"),
        ("malla para filtro", "filtration"),
        ("screened from view", ""),
        ("filtration of what leaves the vibrating screen", ""),
        ("", ""),
    ],
)
def test_words_of_a_use(text: str, use: str) -> None:
    assert use_named(text)[1] == use
