"""What a run wrote stands, though the next one broke it off before its messages were sent."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import pytest
from browsing import PATIENCE, settled, type_in, visiting
from browsing import field as field_of
from playwright.sync_api import expect
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route, WebSocketRoute

pytestmark = pytest.mark.browser


@dataclass
class Loss:
    """Stands between page and app, and loses messages of one run, as the app does itself."""

    is_armed: bool = False
    is_losing: bool = False
    lost: list[ForwardMsg] = field(default_factory=list)

    def prepare(self, page: Page) -> None:
        page.route_web_socket(re.compile("_stcore/stream"), self._stand)

    def _stand(self, socket: WebSocketRoute) -> None:
        server = socket.connect_to_server()

        def pass_on(message: str | bytes) -> None:
            if isinstance(message, str) or not self._loses(ForwardMsg.FromString(message)):
                socket.send(message)

        server.on_message(pass_on)

    def _loses(self, message: ForwardMsg) -> bool:
        if message.HasField("new_session"):
            self.is_losing, self.is_armed = self.is_armed, False
        is_of_run = message.HasField("delta") or message.HasField("script_finished")
        is_lost = self.is_losing and is_of_run
        if is_lost:
            self.lost.append(message)
        return is_lost


def expect_fields(page: Page, **values: str) -> None:
    for label, text in values.items():
        expect(field_of(page, label.replace("_", " "))).to_have_value(text, timeout=PATIENCE)


def test_an_offer_taken_up_in_a_run_that_never_reached_the_page_is_taken_up(
    browser: Browser, app_url: str
) -> None:
    loss = Loss()
    with visiting(browser, f"{app_url}/enquiry", prepare=loss.prepare) as page:
        type_in(page, "Wire diameter", "0.08 in")
        loss.is_armed = True
        page.locator(".st-key-first .st-key-use_offer_0 button").click()
        type_in(page, "Quantity", "5")
        type_in(page, "Length", "50 ft")
        assert loss.lost
        expect_fields(page, Mesh_count="", Quantity="5", Length="50 ft")
        expect(page.locator(".st-key-status")).to_contain_text("OK", timeout=PATIENCE)


def test_fields_that_are_loaded_late_are_filled(browser: Browser, app_url: str) -> None:
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    def prepare(page: Page) -> None:
        page.route("**/TextInput.*.js", hold)

    with visiting(browser, f"{app_url}/enquiry", prepare=prepare) as page:
        settled(page)
        assert held
        for route in held:
            route.continue_()
        expect_fields(page, Mesh_count="10 / in", Width="48 in", Quantity="3")
        type_in(page, "Length", "50 ft")
        expect_fields(page, Mesh_count="10 / in", Width="48 in", Quantity="3", Length="50 ft")


def test_a_letter_whose_field_is_loaded_late_is_not_lost(browser: Browser, app_url: str) -> None:
    """On a busy machine the page came back blank: the app was told too soon that it was shown."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    def prepare(page: Page) -> None:
        page.route("**/TextArea.*.js", hold)

    with visiting(browser, f"{app_url}/weaves", prepare=prepare) as page:
        page.get_by_role("link", name="Letter", exact=True).click()
        page.locator(".st-key-letter_grid canvas").first.wait_for(timeout=PATIENCE)
        # What is told too soon goes with the first of these runs; the next would take it as typed.
        for _ in range(3):
            settled(page)
            page.wait_for_timeout(300)
        assert held
        for route in held:
            route.continue_()
        expect(field_of(page, "Letter")).to_have_value(re.compile("Pippin"), timeout=PATIENCE)
        settled(page)
        expect(page.locator(".st-key-letter_totals")).to_be_visible(timeout=PATIENCE)


def test_what_is_emptied_stays_empty(browser: Browser, app_url: str) -> None:
    with visiting(browser, f"{app_url}/enquiry") as page:
        type_in(page, "Quantity", "")
        expect(page.locator(".st-key-status")).to_contain_text("Refused", timeout=PATIENCE)
        expect_fields(page, Quantity="")
