"""What stands on the screen when the app goes away stands there when it is back, and is kept."""

from __future__ import annotations

import os
import re
import signal
from typing import TYPE_CHECKING

import pytest
from app_fixtures import free_port, running
from browsing import PATIENCE, field, follow, settled, type_in, visiting
from playwright.sync_api import expect

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page, WebSocketRoute

pytestmark = pytest.mark.browser
LIST = "Mesh;Wire;alloy;form;width;length;Qty\n10 / in;0.025 in;304;roll;48 in;100 ft;3\n"


def expect_away(page: Page) -> None:
    expect(page.locator(".mc-connection")).to_contain_text("No connection", timeout=PATIENCE)


def expect_back(page: Page) -> None:
    expect(page.locator(".mc-connection")).to_be_empty(timeout=PATIENCE)
    settled(page)


def expect_fields(page: Page, **values: str) -> None:
    for label, text in values.items():
        expect(field(page, label)).to_have_value(text, timeout=PATIENCE)


def write(page: Page, label: str, text: str) -> None:
    """Type over what stands in a field, and stay in it."""
    field(page, label).click()
    page.keyboard.press("Control+A")
    page.keyboard.type(text)


def test_what_is_typed_while_the_app_is_dying_stands_when_it_runs_again(
    browser: Browser, tmp_path: Path
) -> None:
    port = free_port()
    address = f"http://localhost:{port}/enquiry"
    with running(tmp_path, os.environ, port) as first, visiting(browser, address) as page:
        type_in(page, "Quantity", "5")
        typed = {"Quantity": "5", "Length": "50 ft", "Mesh count": "12 / in"}
        # From here on nothing that is typed reaches anybody, and the page cannot know.
        first.send_signal(signal.SIGSTOP)
        write(page, "Length", "50 ft")
        page.keyboard.press("Tab")
        write(page, "Mesh count", "12 / in")
        first.kill()
        first.wait()
        expect_away(page)
        with running(tmp_path, os.environ, port):
            expect_back(page)
            expect_fields(page, **typed)
            settled(page)
            page.reload()
            settled(page)
            expect_fields(page, **typed)


def test_what_is_chosen_while_the_app_is_dying_stands_when_it_runs_again(
    browser: Browser, tmp_path: Path
) -> None:
    def choose(page: Page, box: str, name: str) -> None:
        page.locator(f".st-key-{box} button").filter(has_text=name).click()

    def expect_chosen(page: Page, box: str, name: str) -> None:
        on = page.locator(f".st-key-{box} button:is([aria-checked=true], [aria-pressed=true])")
        expect(on).to_have_text(name, timeout=PATIENCE)

    port = free_port()
    address = f"http://localhost:{port}/enquiry"
    with running(tmp_path, os.environ, port) as first, visiting(browser, address) as page:
        type_in(page, "Quantity", "5")
        first.send_signal(signal.SIGSTOP)
        choose(page, "ask_path_model", "Flat")
        choose(page, "ask_form", "Strip")
        first.kill()
        first.wait()
        expect_away(page)
        with running(tmp_path, os.environ, port):
            expect_back(page)
            expect_chosen(page, "ask_path_model", "Flat 3 % rule")
            expect_chosen(page, "ask_form", "Strip")
            settled(page)
            page.reload()
            settled(page)
            expect_chosen(page, "ask_path_model", "Flat 3 % rule")
            expect_chosen(page, "ask_form", "Strip")
            expect_fields(page, Quantity="5")


def test_a_lost_connection_is_said_and_loses_nothing(browser: Browser, app_url: str) -> None:
    sockets: list[WebSocketRoute] = []

    def pass_on(socket: WebSocketRoute) -> None:
        socket.connect_to_server()
        sockets.append(socket)

    def prepare(page: Page) -> None:
        page.route_web_socket(re.compile("_stcore/stream"), pass_on)

    with visiting(browser, f"{app_url}/enquiry", prepare=prepare) as page:
        type_in(page, "Quantity", "5")
        write(page, "Length", "50 ft")
        page.context.set_offline(offline=True)
        sockets[-1].close(code=4000)
        expect_away(page)
        expect_fields(page, Quantity="5", Length="50 ft")
        page.context.set_offline(offline=False)
        expect_back(page)
        assert len(sockets) > 1
        expect_fields(page, Quantity="5", Length="50 ft")
        settled(page)
        page.reload()
        settled(page)
        expect_fields(page, Quantity="5", Length="50 ft")


def test_letter_and_list_are_there_when_the_app_runs_again(
    browser: Browser, tmp_path: Path
) -> None:
    port = free_port()
    address = f"http://localhost:{port}"
    with running(tmp_path, os.environ, port) as first, visiting(browser, address) as page:
        field(page, "Letter").fill("Please quote 4 rolls 10 mesh, 0.025 in wire, 304, 48 in")
        settled(page)
        follow(page, "List")
        page.locator("input[type=file]").set_input_files(
            {"name": "inbox.csv", "mimeType": "text/csv", "buffer": LIST.encode()}
        )
        totals = page.locator(".st-key-list_totals")
        expect(totals).to_contain_text("1 ok", timeout=PATIENCE)
        settled(page)
        said = totals.inner_text()
        first.kill()
        first.wait()
        expect_away(page)
        with running(tmp_path, os.environ, port):
            expect_back(page)
            expect(page.get_by_role("link", name="List", exact=True)).to_have_attribute(
                "aria-current", "page"
            )
            expect(totals).to_have_text(said, use_inner_text=True, timeout=PATIENCE)
            follow(page, "Letter")
            expect(field(page, "Letter")).to_have_value(re.compile("4 rolls 10 mesh"))
