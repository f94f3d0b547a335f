"""The list page: every line is shown, checked and given back."""

from __future__ import annotations

import doctest
import io
from types import ModuleType

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest
from test_app_enquiry import POLICY, shown
from thorough import share

import meshcore as mc
from meshcore.costing.money import money_text
from meshcore.demo import DEMO_VARIABLE, demo_data
from meshcore.estimates.questions import questions
from meshcore.estimates.summary import list_totals
from meshcore_estimator.shared import numbers
from meshcore_estimator.shared.parts import status_word


def _list_page() -> None:
    from meshcore_estimator.lists import page as page_list  # noqa: PLC0415 - run as a script of its own

    page_list.page()


def _about_page() -> None:
    from meshcore_estimator.about import page as page_about  # noqa: PLC0415 - run as a script of its own

    page_about.page()


def _opened_line(number: int) -> None:
    """The enquiry page as it is when a line of the demonstration list is opened on it."""
    import streamlit as st  # noqa: PLC0415 - run as a script of its own

    import meshcore as mc  # noqa: PLC0415
    from meshcore.demo import demo_data  # noqa: PLC0415
    from meshcore_estimator.enquiry import form as enquiry_form  # noqa: PLC0415
    from meshcore_estimator.enquiry import page as page_enquiry  # noqa: PLC0415
    from meshcore_estimator.shared.line import Line  # noqa: PLC0415

    if "opened" not in st.session_state:
        estimates = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"))
        enquiry_form.fill(Line(estimates, estimates.table, number))
        st.session_state["opened"] = True
    page_enquiry.page()


@pytest.fixture
def list_page(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_list_page, default_timeout=60)
    # What is folded is not worked out: a click unfolds it.
    for box in ("how_read_open", "mend_open", "questions_open"):
        page.session_state[box] = True
    return page.run()


@pytest.fixture
def demo_list(list_page: AppTest) -> AppTest:
    return list_page.button(key="use_demo").click().run()


def test_the_grid_calls_fields_as_the_screen_does(demo_list: AppTest) -> None:
    said = " ".join(demo_list.dataframe[-1].value["messages"])
    assert "wire diameter" in said
    for column in ("wire_diameter", "mesh_count", "open_area"):
        assert column not in said


def test_demo_list_totals_are_the_librarys(demo_list: AppTest) -> None:
    estimates = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"), supply_policy=POLICY)
    totals = list_totals(estimates)
    said = shown(demo_list, "list_totals")
    assert not demo_list.exception
    assert money_text(totals.price, totals.currency, totals.digits) in said
    assert f"Lines {totals.lines} {totals.ok} ok" in said
    assert totals.refused > 0
    assert len(demo_list.dataframe[-1].value) == totals.lines


def test_lines_are_filtered_by_status_and_explained(demo_list: AppTest) -> None:
    estimates = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"), supply_policy=POLICY)
    demo_list.segmented_control(key="status_filter").set_value("refused").run()
    table = demo_list.dataframe[-1].value
    assert len(table) == list_totals(estimates).refused
    assert {tuple(status) for status in table["status"]} == {("Refused",)}
    assert "16 SWG" in shown(demo_list, "said")


def test_what_many_lines_share_is_said_once(demo_list: AppTest) -> None:
    """The same note stood under 62 lines of 85, and hid what was said of single ones."""
    estimates = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"), supply_policy=POLICY)
    of_dates = [m for one in estimates for m in one.messages if m.field == "Wanted by"]
    assert len(of_dates) > 1
    said = shown(demo_list, "said")
    assert f"{len(of_dates)} lines Wanted by" in said
    assert said.count("Wanted by") == 1


def test_how_the_list_was_read_is_shown(demo_list: AppTest) -> None:
    report = mc.read_list(demo_data() / "enquiries.csv").report
    headings = [column.heading for table in report.tables for column in table.columns]
    asked = {s.label: s.value for s in demo_list.selectbox if s.label in headings}
    assert asked["Wire dia"] == "wire_diameter"
    assert asked["Customer ref"] == ""
    assert list(asked) == headings
    said = shown(demo_list, "how_read")
    assert "Heading Customer ref" in said
    assert f"Rows 2 to {report.line_counts[0] + 1}; 16 of 18 headings read." in "".join(
        caption.value for caption in demo_list.caption
    )


def test_an_uploaded_list_keeps_order_and_unknown_columns(list_page: AppTest) -> None:
    lines = pd.DataFrame({
        "Buyer": ["B", "A"], "mesh_count": ["10 / in", "8 / in"],
        "wire_diameter [mm]": [0.635, 0.7112], "alloy": ["304", "unobtainium"],
        "form": "roll", "width": "48 in", "length": "100 ft", "quantity": [3, 1],
    })  # fmt: skip
    content = lines.to_csv(index=False).encode()
    list_page.file_uploader[0].set_value(("inbox.csv", content, "text/csv")).run()
    table = list_page.dataframe[-1].value
    assert not list_page.exception
    assert table["Buyer"].tolist() == ["B", "A"]
    assert [status[0] for status in table["status"]] == ["OK", "Refused"]


def test_the_list_has_its_questions_ready_to_send(demo_list: AppTest) -> None:
    estimates = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"), supply_policy=POLICY)
    asked = questions(estimates.enquiries, estimates.log.by_line(), POLICY)
    letter = str(demo_list.get_by_key("questions_of_list").code[0].value)
    assert letter == asked.text_for_all()
    assert letter.startswith("To price your enquiry we need to know:")
    assert demo_list.get_by_key("questions_of_list").get("download_button")


@pytest.mark.thorough
def test_every_line_of_the_list_opens_as_an_enquiry() -> None:
    estimates = mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"))
    table = estimates.table
    # Every seventh line, where not all are tried.
    for number, status in list(enumerate(table["status"]))[:: share(7, 1)]:
        page = AppTest.from_function(
            _opened_line, kwargs={"number": number}, default_timeout=60
        ).run()
        assert not page.exception, f"row {number + 1}: {page.exception[0].message}"
        if "Give any two of" in shown(page, "estimate"):
            assert status == "refused", f"row {number + 1} is empty"
        else:
            assert shown(page, "status").startswith(status_word(status)), f"row {number + 1}"


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("empty.csv", b"", "is empty"),
        ("poem.csv", b"roses,violets\nred,blue\n", "none of its headings is known"),
        ("book.xlsx", b"not a workbook", "not an xlsx workbook"),
    ],
)
def test_a_list_that_cannot_be_read_is_explained(
    list_page: AppTest, name: str, content: bytes, said: str
) -> None:
    list_page.file_uploader[0].set_value((name, content, "application/octet-stream")).run()
    assert not list_page.exception
    assert any(said in element.value for element in list_page.html)


def test_about_names_every_plugin_and_the_cautions() -> None:
    page = AppTest.from_function(_about_page, default_timeout=60).run()
    said = shown(page, "plugins")
    assert not page.exception
    assert "alloys-stainless" in said
    assert "pricing rules: wire metal" in said
    assert "licensed practice" in shown(page, "cautions")


@pytest.mark.parametrize("module", [numbers])
def test_examples_in_the_app(module: ModuleType) -> None:
    failed, tried = doctest.testmod(module)
    assert tried > 0
    assert failed == 0


def test_a_parquet_list_is_read(list_page: AppTest) -> None:
    target = io.BytesIO()
    pd.DataFrame({
        "aperture": ["0.075 in"], "wire_diameter": ["0.025 in"], "alloy": ["316L"],
        "form": ["roll"], "width": ["48 in"], "length": ["half roll"], "quantity": ["2"],
    }).to_parquet(target)  # fmt: skip
    list_page.file_uploader[0].set_value(
        ("inbox.parquet", target.getvalue(), "application/octet-stream")
    ).run()
    assert [status[0] for status in list_page.dataframe[-1].value["status"]] == ["OK"]
