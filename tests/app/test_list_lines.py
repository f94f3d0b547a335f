"""An enquiry becomes a line of a list, and a line of a list goes back into it as changed."""

from __future__ import annotations

import io
import json

import pandas as pd
import pytest
from app_fixtures import on_enquiry
from app_fixtures import shown as page_shows
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash

from meshcore.demo import DEMO_VARIABLE
from meshcore.lists.additions import with_cells, with_lines
from meshcore.lists.reading import read_list
from meshcore_estimator.__main__ import SCRIPT

_LIST = (
    b"Pos,Mesh,Wire dia [mm],Material,Supply,W,L,Qty,Buyer\n"
    b"A,10 / in,0.635,304,roll,48 in,100 ft,3,Weir\n"
    b"B,8 / in,0.7,316,roll,36 in,50 ft,2,Mill\n"
)


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return page_shows(on_enquiry(AppTest.from_file(SCRIPT, default_timeout=60)).run())


def _list_of(app: AppTest) -> AppTest:
    app._page_hash = calc_hash("list")
    return page_shows(app.run())


def _lines(app: AppTest) -> pd.DataFrame:
    return next(d.value for d in app.dataframe if "status" in d.value.columns)


def test_a_line_of_the_list_goes_back_as_changed(app: AppTest) -> None:
    _list_of(app)
    app.file_uploader[0].set_value(("inbox.csv", _LIST, "text/csv")).run()
    app.session_state["line_table_all"] = {"selection": {"rows": [1], "cells": [], "columns": []}}
    app.run()
    app.button(key="open_enquiry").click().run()
    page_shows(on_enquiry(app).run())
    assert not app.exception
    assert app.text_input(key="ask_wire_diameter").value == "0.7 mm"
    app.text_input(key="ask_wire_diameter").set_value("0.8 mm")
    app.text_input(key="ask_aperture").set_value("").run()
    before = app.session_state["list_changes"]
    assert before.cells == {}
    app.button(key="put_back").click().run()
    _list_of(app)
    assert not app.exception
    lines = _lines(app)
    assert lines["Pos"].tolist() == ["A", "B"]
    assert lines["Buyer"].tolist() == ["Weir", "Mill"]
    assert lines["Wire dia [mm]"].tolist() == ["0.635", "0.8 mm"]
    assert lines["wire_diameter_mm"].tolist() == pytest.approx([0.635, 0.8])
    assert lines["changed_here"].tolist() == ["", "changed"]
    # A reload brings back what is kept of the list.
    kept = app.session_state["list_changes"]
    assert kept.cells == {"3": {"Wire dia [mm]": "0.8 mm"}}


def test_an_enquiry_is_added_taken_out_and_put_back(app: AppTest) -> None:
    app.button(key="add_to_list").click().run()
    said = " ".join(caption.value for caption in app.caption)
    assert "Added as line 1 of List begun here." in said
    app.text_input(key="ask_quantity").set_value("7").run()
    app.button(key="add_to_list").click().run()
    _list_of(app)
    assert not app.exception
    assert _lines(app)["quantity"].tolist() == ["3", "7"]
    assert _lines(app)["changed_here"].tolist() == ["", "added"]
    app.session_state["line_table_all"] = {"selection": {"rows": [1], "cells": [], "columns": []}}
    app.run()
    app.button(key="take_out_line").click().run()
    assert _lines(app)["quantity"].tolist() == ["3"]
    app.button(key="put_lines_back").click().run()
    assert _lines(app)["quantity"].tolist() == ["3", "7"]


def test_a_reload_keeps_lines_added_and_taken_out() -> None:
    from meshcore_estimator.lists.source import Changes  # noqa: PLC0415 - loads streamlit

    def script() -> None:
        import streamlit as st  # noqa: PLC0415 - run as a script of its own

        from meshcore_estimator.lists import source  # noqa: PLC0415

        if "text" in st.session_state:
            source.restore_changes(st.session_state["text"])
        st.session_state["again"] = source.changes_text()

    text: dict[str, object] = {"mapping": None, "first": "", "last": "", "cells": {},
            "added": [{"alloy": "304"}], "out": ["2"]}  # fmt: skip
    page = AppTest.from_function(script)
    page.session_state["text"] = json.dumps(text)
    page.run()
    assert page.session_state["list_changes"] == Changes(added=({"alloy": "304"},), out=("2",))
    assert json.loads(page.session_state["again"]) == text


def test_cells_of_columns_that_a_list_lacks_are_read() -> None:
    table = read_list(io.BytesIO(_LIST), ".csv")
    longer = with_lines(table, [{"mesh_count": "4 / in", "weave": "twilled"}])
    changed = with_cells(longer, {"2": {"Buyer": "Other", "note": "soon"}, "99": {"Mesh": "1"}})
    assert changed.index.tolist() == [2, 3, "added 1"]
    assert changed["Mesh"].tolist() == ["10 / in", "8 / in", "4 / in"]
    assert changed["Buyer"].tolist() == ["Other", "Mill", ""]
    assert changed.headings.column["weave"] == "weave"
    assert changed.headings.column["note"] == "note"
    # The list as it was read stays as it was.
    assert table.shape == (2, 9)
    assert "weave" not in table.columns


def test_a_price_is_tried_on_the_enquiry_and_goes_with_it(app: AppTest) -> None:
    app.text_input(key="ask_set_price").set_value("2,400.00").run()
    assert not app.exception
    said = " ".join(element.value for element in app.html)
    assert "Asked price 2,400.00 EUR: margin 7." in said
    assert "The price book makes it 2,679.75 EUR." in said
    app.button(key="add_to_list").click().run()
    app.text_input(key="ask_set_price").set_value("1,000").run()
    refused = " ".join(element.value for element in app.html)
    assert "cannot be the price of the line" in refused or "Cannot be" in refused
    _list_of(app)
    assert _lines(app)["price"].tolist() == [2400.0]
    # Nothing of it is in the price book.
    assert "settings_book" not in app.session_state
