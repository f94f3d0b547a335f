"""How a list was read, changed on the list page: headings, rows, cells, and senders."""

from __future__ import annotations

import io
from collections.abc import Mapping

import pytest
from streamlit.testing.v1 import AppTest
from streamlit.testing.v1.element_tree import Selectbox
from test_app_enquiry import POLICY, shown
from test_app_list import list_page

import meshcore as mc
from meshcore.costing.money import money_text
from meshcore.demo import demo_data
from meshcore.estimates.summary import list_totals
from meshcore_estimator.lists import source
from meshcore_estimator.shared import senders

__all__ = ["list_page"]


def _later_page() -> None:
    from meshcore_estimator.lists import page as page_list  # noqa: PLC0415 - run as a script of its own

    page_list.page()


#: Two headings that may each be the wire, and that no vocabulary knows.
LINES = (
    "Mesh;Draht A;Draht B;alloy;form;width;length;Qty\n"
    "10 / in;0.025 in;0.020 in;304;roll;48 in;100 ft;3\n"
    "8 / in;0.028 in;0.032 in;316L;roll;36 in;100 ft;1\n"
)


def upload(page: AppTest, text: str, name: str = "inbox.csv") -> AppTest:
    return page.file_uploader[0].set_value((name, text.encode(), "text/csv")).run()


def heading(page: AppTest, name: str) -> Selectbox[str]:
    """The field of a heading, of a page that has said that it shows what was written."""
    if written := page.session_state["settling_written"]:
        page.session_state["settling_shown"] = list(written.values())[-1].token
    return next(box for box in page.selectbox if box.label == name)


def total(text: str, mapping: Mapping[str, object] | None = None) -> str:
    lines = mc.read_list(io.BytesIO(text.encode()), ".csv", mapping=mapping)
    totals = list_totals(mc.estimate_list(lines, supply_policy=POLICY))
    return money_text(totals.price, totals.currency, totals.digits).strip()


def test_a_changed_heading_changes_the_price_as_the_mapping_does_in_code(
    list_page: AppTest,
) -> None:
    upload(list_page, LINES)
    heading(list_page, "Draht A").set_value("").run()
    heading(list_page, "Draht B").set_value("wire_diameter").run()
    one = total(LINES, {"Draht A": "", "Draht B": "wire_diameter"})
    assert one in shown(list_page, "list_totals")
    heading(list_page, "Draht A").set_value("wire_diameter").run()
    other = total(LINES, {"Draht A": "wire_diameter", "Draht B": ""})
    assert other in shown(list_page, "list_totals")
    assert heading(list_page, "Draht B").value == ""
    assert one != other
    assert not list_page.exception


def test_a_unit_is_set_for_a_heading_without_one(list_page: AppTest) -> None:
    text = LINES.replace(" in;0.020 in", ";0.020 in").replace(" in;0.032 in", ";0.032 in")
    upload(list_page, text)
    heading(list_page, "Draht A").set_value("wire_diameter").run()
    heading(list_page, "Unit of Draht A").set_value("in").run()
    settled = {"Draht A": "wire_diameter [in]", "Draht B": ""}
    assert total(text, settled) in shown(list_page, "list_totals")


def edit(page: AppTest, cells: Mapping[int, Mapping[str, str | None]]) -> None:
    page.session_state[str(page.data_editor[0].key)] = {
        "edited_rows": cells, "added_rows": [], "deleted_rows": [],
    }  # fmt: skip
    page.run()


def refused(page: AppTest) -> list[bool]:
    return [status[0] == "Refused" for status in page.dataframe[-1].value["status"]]


def test_a_mended_cell_is_priced_and_said_and_outlasts_a_changed_heading(
    list_page: AppTest,
) -> None:
    upload(list_page, LINES)
    heading(list_page, "Draht A").set_value("wire_diameter").run()
    edit(list_page, {1: {"Draht A": "16 ga", "alloy": "316L"}})
    assert refused(list_page) == [False, True]
    said = shown(list_page, "how_read")
    assert "3 Draht A 0.028 in 16 ga" in said
    assert "3 alloy" not in said

    grid = list_page.data_editor[0].key
    heading(list_page, "Draht B").set_value("wire_diameter").run()
    # A grid drawn anew for another reading of the same cells dropped what was being typed there.
    assert list_page.data_editor[0].key == grid
    settled = {"Draht A": "", "Draht B": "wire_diameter"}
    assert total(LINES, settled) in shown(list_page, "list_totals")
    heading(list_page, "Draht A").set_value("wire_diameter").run()
    assert refused(list_page) == [False, True]
    list_page.button(key="list_unmend").click().run()
    assert refused(list_page) == [False, False]
    assert list_page.data_editor[0].key != grid
    assert not list_page.exception


def test_a_field_that_was_only_just_drawn_changes_nothing(list_page: AppTest) -> None:
    """A list of a visitor's was read without headings, though nobody had touched the box."""
    upload(list_page, LINES)
    before = shown(list_page, "list_totals")
    list_page.checkbox(key="list_headed").uncheck().run()
    next(box for box in list_page.selectbox if box.label == "Mesh").set_value("").run()
    assert shown(list_page, "list_totals") == before
    assert heading(list_page, "Mesh").value == "mesh_count"
    assert list_page.checkbox(key="list_headed").value
    # The page says that it shows what was written: from now on a change is a person's.
    list_page.checkbox(key="list_headed").uncheck().run()
    assert heading(list_page, "column 1").value != "mesh_count"


def test_lines_are_named_by_their_rows_in_the_file_and_headings_as_they_are_written(
    list_page: AppTest,
) -> None:
    """A line of row 2 was called row 1, and the heading "Draht B" was called "Draht b"."""
    said = shown(upload(list_page, LINES), "said")
    assert "row 2 " in said
    assert "row 3 " in said
    assert "row 1 " not in said
    assert "Draht B" in said
    assert "Draht b" not in said


def test_a_cell_may_be_emptied(list_page: AppTest) -> None:
    upload(list_page, LINES)
    heading(list_page, "Draht A").set_value("wire_diameter").run()
    edit(list_page, {0: {"alloy": None}})
    assert list_page.dataframe[-1].value["alloy"].tolist() == ["", "316L"]
    assert "2 alloy 304 blank" in shown(list_page, "how_read")


def test_rows_are_left_out_at_either_end(list_page: AppTest) -> None:
    upload(list_page, (demo_data() / "enquiries.csv").read_text("utf-8"))
    heading(list_page, "First row").set_value("4").run()
    heading(list_page, "Last row").set_value("6").run()
    assert not list_page.exception
    assert list_page.dataframe[-1].value["Item"].tolist() == ["3", "4", "5"]
    said = shown(list_page, "how_read")
    assert "Row 3 left out here" in said
    assert "Row 7 left out here" in said


def test_a_reading_that_cannot_be_is_refused_and_nothing_lost(list_page: AppTest) -> None:
    text = "Mesh;Foo\n10 / in;bar\n"
    upload(list_page, text)
    heading(list_page, "Mesh").set_value("").run()
    assert not list_page.exception
    assert "Left as it was" in shown(list_page, "list_problem_box")
    assert heading(list_page, "Mesh").value == "mesh_count"


def test_a_list_without_headings_is_read_as_a_person_says(list_page: AppTest) -> None:
    upload(list_page, "\n".join(LINES.splitlines()[1:]))
    list_page.button(key="without_headings").click().run()
    fields = ("mesh_count", "wire_diameter", "", "alloy", "form", "width", "length", "quantity")
    for number, field in enumerate(fields, start=1):
        heading(list_page, f"column {number}").set_value(field).run()
    assert not list_page.exception
    named = LINES.replace("Draht A", "wire_diameter").replace("Draht B", "other")
    assert total(named) in shown(list_page, "list_totals")


def test_a_list_whose_headings_are_unknown_is_read_as_a_person_says(list_page: AppTest) -> None:
    upload(list_page, LINES.replace("Mesh;Draht A;Draht B;alloy;form;width;length;Qty", "a;b;c"))
    assert not list_page.exception
    upload(list_page, "roses;violets\n10 mesh;304\n", "poem.csv")
    assert "none of its headings is known" in shown(list_page, "list_problem_box")
    list_page.button(key="without_headings").click().run()
    heading(list_page, "column 1").set_value("mesh_count").run()
    heading(list_page, "First row").set_value("2").run()
    assert not list_page.exception
    assert list_page.dataframe[-1].value["column 1"].tolist() == ["10 mesh"]


def test_what_a_sender_means_is_remembered_and_offered(list_page: AppTest) -> None:
    upload(list_page, LINES)
    heading(list_page, "Draht A").set_value("").run()
    heading(list_page, "Draht B").set_value("wire_diameter").run()
    list_page.text_input(key="list_sender").set_value("Example Screens").run()
    list_page.button(key="remember_sender").click().run()
    assert "Remembered how lists of Example Screens are read." in shown(list_page, "said_sender")

    later = AppTest.from_function(_later_page, default_timeout=60).run()
    upload(later, LINES.replace(";3\n", ";4\n"))
    assert "headings of lists from Example Screens" in shown(later, "list_sender_box")
    later.button(key="use_sender_Example Screens").click().run()
    settled = {"Draht A": "", "Draht B": "wire_diameter"}
    assert total(LINES.replace(";3\n", ";4\n"), settled) in shown(later, "list_totals")
    later.session_state["how_read_open"] = True
    later.run()
    later.text_input(key="list_sender").set_value("Example Screens").run()
    later.button(key="forget_sender").click().run()
    assert senders.remembered() == {}
    later.button(key="recall_sender").click().run()
    assert set(senders.remembered()) == {"Example Screens"}


def test_a_heading_with_other_words_in_brackets_is_remembered_too(list_page: AppTest) -> None:
    text = LINES.replace("Draht A", "Wire (see drawing)")
    upload(list_page, text)
    list_page.text_input(key="list_sender").set_value("Example Screens").run()
    list_page.button(key="remember_sender").click().run()
    assert not list_page.exception
    settled = mc.read_list(io.BytesIO(text.encode()), ".csv").report.mapping
    assert senders.remembered() == {"Example Screens": settled}
    senders.forget("Example Screens")


def test_a_file_too_large_is_told(list_page: AppTest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(source, "MOST_LINES", 1)
    upload(list_page, LINES)
    assert "has 2 lines, and at most 1 are priced here" in shown(list_page, "list_problem_box")
    monkeypatch.setattr(source, "MOST_MB", 0)
    upload(list_page, LINES, "other.csv")
    assert "larger than 0 MB" in shown(list_page, "list_problem_box")


def test_what_is_changed_is_kept_as_text() -> None:
    settled = mc.read_list(demo_data() / "enquiries.csv").report.mapping
    changes = source.Changes(settled, "4", "", {"7": {"Wire dia": "16 SWG"}})

    def there_and_back() -> None:
        import streamlit as st  # noqa: PLC0415 - run as a script of its own

        from meshcore_estimator.lists import source as lists  # noqa: PLC0415

        text = lists.changes_text()
        lists.restore_changes(text)
        st.session_state["again"] = lists.changes_now()

    page = AppTest.from_function(there_and_back, default_timeout=60)
    page.session_state["list_changes"] = changes
    assert page.run().session_state["again"] == changes
