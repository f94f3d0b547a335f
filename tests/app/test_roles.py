"""What each role sees and does: a viewer is told no cost by any page, download, address or copy."""

from __future__ import annotations

import ast
import os
import shutil
import sqlite3
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import streamlit as st
from app_fixtures import shown
from costs_told import Shown, cost_figures, estimates_held, numbers, page_texts, taken
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash

import meshcore as mc
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import BOOK_VARIABLE, DEMO_VARIABLE, demo_data
from meshcore.documents.quotation import quotation
from meshcore.documents.terms import read_terms
from meshcore.estimates.for_buyers import (
    OF_THE_MILL,
    WITHHELD,
    tells_costs,
    without_costs,
    without_set_prices,
)
from meshcore.register.connecting import REGISTER_VARIABLE
from meshcore.register.opening import open_register
from meshcore.register.quotations import file_quotation
from meshcore.register.records import save_estimate, saved_estimates
from meshcore_estimator import access as roles_file
from meshcore_estimator.__main__ import SCRIPT
from meshcore_estimator.access import ACCESS_VARIABLE, AccessError, read_access
from meshcore_estimator.shared import signing_in
from meshcore_estimator.shared.drafts import DRAFTS_VARIABLE

APP = SCRIPT.parent
PEOPLE = """
otherwise = "refused"
[viewer]
email = ["@mill.example"]
[estimator]
groups = ["estimating"]
[keeper]
email = ["kay@mill.example"]
"""
VIEWER, ESTIMATOR = {"email": ("vic@mill.example",)}, {"email": ("eve@mill.example",),
                                                       "groups": ("all", "estimating")}  # fmt: skip
KEEPER = {"email": ("KAY@mill.example",)}
PAGES = ("letter", "enquiry", "use", "weaves", "list", "cutting", "alloys", "quotations", "about")
MILLS_PAGES = ("price-book", "reasons")


@pytest.fixture
def people(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, tuple[str, ...]]:
    """An office with sign-in and a book of its own; returned is who is at the page."""
    (tmp_path / "access.toml").write_text(PEOPLE)
    monkeypatch.setenv(ACCESS_VARIABLE, str(tmp_path / "access.toml"))
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    monkeypatch.setenv(DRAFTS_VARIABLE, str(tmp_path / "drafts.sqlite"))
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    shutil.copy(demo_data() / "price_book.toml", tmp_path / "book.toml")
    monkeypatch.setenv(BOOK_VARIABLE, str(tmp_path / "book.toml"))
    here: dict[str, tuple[str, ...]] = {}
    monkeypatch.setattr(signing_in, "by_provider", lambda: True)
    monkeypatch.setattr(signing_in, "claims", lambda: dict(here))
    return here


def book() -> PriceBook:
    return mc.read_price_book(os.environ[BOOK_VARIABLE])


def opened(page: str = "") -> AppTest:
    app = AppTest.from_file(SCRIPT, default_timeout=180)
    app._page_hash = calc_hash(page) if page else ""
    return app


def walked(monkeypatch: pytest.MonkeyPatch, pages: tuple[str, ...]) -> tuple[Shown, list[object]]:
    """Go through pages as one person, with every tab and fold open; take every file away."""
    seen, states = Shown(), list[object]()
    offered: dict[str, object] = {}

    def caught(_label: str, data: object, **more: object) -> bool:
        offered[str(more.get("key"))] = data
        return False

    monkeypatch.setattr(st, "download_button", caught)
    for page in pages:
        app = opened(page)
        for box in ("how_read_open", "mend_open", "questions_open", "on_file"):
            app.session_state[box] = True
        app = shown(app.run())
        if page == "list":
            app = shown(app.button(key="use_demo").click().run())
        if page == "cutting":
            app = shown(app.button(key="plan_cutting").click().run())
        tabs = ("Cost items", "Can it be woven?", "Tolerances and strength",
                "Nearest that can be woven", "Questions to ask back")  # fmt: skip
        for tab in tabs if page == "enquiry" else ("",):
            if tab:
                app.session_state["answer_tabs"] = tab
                app = app.run()
            assert not app.exception, (page, app.exception)
            seen.texts += page_texts(app)
        states.append(app.session_state.to_dict())
        seen.files |= {f"{page}:{key}": taken(data) for key, data in offered.items()}
        offered.clear()
    return seen, states


def on_file() -> None:
    """A quotation and an estimate, as an estimator leaves them."""
    estimates = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv").head(6), book())
    facts = quotation(estimates, read_terms(demo_data() / "terms.toml"), to="Bakery")
    file_quotation(open_register(), facts, estimates)
    save_estimate(estimates, "belts", "", who="eve@mill.example")


def figures_of_the_demo() -> set[str]:
    """Cost figures of all that the walk comes by."""
    whole = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"), book())
    first = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv").head(1), book())
    told = cost_figures(whole) | cost_figures(first)
    return told - {t for one in (whole, first) for t in _everybodys(one)}


def _everybodys(estimates: mc.EstimateSet) -> set[str]:
    return numbers(estimates.table.drop(columns=["cost", "messages"]).to_csv())


def test_a_viewer_is_told_no_cost_anywhere(
    people: dict[str, tuple[str, ...]], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    on_file()
    secret = figures_of_the_demo()
    assert len(secret) > 100
    # The walk finds costs where there are any: else it could not tell that there are none.
    people.update(ESTIMATOR)
    seen, states = walked(monkeypatch, ("enquiry", "list", *MILLS_PAGES))
    found = secret & seen.all_numbers()
    assert len(found) > 0.5 * len(secret)
    assert any(tells_costs(one) for state in states for one in estimates_held(state))

    people.clear()
    people.update(VIEWER)
    (tmp_path / "drafts.sqlite").unlink(missing_ok=True)
    seen, states = walked(monkeypatch, (*PAGES, *MILLS_PAGES))
    assert len(seen.files) > 12, sorted(seen.files)
    assert not secret & seen.all_numbers()
    held = [one for state in states for one in estimates_held(state)]
    assert held
    assert not any(tells_costs(one) for one in held)
    assert all(len(one.cost_items()) == 0 for one in held)
    with sqlite3.connect(tmp_path / "drafts.sqlite") as drafts:
        kept = "\n".join(text for [text] in drafts.execute("SELECT text FROM parts"))
    assert not secret & Shown([kept]).all_numbers()


@pytest.mark.parametrize("page", MILLS_PAGES)
def test_pages_of_the_mill_are_not_there_for_a_viewer(
    people: dict[str, tuple[str, ...]], page: str
) -> None:
    people.update(VIEWER)
    told = "".join(page_texts(opened(page).run()))
    assert "Changes to the saved book" not in told
    assert "Estimates on file" not in told
    people.clear()
    people.update(ESTIMATOR)
    told = "".join(page_texts(opened(page).run()))
    assert ("Changes to the saved book" in told) or ("Estimates on file" in told)


def test_a_viewer_cannot_ask_for_the_cost_by_a_margin_of_nothing(
    people: dict[str, tuple[str, ...]], tmp_path: Path
) -> None:
    from meshcore_estimator.shared import pricing  # noqa: PLC0415

    first = pd.read_csv(demo_data() / "enquiries.csv", dtype=str, nrows=1)
    first.assign(set_price="0 %").to_csv(tmp_path / "tried.csv", index=False)
    lines = mc.read_list(tmp_path / "tried.csv")
    plain = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv").head(1), book())
    people.update(ESTIMATOR)
    tried = pricing.estimate_list(lines, book(), plain.policy)
    # An estimator is answered with the cost, but for what the book takes off and adds beside it.
    assert tried.ledger.before_tax[0] == pytest.approx(tried.ledger.cost[0], rel=0.02)
    people.clear()
    people.update(VIEWER)
    held = pricing.estimate_list(lines, book(), plain.policy)
    assert held.ledger.price.tolist() == plain.ledger.price.tolist()
    [said] = [m for m in held.messages[0] if m.field == "set_price"]
    assert said.read == "0 %"
    assert "tried only by those who may see costs" in said.text


@pytest.mark.parametrize(("who", "may"), [(VIEWER, False), (ESTIMATOR, True), (KEEPER, True)])
def test_only_who_may_puts_an_estimate_on_file(
    people: dict[str, tuple[str, ...]], who: dict[str, tuple[str, ...]], may: bool
) -> None:
    people.update(ESTIMATOR)
    app = opened("enquiry")
    app.session_state["on_file"] = True
    app = shown(app.run())
    # The button was drawn for an estimator; by the time of the click somebody else is there.
    people.clear()
    people.update(who)
    app.button(key="save_estimate").click().run()
    assert len(saved_estimates()) == (1 if may else 0)


@pytest.mark.parametrize(("who", "may"), [(ESTIMATOR, False), (KEEPER, True)])
def test_the_book_is_saved_by_its_keeper_alone(
    people: dict[str, tuple[str, ...]], who: dict[str, tuple[str, ...]], may: bool
) -> None:
    from meshcore_estimator.price_book import versions_panel  # noqa: PLC0415
    from meshcore_estimator.shared import roles  # noqa: PLC0415

    people.update(who)
    app = opened("price-book").run()
    keys = {button.key for button in app.button}
    assert ("book_save" in keys) == may
    # Nor does the deed itself go through, whatever is drawn.
    if not may:
        with pytest.raises(roles.NotAllowedError):
            roles.need(roles.Deed.BOOK)
    assert callable(versions_panel.draw)


def test_who_is_named_nowhere_stays_outside(people: dict[str, tuple[str, ...]]) -> None:
    people.update({"email": ("mal@elsewhere.example",)})
    app = opened("enquiry").run()
    told = "".join(page_texts(app))
    assert "mal@elsewhere.example may not use this estimator" in told
    assert "Mesh count" not in told
    people.clear()
    app = opened("enquiry").run()
    assert [button.key for button in app.button] == ["sign_in"]


def test_a_person_taken_off_the_file_is_out_at_once(
    people: dict[str, tuple[str, ...]], tmp_path: Path
) -> None:
    people.update(ESTIMATOR)
    app = shown(opened("enquiry").run())
    assert "Mesh count" in "".join(page_texts(app))
    file = tmp_path / "access.toml"
    file.write_text('otherwise = "refused"\n')
    os.utime(file, ns=(1, 1))
    app = app.run()
    assert "may not use this estimator" in "".join(page_texts(app))


def test_a_lesser_role_begins_with_nothing_that_tells_costs(
    people: dict[str, tuple[str, ...]],
) -> None:
    people.update(ESTIMATOR)
    app = opened("list").run()
    app = shown(app.button(key="use_demo").click().run())
    assert any(tells_costs(one) for one in estimates_held(app.session_state.to_dict()))
    people.clear()
    people.update(VIEWER)
    app = app.run()
    held = list(estimates_held(app.session_state.to_dict()))
    assert not any(tells_costs(one) for one in held)


def test_a_draft_is_its_owners_alone(people: dict[str, tuple[str, ...]]) -> None:
    people.update(ESTIMATOR)
    app = shown(opened("enquiry").run())
    app.text_input(key="ask_set_price").set_value("3.21 %")
    app.text_input(key="ask_quantity").set_value("17").run()
    draft = app.query_params["draft"]
    for who, is_there in ((VIEWER, False), (ESTIMATOR, True)):
        people.clear()
        people.update(who)
        other = opened("enquiry")
        other.query_params["draft"] = draft
        other = shown(other.run())
        assert (other.text_input(key="ask_quantity").value == "17") == is_there


def test_prices_stay_and_costs_go(tmp_path: Path) -> None:
    listed = pd.read_csv(demo_data() / "enquiries.csv", dtype=str)
    # Far below cost, so that there is something to be told of it.
    listed.assign(set_price="10").to_csv(tmp_path / "low.csv", index=False)
    whole = mc.estimate_list(mc.read_list(tmp_path / "low.csv"))
    plain = without_costs(whole)
    kept = [c for c in whole.table.columns if c not in ("cost", "messages")]
    pd.testing.assert_frame_equal(plain.table[kept], whole.table[kept])
    assert plain.table["cost"].isna().all()
    assert tells_costs(whole)
    assert not tells_costs(plain)
    assert np.array_equal(plain.log.rank(), whole.log.rank())
    said = [m for every in plain.messages.values() for m in every]
    assert any(m.code.startswith(OF_THE_MILL) for every in whole.messages.values() for m in every)
    assert {m.code for m in said if m.code.startswith(OF_THE_MILL)} <= set(WITHHELD)


def test_set_prices_are_taken_out_wherever_they_stand() -> None:
    table = pd.DataFrame([["5 %", "x", ""], ["", "y", "90"]],
                         columns=["set_price", "note", "set_price"])  # fmt: skip
    lines, tried = without_set_prices(table)
    assert lines.to_numpy().tolist() == [["", "x", ""], ["", "y", ""]]
    assert tried == {0: "5 %", 1: "90"}
    assert table.iloc[0, 0] == "5 %"


@pytest.mark.parametrize(("text", "said"), [
    ("", "otherwise: say what people are who are named nowhere"),
    ('otherwise = "boss"', "otherwise: say what people are"),
    ('otherwise = "viewer"\n[boss]\nemail = ["a"]', "boss: no such entry"),
    ('otherwise = "viewer"\n[keeper]\nemail = "a@b"', "[keeper]: email: write a list"),
    ('otherwise = "viewer"\nkeeper = 3', "keeper: write a table"),
    ('otherwise = "viewer"\n[proxy]\ngroups = "X-G"', "[proxy]: email: name the header"),
    ('otherwise = "viewer"\n[proxy]\nemail = 3', "[proxy]: email: name a header"),
    ("otherwise", "is not TOML"),
])  # fmt: skip
def test_a_wrong_file_of_roles_is_told(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "access.toml"
    file.write_text(text)
    with pytest.raises(AccessError) as caught:
        read_access(file)
    assert said in str(caught.value)


def test_roles_go_by_claims(tmp_path: Path) -> None:
    file = tmp_path / "access.toml"
    file.write_text(PEOPLE)
    read = read_access(file)
    names = [getattr(read.role_of(roles_file.claims_of(told)), "name", "none") for told in (
        {"email": "kay@mill.example"}, {"email": "kay@mill.example", "email_verified": False},
        {"email": "x@mill.example"}, {"email": "x@mill.example.evil"},
        {"email": "@mill.example.org"},
        {"groups": ["estimating"]}, {"groups": "estimating"}, {"groups": ["Estimating"]}, {},
    )]  # fmt: skip
    assert names == ["keeper", "none", "viewer", "none", "none", "estimator", "estimator",
                     "none", "none"]  # fmt: skip


#: What prices, opens or writes, and where alone the app may call it.
_DOORS = {
    "meshcore.estimates.pipeline": {"shared/pricing.py"},
    "meshcore.costing.comparison": {"price_book/page.py", "price_book/versions_panel.py",
                                    "reasons_page/saved_panel.py"},
    "meshcore.costing.item_tables": {"reasons_page/saved_panel.py"},
    "meshcore.estimates.reasons": {"price_book/page.py", "reasons_page/page.py"},
}  # fmt: skip
_PRICING = {"estimate_list", "estimate_table", "estimate", "price_letter", "priced_options"}


def test_pages_price_through_one_door() -> None:
    """A page that priced by itself would hand a viewer the costs."""
    for file in sorted(APP.rglob("*.py")):
        where = file.relative_to(APP).as_posix()
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.ImportFrom) and node.module:
                named = {f"{node.module}.{one.name}" for one in node.names} | {node.module}
                for door, rooms in _DOORS.items():
                    assert door not in named or where in rooms, (where, door)
                if node.module.startswith("meshcore.") and where != "shared/pricing.py":
                    assert not _PRICING & {one.name for one in node.names}, where
