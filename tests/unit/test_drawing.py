"""Drawings of cloth: over and under at every crossing, to scale, readable in any theme."""

from __future__ import annotations

import re
import runpy
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any, get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from meshcore.arrays import BoolArray
from meshcore.enquiry import FLAT_TOP, INTERMEDIATE_CRIMP, PLAIN, TWILLED, WEAVES, WELDED
from meshcore.weave.drawing.layout import SHUTE_FILL, WARP_FILL
from meshcore.weave.drawing.sheet import draw_cloth
from meshcore.weave.drawing.svg import DARK_INK, DARK_PAPER, LIGHT_INK, LIGHT_PAPER, Theme
from meshcore.weave.geometry.interlacing import interlacing, tiled
from meshcore.weave.geometry.path import jam_wire_to_pitch

SVG = "{http://www.w3.org/2000/svg}"
EVERY_WEAVE = pytest.mark.parametrize("weave", range(len(WEAVES)), ids=WEAVES)


def drawn(weave: int, share: float = 0.5, pitch: float = 2.54e-3, **options: Any) -> ET.Element:
    """Drawing of cloth whose wire is `share` of the jam."""
    return ET.fromstring(
        draw_cloth(weave, share * jam_wire_to_pitch(weave) * pitch, pitch, **options)
    )


def groups(root: ET.Element, view: str, name: str) -> dict[int, ET.Element]:
    return {
        int(group.get("data-wire", "")): group
        for group in root.iter(f"{SVG}g")
        if group.get("data-view") == view and group.get("data-set") == name
    }


def number(element: ET.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def axis(group: ET.Element, along: str) -> float:
    """Where a wire's axis lies: x of a warp wire, y of a shute wire."""
    piece = group.find(f"{SVG}rect")
    assert piece is not None
    return number(piece, along) + number(piece, "width" if along == "x" else "height") / 2


def shows(group: ET.Element, x: float, y: float) -> bool:
    """Whether any piece of the wire is drawn at a point."""
    return any(
        number(piece, "x") <= x <= number(piece, "x") + number(piece, "width")
        and number(piece, "y") <= y <= number(piece, "y") + number(piece, "height")
        for piece in group.iter(f"{SVG}rect")
    )


def over_in_plan(root: ET.Element) -> BoolArray:
    """Read off the plan which wire is seen at each crossing; just one is, everywhere."""
    warp, shute = groups(root, "plan", "warp"), groups(root, "plan", "shute")
    over = np.zeros((len(warp), len(shute)), dtype=np.bool_)
    for i, warp_wire in warp.items():
        for j, shute_wire in shute.items():
            at = (axis(warp_wire, "x"), axis(shute_wire, "y"))
            assert shows(warp_wire, *at) != shows(shute_wire, *at)
            over[i, j] = shows(warp_wire, *at)
    return over


def points(path: ET.Element) -> tuple[Any, Any]:
    pairs = [pair.split(",") for pair in path.get("d", "").strip("MZ").split(" ")]
    x, y = np.array(pairs, dtype=float).T
    return x, y


@EVERY_WEAVE
def test_over_and_under_are_right_at_every_crossing(weave: int) -> None:
    over = over_in_plan(drawn(weave))
    np.testing.assert_array_equal(over, tiled(weave, len(over)))


def test_plain_interlacing_alternates_both_ways() -> None:
    for weave in set(range(len(WEAVES))) - {TWILLED, WELDED}:
        over = tiled(weave, 8)
        assert (over[:, 1:] != over[:, :-1]).all()
        assert (over[1:] != over[:-1]).all()


def test_twill_floats_over_two_and_under_two_and_steps_one_along() -> None:
    over = tiled(TWILLED, 12)
    for wire in (*over, *over.T):
        changes = np.flatnonzero(np.diff(wire.astype(int)))
        assert (np.diff(changes) == 2).all()
        assert len(changes) >= 5
    np.testing.assert_array_equal(over[1:, 1:], over[:-1, :-1])


def test_every_woven_wire_passes_over_as_often_as_under() -> None:
    for weave in set(range(len(WEAVES))) - {WELDED}:
        repeat = interlacing(weave)
        assert (repeat.mean(axis=0) == 0.5).all()
        assert (repeat.mean(axis=1) == 0.5).all()
    assert interlacing(WELDED).all()


@EVERY_WEAVE
def test_the_section_shows_what_the_plan_shows_along_its_cut(weave: int) -> None:
    root = drawn(weave)
    over = over_in_plan(root)
    cut = groups(root, "section", "warp")
    shute = groups(root, "section", "shute")
    row = max(shute)  # the wire that is cut; the one behind it lies before it in the plan
    outline = shute[row].findall(f"{SVG}path")
    (upper_x, upper_y), (lower_x, lower_y) = points(outline[1]), points(outline[2])
    for i, group in cut.items():
        circle = group.find(f"{SVG}circle")
        assert circle is not None
        x, y, radius = (number(circle, name) for name in ("cx", "cy", "r"))
        assert group.get("data-side") == ("above" if over[i, row] else "below")
        top, bottom = np.interp(x, upper_x, upper_y), np.interp(x, lower_x, lower_y)
        touching = 0.06  # two decimals are written, and a chord cuts its arc's corner
        if over[i, row]:
            assert y + radius == pytest.approx(top, abs=touching)
        else:
            assert y - radius == pytest.approx(bottom, abs=touching)


@EVERY_WEAVE
@pytest.mark.parametrize("share", [0.05, 0.5, 1.0])
def test_no_wire_runs_through_another(weave: int, share: float) -> None:
    if weave == WELDED and share == 1.0:
        share = 0.99
    root = drawn(weave, share)
    shute = groups(root, "section", "shute")
    _, upper, lower = shute[max(shute)].findall(f"{SVG}path")
    for group in groups(root, "section", "warp").values():
        circle = group.find(f"{SVG}circle")
        assert circle is not None
        x, y, radius = (number(circle, name) for name in ("cx", "cy", "r"))
        for edge in (upper, lower):
            distance = np.hypot(*(a - b for a, b in zip(points(edge), (x, y), strict=True)))
            assert distance.min() >= radius * 0.98 - 0.05


@EVERY_WEAVE
def test_sizes_are_to_scale_and_dimensioned(weave: int) -> None:
    pitch = 2.54e-3
    wire = 0.5 * jam_wire_to_pitch(weave) * pitch
    root = ET.fromstring(draw_cloth(weave, wire, pitch))
    units = {
        group.get("data-dimension"): number(group, "data-size")
        for group in root.iter(f"{SVG}g")
        if group.get("data-dimension")
    }
    scale = units["pitch"] / pitch
    sizes = {"aperture": pitch - wire, "wire": wire, "thickness": 2 * wire, "pitch": pitch}
    assert set(units) == set(sizes)
    for name, size in sizes.items():
        assert units[name] == pytest.approx(size * scale, abs=0.02)
    radii = {number(circle, "r") for circle in root.iter(f"{SVG}circle")}
    assert len(radii) == 1
    assert radii.pop() == pytest.approx(wire * scale / 2, abs=0.01)


@pytest.mark.parametrize(
    ("wire", "pitch", "texts"),
    [
        (20e-6, 40e-6, ("wire", "20 µm", "pitch 40 µm", "aperture 20 µm", "thickness")),
        (6.3e-3, 56.3e-3, ("6.3 mm", "pitch 56.3 mm", "aperture 50 mm", "12.6 mm")),
    ],
)
def test_units_follow_the_size(wire: float, pitch: float, texts: tuple[str, ...]) -> None:
    picture = draw_cloth(PLAIN, wire, pitch)
    written = {text.text for text in ET.fromstring(picture).iter(f"{SVG}text")}
    assert written >= set(texts)


def test_the_picture_is_the_same_at_any_scale() -> None:
    def shapes(size: float) -> list[str]:
        root = ET.fromstring(draw_cloth(FLAT_TOP, 0.2 * size, size))
        return [
            e.get("d", "") + e.get("x1", "") + e.get("r", "") for e in root.iter() if e.text is None
        ]

    fine, coarse = shapes(40e-6), shapes(0.4)
    assert fine == coarse


def test_intermediate_crimp_has_more_crimps_than_double_crimp() -> None:
    def turns(**options: int) -> int:
        shute = groups(drawn(INTERMEDIATE_CRIMP, 0.2, **options), "section", "shute")
        _, upper, _ = shute[max(shute)].findall(f"{SVG}path")
        slope = np.sign(np.round(np.diff(points(upper)[1]), 3))
        slope = slope[slope != 0]
        return int((np.diff(slope) != 0).sum())

    assert turns(crimps=2) == pytest.approx(3 * turns(crimps=1), abs=2)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2, from memory)."""

    def luminance(colour: str) -> float:
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return float(np.dot(linear, [0.2126, 0.7152, 0.0722]))

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_ink_stands_out_from_paper() -> None:
    assert contrast(LIGHT_INK, LIGHT_PAPER) > 12
    assert contrast(DARK_INK, DARK_PAPER) > 12


def test_fills_are_told_apart_by_outline_and_on_both_papers() -> None:
    for fill in (WARP_FILL, SHUTE_FILL):
        assert contrast(fill, DARK_PAPER) > 3
        assert contrast(fill, LIGHT_INK) > 3


@pytest.mark.parametrize("theme", get_args(Theme))
def test_themes_bring_their_paper_or_none(theme: Theme) -> None:
    picture = draw_cloth(PLAIN, 0.6e-3, 2e-3, theme=theme)
    assert ("prefers-color-scheme:dark" in picture) == (theme == "system")
    assert ("meshcore-paper" in picture) == (theme != "inherit")
    root = ET.fromstring(picture)
    colours = {"light": LIGHT_INK, "dark": DARK_INK}
    assert root.get("color") == colours.get(theme)
    strokes = {element.get("stroke") for element in root.iter() if element.get("stroke")}
    assert strokes == {"currentColor"}


def test_a_picture_says_what_it_is_to_those_who_cannot_see_it() -> None:
    root = drawn(TWILLED)
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert title is not None
    assert description is not None
    assert "Twilled weave" in (title.text or "")
    assert "thickness" in (description.text or "")
    welded = drawn(WELDED).find(f"{SVG}title")
    assert welded is not None
    assert "not woven" in (welded.text or "")


def test_no_identifiers_that_would_clash_on_one_page() -> None:
    assert all(element.get("id") is None for element in drawn(PLAIN).iter())


@settings(max_examples=40, deadline=None)
@given(
    st.integers(0, len(WEAVES) - 1),
    st.floats(0.02, 0.999),
    st.floats(1e-6, 1.0),
)
def test_whatever_can_be_woven_can_be_drawn(weave: int, share: float, pitch: float) -> None:
    wire = share * jam_wire_to_pitch(weave) * pitch
    picture = draw_cloth(weave, wire, pitch)
    root = ET.fromstring(picture)
    assert not re.search(r"\b(?:nan|inf)\b", picture)
    _, _, width, height = (float(side) for side in root.get("viewBox", "").split())
    for text in root.iter(f"{SVG}text"):
        assert 0 <= number(text, "x") <= width
        assert 0 <= number(text, "y") <= height


@pytest.mark.parametrize(
    ("weave", "wire", "pitch", "says"),
    [
        (PLAIN, 2e-3, 2.5e-3, "beyond the jam"),
        (PLAIN, -1e-3, 2e-3, "positive"),
        (PLAIN, float("nan"), 2e-3, "positive"),
        (99, 1e-3, 3e-3, "WEAVES"),
    ],
)
def test_what_cannot_be_woven_is_not_drawn(
    weave: int, wire: float, pitch: float, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        draw_cloth(weave, wire, pitch)


def test_an_unknown_theme_is_named() -> None:
    with pytest.raises(ValueError, match="neon"):
        draw_cloth(PLAIN, 1e-3, 3e-3, theme="neon")  # type: ignore[arg-type]


@EVERY_WEAVE
def test_the_figure_in_the_docs_is_what_the_code_draws(weave: int, project_root: Path) -> None:
    folder = project_root / "docs" / "weaves"
    script = runpy.run_path(str(folder / "generate.py"))
    path = folder / script["figure_name"](weave)
    assert path.read_text(encoding="utf-8") == script["figure"](weave)
