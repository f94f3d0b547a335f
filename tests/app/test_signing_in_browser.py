"""Signing in by OpenID Connect in a browser: in, at work by a role, out; and what is refused."""

from __future__ import annotations

import json
import os
import re
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from app_fixtures import free_port, running
from browsing import PATIENCE, field, follow, settled, type_in
from openid_provider import CLIENT, SECRET, Provider, serving_provider
from playwright.sync_api import expect

from meshcore_estimator.access import ACCESS_VARIABLE

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
PEOPLE = {
    "Kay": {"email": "kay@mill.example", "email_verified": True},
    "Eve": {"email": "eve@mill.example", "email_verified": True, "groups": ["estimating"]},
    "Vic": {"email": "vic@mill.example", "email_verified": True},
    "Mal": {"email": "kay@mill.example", "email_verified": False},
}
ROLES = """
otherwise = "refused"
[viewer]
email = ["vic@mill.example"]
[estimator]
groups = ["estimating"]
[keeper]
email = ["kay@mill.example"]
"""


@dataclass
class Office:
    """An app with sign-in, its provider, and its log."""

    address: str
    provider: Provider
    log: Path


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    folder = tmp_path_factory.mktemp("office")
    port, at = free_port(), free_port()
    address = f"http://localhost:{port}"
    back = f"{address}/oauth2callback"
    (folder / ".streamlit").mkdir()
    (folder / ".streamlit" / "secrets.toml").write_text(
        f'[auth]\nredirect_uri = "{back}"\ncookie_secret = "{"0123456789abcdef" * 4}"\n'
        f'client_id = "{CLIENT}"\nclient_secret = "{SECRET}"\n'
        f'server_metadata_url = "http://localhost:{at}/.well-known/openid-configuration"\n'
    )
    (folder / "access.toml").write_text(ROLES)
    own = os.environ | {"HOME": str(folder), ACCESS_VARIABLE: str(folder / "access.toml"),
                        "MESHCORE_REGISTER": str(folder / "register.sqlite")}  # fmt: skip
    with serving_provider(at, back, PEOPLE) as provider, running(folder / "app", own, port):
        yield Office(address, provider, folder / "app" / "app.log")


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    context.set_default_timeout(PATIENCE)
    yield context.new_page()
    context.close()


def sign_in(page: Page, office: Office, who: str) -> None:
    page.goto(office.address)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name=who).click()
    page.wait_for_url(f"{office.address}/**")


def test_one_signs_in_works_and_signs_out(page: Page, office: Office) -> None:
    sign_in(page, office, "Eve")
    settled(page)
    expect(page.locator(".st-key-signed_in")).to_contain_text("eve@mill.example, estimator")
    follow(page, "Enquiry")
    before = page.locator(".st-key-headline .mc-value").first.inner_text()
    type_in(page, "Quantity", "7")
    expect(page.locator(".st-key-headline .mc-value").first).not_to_have_text(before)
    expect(page.get_by_role("link", name="Price book", exact=True)).to_have_count(1)
    # What was typed is there after a reload: she is signed in still, and the draft is hers.
    page.reload()
    settled(page)
    expect(field(page, "Quantity")).to_have_value("7")
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="Sign in").wait_for()
    assert office.provider.ended == [CLIENT]
    page.goto(f"{office.address}/enquiry")
    page.get_by_role("button", name="Sign in").wait_for()
    assert page.get_by_label("Quantity", exact=True).count() == 0
    logged = [json.loads(line) for line in office.log.read_text().splitlines()
              if line.startswith("{")]  # fmt: skip
    assert any(one["who"] == "eve@mill.example" and one["what"] == "Enquiry" and one["ms"] > 0
               for one in logged)  # fmt: skip


def test_a_viewer_sees_prices_and_no_page_of_the_mill(page: Page, office: Office) -> None:
    sign_in(page, office, "Vic")
    settled(page)
    follow(page, "Enquiry")
    expect(page.locator(".st-key-headline .mc-value").first).to_contain_text("EUR")
    assert page.get_by_role("tab", name="Cost items").count() == 0
    assert page.get_by_role("link", name="Price book", exact=True).count() == 0
    for hidden in ("price-book", "reasons"):
        page.goto(f"{office.address}/{hidden}")
        settled(page)
        body = page.locator("body").inner_text()
        assert not re.search("Rates dated|Changes to the saved book|Estimates on file", body)


def test_an_address_that_the_provider_does_not_vouch_for_is_nobodys(
    page: Page, office: Office
) -> None:
    sign_in(page, office, "Mal")
    expect(page.locator("body")).to_contain_text("may not use this estimator", timeout=PATIENCE)
    assert page.get_by_role("link", name="Enquiry", exact=True).count() == 0


def test_a_forged_state_and_a_forged_cookie_sign_nobody_in(page: Page, office: Office) -> None:
    page.goto(f"{office.address}/oauth2callback?code=anything&state=forged")
    page.get_by_role("button", name="Sign in").wait_for()
    name = "_streamlit_user"
    forged = json.dumps({"email": "kay@mill.example", "is_logged_in": True})
    page.context.add_cookies([{"name": name, "value": forged.replace('"', "'"),
                               "url": office.address}])  # fmt: skip
    page.goto(office.address)
    page.get_by_role("button", name="Sign in").wait_for()
    # Somebody else's answer, with a state of another browser.
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name="Kay").wait_for()
    given = page.get_by_role("link", name="Kay").get_attribute("href") or ""
    page.context.clear_cookies()
    page.goto(f"{office.provider.address}{given}")
    page.get_by_role("button", name="Sign in").wait_for()


def test_an_expired_token_signs_nobody_in(page: Page, office: Office) -> None:
    office.provider.lifetime = -3600.0
    try:
        page.goto(office.address)
        page.get_by_role("button", name="Sign in").click()
        page.get_by_role("link", name="Kay").click()
        page.wait_for_load_state()
        page.goto(office.address)
        page.get_by_role("button", name="Sign in").wait_for()
    finally:
        office.provider.lifetime = 300.0


def test_its_health_is_told_without_sign_in_and_without_a_path(office: Office) -> None:
    with urllib.request.urlopen(f"{office.address}/health", timeout=30) as answer:
        told = json.load(answer)
    assert told == {"status": "good", "price book": "good", "supply policy": "good",
                    "register": "good"}  # fmt: skip
