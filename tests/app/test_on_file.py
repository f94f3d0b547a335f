"""Saving, finding and opening stand where the enquiry is."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_fixtures import on_enquiry
from app_fixtures import shown as page_shows
from streamlit.testing.v1 import AppTest
from test_app_enquiry import figure, shown

from meshcore.demo import DEMO_VARIABLE
from meshcore.register.connecting import REGISTER_VARIABLE
from meshcore.register.records import saved_estimates
from meshcore_estimator.__main__ import SCRIPT


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> AppTest:
    """The enquiry of the demonstration with its file open, on a register of its own."""
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    opened = page_shows(on_enquiry(AppTest.from_file(SCRIPT, default_timeout=60)).run())
    opened.session_state["on_file"] = True
    return opened.run()


def test_an_enquiry_is_saved_found_and_opened_again(app: AppTest) -> None:
    assert not app.exception
    first = figure(app, "Price")
    app.text_input(key="save_title").set_value("belts for the mill")
    app.button(key="save_estimate").click().run()
    assert app.text_input(key="save_title").value == ""
    app.text_input(key="ask_quantity").set_value("7").run()
    assert figure(app, "Price") != first
    app.button(key="save_estimate").click().run()
    assert saved_estimates()["title"].tolist()[1] == "belts for the mill"

    app.text_input(key="file_find").set_value("BELTS").run()
    assert [name.split(",")[0] for name in app.selectbox(key="file_chosen").options] == [
        "1: belts for the mill"
    ]
    app.button(key="file_open").click().run()
    assert not app.exception
    assert app.text_input(key="ask_quantity").value == "3"
    assert figure(app, "Price") == first
    said = " ".join(element.value for element in app.html)
    assert "Number 1 is opened, and priced with the book of today" in said
    assert len(saved_estimates()) == 2


def test_what_is_not_on_file_is_not_found(app: AppTest) -> None:
    app.button(key="save_estimate").click().run()
    app.text_input(key="file_find").set_value("nothing of the kind").run()
    assert "Nothing on file agrees." in " ".join(element.value for element in app.html)
    assert shown(app, "status").startswith("OK")
