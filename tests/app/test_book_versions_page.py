"""Versions on the price book's page: saved by name and reason, compared, and taken back."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest
from streamlit.testing.v1.element_tree import Block, Button
from streamlit.util import calc_hash
from test_app_enquiry import DEMO_LINE, POLICY, shown
from test_page_price_book import BOOK, METAL, edit, with_amount

import meshcore as mc
from meshcore.costing.book.edits import as_edited
from meshcore.costing.book.files import read_price_book
from meshcore.costing.book.history.saving import save_version
from meshcore.costing.book.history.versions import book_versions
from meshcore.demo import BOOK_VARIABLE, DEMO_VARIABLE, demo_data
from meshcore.register.records import save_estimate
from meshcore.register.storing import USER_VARIABLE

TEXT = (demo_data() / "price_book.toml").read_text(encoding="utf-8")


def _book_page() -> None:
    from meshcore_estimator.price_book import page as page_price_book  # noqa: PLC0415 - run as a script of its own

    page_price_book.page()


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "mill.toml"
    path.write_text(TEXT, encoding="utf-8")
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    monkeypatch.setenv(BOOK_VARIABLE, str(path))
    monkeypatch.setenv(USER_VARIABLE, "night shift")
    return path


@pytest.fixture
def page(file: Path) -> AppTest:
    assert file.is_file()
    return AppTest.from_function(_book_page, default_timeout=60).run()


def save(app: AppTest, who: str, why: str) -> AppTest:
    app.text_input(key="who").set_value(who)
    app.text_input(key="book_note").set_value(why).run()
    return app.button(key="book_save").click().run()


def test_nothing_is_to_be_saved_until_something_is_changed(page: AppTest) -> None:
    assert page.button(key="book_save").disabled
    assert "None yet" in shown(page, "book_versions")
    app = edit(page, "rates", {METAL: {"amount": 4.1}})
    assert not app.button(key="book_save").disabled


def test_an_edit_is_saved_to_the_file_under_a_name_and_a_reason(page: AppTest, file: Path) -> None:
    app = edit(page, "rates", {METAL: {"amount": 4.1}})
    app.button(key="book_use").click().run()
    app = save(app, "A. Buyer", "rod is dearer")
    assert not app.exception
    said = shown(app, "book_versions")
    assert "Saved as version 2, and in use." in said
    assert "A. Buyer rod is dearer" in said
    assert "in force" in said
    assert app.text_input(key="book_note").value == ""
    held = read_price_book(file)
    assert held.rates == with_amount(4.1).rates
    assert "# --- Wire" in file.read_text(encoding="utf-8")
    head = shown(app, "book_head")
    assert "In use" in head
    assert "Edited" not in head
    assert date.today().isoformat() in head
    assert "None." in shown(app, "book_changes")
    assert app.button(key="book_undo").disabled


def test_without_a_reason_nothing_is_saved_and_what_was_typed_stays(
    page: AppTest, file: Path
) -> None:
    app = edit(page, "rates", {METAL: {"amount": 4.1}})
    app = app.button(key="book_save").click().run()
    assert "A version needs its note" in shown(app, "book_versions")
    assert file.read_text(encoding="utf-8") == TEXT
    assert "3.45 4.1" in shown(app, "book_changes")


def test_a_blank_name_is_that_of_whoever_is_at_work(page: AppTest, file: Path) -> None:
    app = edit(page, "rates", {METAL: {"amount": 4.1}})
    save(app, "", "trial")
    assert book_versions(file)[-1].author == "night shift"


def test_versions_are_compared_and_taken_back(page: AppTest, file: Path) -> None:
    app = edit(page, "rates", {METAL: {"amount": 4.1}})
    app = save(app, "A. Buyer", "rod is dearer")
    app.session_state["book_between"] = True
    app = app.run()
    assert "3.45 4.1" in shown(app, "book_between")
    app.selectbox(key="book_version_back").select(1).run()
    app = app.button(key="book_take_back").click().run()
    assert file.read_text(encoding="utf-8") == TEXT
    assert "back to version 1" in shown(app, "book_versions")
    assert app.data_editor[0].value["amount"][METAL] == 3.45


def test_the_box_to_take_back_by_stays_open_while_a_version_is_chosen(page: AppTest) -> None:
    """What was said of the saving went with the next run, and shut the box below it."""
    app = save(edit(page, "rates", {METAL: {"amount": 4.1}}), "A. Buyer", "rod is dearer")
    place = place_of("book_take_back", app.main)
    assert place
    app = app.selectbox(key="book_version_back").select(1).run()
    assert place_of("book_take_back", app.main) == place


def place_of(key: str, node: Block, at: tuple[int, ...] = ()) -> tuple[int, ...]:
    """Where a button stands on the page: the page draws it anew where that is another place."""
    for place, one in node.children.items():
        if isinstance(one, Button) and one.key == key:
            return (*at, place)
        if isinstance(one, Block) and (found := place_of(key, one, (*at, place))):
            return found
    return ()


def test_a_book_that_somebody_else_saved_meanwhile_is_not_written_over(
    page: AppTest, file: Path
) -> None:
    save_version(file, with_amount(4.4), BOOK, author="B", note="n")
    app = edit(page, "rates", {METAL: {"amount": 4.1}})
    assert "somebody saved it meanwhile" in shown(app, "book_versions")
    assert app.button(key="book_save").disabled
    app = app.button(key="book_anew").click().run()
    assert app.data_editor[0].value["amount"][METAL] == 4.4
    assert "somebody saved" not in shown(app, "book_versions")
    app = edit(app, "rates", {METAL: {"amount": 4.6}})
    save(app, "C", "dearer again")
    assert read_price_book(file).rates[METAL].amount == 4.6


def test_the_book_of_the_demonstration_has_no_versions(
    page: AppTest, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert page.button(key="book_save")
    monkeypatch.setenv(BOOK_VARIABLE, str(demo_data() / "price_book.toml"))
    app = AppTest.from_function(_book_page, default_timeout=60).run()
    assert "no file that the estimator may write" in shown(app, "book_versions")
    assert not [b for b in app.button if b.key == "book_save"]


def test_an_edited_book_bears_its_badge_wherever_its_prices_are(demo_app: AppTest) -> None:
    book = as_edited(with_amount(4.1), BOOK, date.today())
    one = mc.estimate(DEMO_LINE, book, POLICY).estimates
    save_estimate(one, "with an edited book")
    demo_app.session_state["settings_book"] = book
    badge = f"{BOOK.name}, edited edited"
    app = demo_app.run()
    assert "edited" in shown(app, "basis").replace(f"{BOOK.name}, edited", "")
    for name, place in (("reasons", "saved"), ("about", None)):
        assert badge in on_page(app, name, place), name
    assert "an edited price book that is not saved" in on_page(app, "quotations", None)


def on_page(app: AppTest, name: str, place: str | None) -> str:
    """Text of a page, or of a place on it."""
    app._page_hash = calc_hash(name)
    app.run()
    assert not app.exception
    if place:
        return shown(app, place)
    return " ".join(re.sub(r"<[^>]+>", " ", " ".join(one.value for one in app.html)).split())
