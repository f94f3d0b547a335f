"""The model in the browser: drawn without network, turned and cut by keys, true to its scale."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING, Literal
from urllib.parse import urlsplit

import numpy as np
import pytest
from browsing import NARROW, PATIENCE, WIDE, download, follow, settled, type_in, visiting
from PIL import Image
from playwright.sync_api import expect

from meshcore.arrays import BoolArray, IntArray
from meshcore.enquiry import WEAVES
from meshcore.weave.solids.cloth_solid import cloth_solids
from meshcore.weave.solids.gltf import glb_bytes

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

pytestmark = pytest.mark.browser

#: The enquiry on which the demonstration opens: 10 per inch, wire 0.025 in.
PITCH_M, WIRE_M, PITCHES = 2.54e-3, 0.635e-3, 6


def model(page: Page) -> Locator:
    """The model, once it is drawn."""
    canvas = page.locator('canvas[data-ready="yes"]')
    canvas.wait_for(timeout=PATIENCE)
    return canvas


def picture(canvas: Locator) -> IntArray:
    """Colours of the canvas, red, green and blue at each point; not of the scale and key below."""
    taken = Image.open(io.BytesIO(canvas.screenshot())).convert("RGB")
    colours = np.asarray(taken).astype(np.int64)
    return colours[: int(0.88 * len(colours))]


def warp_points(colours: IntArray) -> BoolArray:
    """Where blue outweighs red, as in the warp's colour alone."""
    return np.asarray(colours[..., 2] > colours[..., 0] + 40)


def shute_points(colours: IntArray) -> BoolArray:
    """Where red outweighs blue, as in the shute's colour alone."""
    return np.asarray(colours[..., 0] > colours[..., 2] + 40)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_every_weave_is_shown_and_nothing_comes_from_elsewhere(
    browser: Browser, app_url: str, size: tuple[int, int], scheme: Literal["light", "dark"]
) -> None:
    hosts: set[str | None] = set()

    def listen(page: Page) -> None:
        page.on("request", lambda asked: hosts.add(urlsplit(asked.url).hostname))

    with visiting(browser, f"{app_url}/weaves", size, scheme, listen) as page:
        model(page)
        seen = set()
        for name in WEAVES:
            page.get_by_label("Weave", exact=True).click()
            page.get_by_role("option", name=name.capitalize(), exact=True).click()
            expect(page.locator(".st-key-weave_told h2")).to_have_text(name.capitalize())
            settled(page)
            named = f'canvas[aria-label^="Model of {name}:"][data-ready="yes"]'
            page.locator(named).wait_for(timeout=PATIENCE)
            colours = picture(model(page))
            assert warp_points(colours).mean() > 0.01, name
            assert shute_points(colours).mean() > 0.01, name
            seen.add(colours.tobytes())
        # Double crimp is plain weave that is bent before: the same shape under another name.
        assert len(seen) == len(WEAVES) - 1
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    assert hosts - {None, ""} == {"localhost"}


def test_keys_turn_it_and_bring_it_back(browser: Browser, app_url: str) -> None:
    with visiting(browser, f"{app_url}/weaves") as page:
        canvas = model(page)
        before = picture(canvas)
        canvas.focus()
        page.keyboard.press("ArrowRight")
        page.keyboard.press("ArrowUp")
        page.keyboard.press("+")
        expect(canvas).to_have_attribute("data-turn", "-30")
        expect(canvas).to_have_attribute("data-tilt", "43")
        expect(canvas).to_have_attribute("data-zoom", "1.200")
        assert (picture(canvas) != before).any()
        page.keyboard.press("Home")
        expect(canvas).to_have_attribute("data-zoom", "1.000")
        # The frame of the focus lies upon the picture's edge.
        assert (picture(canvas)[5:-5, 5:-5] == before[5:-5, 5:-5]).mean() > 0.999


def test_the_pointer_turns_it(browser: Browser, app_url: str) -> None:
    with visiting(browser, f"{app_url}/weaves") as page:
        canvas = model(page)
        box = canvas.bounding_box()
        assert box is not None
        middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.mouse.move(*middle)
        page.mouse.down()
        page.mouse.move(middle[0] - 40, middle[1])
        page.mouse.up()
        expect(canvas).to_have_attribute("data-turn", "-15")


def test_the_scale_bar_is_true(browser: Browser, app_url: str) -> None:
    """Seen from above, the outer warp wires are five pitches and a wire apart."""
    with visiting(browser, f"{app_url}/weaves") as page:
        canvas = model(page)
        page.get_by_role("button", name="Above").click()
        expect(canvas).to_have_attribute("data-tilt", "90")
        bar = page.locator('[data-part="bar"]')
        metres = float(bar.get_attribute("data-metres") or "nan")
        pixels = bar.evaluate("e => e.getBoundingClientRect().width")
        columns = np.flatnonzero(warp_points(picture(canvas)).any(axis=0))
        measured = (columns[-1] - columns[0] + 1) * metres / pixels
        assert measured == pytest.approx((PITCHES - 1) * PITCH_M + WIRE_M, rel=0.01)
        expect(page.locator('[data-part="length"]')).to_have_text(f"{metres * 1e3:g} mm")


def test_a_section_takes_off_what_is_in_front(browser: Browser, app_url: str) -> None:
    with visiting(browser, f"{app_url}/weaves") as page:
        canvas = model(page)
        whole = (warp_points(picture(canvas)) | shute_points(picture(canvas))).sum()
        depth = page.get_by_label("Where it is cut")
        expect(depth).to_be_disabled()
        page.locator('select[data-part="cut"]').select_option("shute")
        expect(depth).to_be_enabled()
        page.wait_for_timeout(300)
        cut = picture(canvas)
        left = (warp_points(cut) | shute_points(cut)).sum()
        assert 0.4 * whole < left < 0.75 * whole
        depth.focus()
        for _ in range(20):
            page.keyboard.press("ArrowRight")
        expect(depth).to_have_value("4.5")
        page.wait_for_timeout(300)
        less = picture(canvas)
        assert (warp_points(less) | shute_points(less)).sum() < 0.6 * left


def test_the_enquiry_shows_its_model_and_gives_the_librarys_file(
    browser: Browser, app_url: str, tmp_path: Path
) -> None:
    with visiting(browser, f"{app_url}/enquiry") as page:
        page.get_by_role("tab", name="Model").click()
        settled(page)
        before = picture(model(page))
        path = download(page, "cloth_shown_of_glb", tmp_path / "cloth.glb")
        sizes = (np.array([0]), np.array([0.025 * 0.0254]), np.array([0.0254 / 10]))
        [solid] = cloth_solids(*sizes)
        assert path.read_bytes() == glb_bytes(solid)
        # Another wire is another model, in the same place.
        type_in(page, "Wire diameter", "0.045 in")
        expect(model(page)).not_to_have_attribute("data-triangles", "12240", timeout=PATIENCE)
        assert (picture(model(page)) != before).any()
        follow(page, "Weaves")
        model(page)
