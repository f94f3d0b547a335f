"""What a program may give by mistake: taken where it can be meant, refused plainly elsewhere."""

from __future__ import annotations

import json
import re
from typing import Any

import pandas as pd
import pytest

import meshcore as mc

ROLL = mc.Roll("48 in", "100 ft")
SIZES: dict[str, Any] = {
    "mesh_count": "10 / in",
    "wire_diameter": "0.025 in",
    "alloy": "304",
    "form": ROLL,
}


def asked(**changes: Any) -> mc.Enquiry:
    return mc.Enquiry(**(SIZES | changes))


@pytest.fixture(scope="module")
def two() -> mc.EstimateSet:
    return mc.estimate_list([asked(quantity=3), asked(wire_diameter="0.08 in"), asked()])


@pytest.mark.parametrize("form", ["roll", {"kind": "roll"}, 3])
def test_a_form_that_is_none(form: Any) -> None:
    with pytest.raises(TypeError, match=rf"^the form is a {type(form).__name__}; a Roll"):
        mc.estimate(asked(form=form))


@pytest.mark.parametrize("services", ["anneal", ["anneal"], {"anneal"}, ("anneal",)])
def test_one_service_may_be_a_text(services: Any) -> None:
    assert (
        mc.estimate(asked(services=services)).price
        == mc.estimate(asked(services=("anneal",))).price
    )
    assert mc.estimate(asked(services=services)).price != mc.estimate(asked()).price


def test_no_services_may_be_none() -> None:
    one = mc.estimate(asked(services=None))
    assert one.price == mc.estimate(asked()).price


@pytest.mark.parametrize("services", [(None,), (1,), 5])
def test_a_service_that_is_no_name(services: Any) -> None:
    with pytest.raises(TypeError, match=r"^a service is .*; its name is due"):
        mc.estimate(asked(services=services))


@pytest.mark.parametrize("quantity", [True, False])
def test_yes_and_no_are_no_quantity(quantity: bool) -> None:
    with pytest.raises(TypeError, match=f"^the quantity is {quantity}; "):
        mc.estimate(asked(quantity=quantity))


@pytest.mark.parametrize("wrong", [None, "list.csv", 5])
def test_what_is_no_list_of_enquiries(wrong: Any) -> None:
    with pytest.raises(TypeError, match=f"^a {type(wrong).__name__} for enquiries, where"):
        mc.estimate_list(wrong)


@pytest.mark.parametrize("name", ["price_book", "supply_policy", "cutting"])
def test_a_path_is_no_book(name: str) -> None:
    with pytest.raises(TypeError, match=f"^{name} is a str; a .* is due, such as mc"):
        mc.estimate(asked(), **{name: "x.toml"})  # type: ignore[arg-type]


def test_an_estimate_stands_for_its_line(two: mc.EstimateSet) -> None:
    last = two[2]
    assert mc.explain(last) == mc.explain(two, 2) == mc.explain(two, -1) == last.explain()
    assert mc.budget_range(last, draws=50).p50 == mc.budget_range(two, (2,), draws=50).p50
    assert mc.budget_range(last, draws=50).p50 != mc.budget_range(two, (0,), draws=50).p50
    pd.testing.assert_frame_equal(mc.tornado(last), mc.tornado(two, (2,)))
    pd.testing.assert_frame_equal(
        mc.quantity_curve(last, quantities=[1, 2]), mc.quantity_curve(two, 2, [1, 2])
    )
    offered, listed = mc.nearest_weavable(two[1], count=2), mc.nearest_weavable(two, 1, count=2)
    assert offered.price.tolist() == listed.price.tolist()


@pytest.mark.parametrize("look", [mc.explain, mc.nearest_weavable, mc.quantity_curve])
def test_what_is_no_estimate(look: Any, two: mc.EstimateSet) -> None:
    with pytest.raises(
        TypeError, match=r"^a DataFrame, where an EstimateSet or an Estimate is due"
    ):
        look(two.table)
    with pytest.raises(TypeError, match=r"^an Estimate is one line already"):
        look(two[0], 1)
    with pytest.raises(IndexError, match=r"^there is no line 99 in a list of 3"):
        look(two, 99)


def test_a_list_is_written_whole(two: mc.EstimateSet, tmp_path: Any) -> None:
    with pytest.raises(TypeError, match=r"^an EstimateSet is due, not Estimate: "):
        mc.write_list(two[0], tmp_path / "one.xlsx")  # type: ignore[arg-type]
    assert not list(tmp_path.iterdir())


def test_questions_are_asked_of_enquiries(two: mc.EstimateSet) -> None:
    open_line = mc.Enquiry(mesh_count="10 / in", alloy="304")
    assert mc.questions([open_line]).lines[0][0].field == "wire_diameter"
    with pytest.raises(TypeError, match="among the enquiries, where an Enquiry is due"):
        mc.questions(two)  # type: ignore[arg-type]


def test_the_public_names_are_all_that_is_listed() -> None:
    assert {n for n in dir(mc) if not n.startswith("__")} == set(mc.__all__) - {"__version__"}
    assert mc.Enquiry is not None
    assert {n for n in dir(mc) if not n.startswith("__")} == set(mc.__all__) - {"__version__"}


@pytest.fixture(scope="module")
def read() -> Any:
    """Read an enquiry from JSON, as a web handler does."""
    pydantic = pytest.importorskip("pydantic")
    adapter = pydantic.TypeAdapter(mc.Enquiry)
    return lambda body: adapter.validate_python(json.loads(json.dumps(body)))


@pytest.mark.parametrize("quantity", [True, False])
def test_yes_and_no_are_no_quantity_in_a_body(read: Any, quantity: bool) -> None:
    with pytest.raises(ValueError, match=f"{quantity} is no quantity"):
        read({"quantity": quantity})


@pytest.mark.parametrize("quantity", [3, "3", "a dozen", None])
def test_quantities_of_a_body(read: Any, quantity: Any) -> None:
    assert read({"quantity": quantity}).quantity == quantity


def test_a_piece_of_a_body_is_a_rectangle_as_in_python(read: Any) -> None:
    sides = {"width": "1 m", "height": "2 m"}
    form = read({"form": {"kind": "piece", "dimensions": sides}}).form
    assert form == mc.Piece(width="1 m", height="2 m")
    assert re.match(r"Piece\(shape='rectangle'", repr(form))


@pytest.mark.parametrize(
    ("form", "place", "words"),
    [
        ({"kind": "roll"}, ("form", "roll", "width"), "required"),
        ({"kind": "strip", "width": "1 m"}, ("form", "strip", "length"), "required"),
        ({"kind": "piece", "sides": "1 m"}, ("form", "piece"), "sides"),
        ({"kind": "coil", "width": "1 m"}, ("form",), "'roll', 'strip', 'piece'"),
        ({"width": "1 m"}, ("form",), "kind"),
    ],
)
def test_a_body_s_form_is_faulted_for_its_own_kind_alone(
    read: Any, form: Any, place: tuple[str, ...], words: str
) -> None:
    with pytest.raises(ValueError) as refused:  # noqa: PT011 - pydantic's own, looked into below
        read({"form": form})
    faults = refused.value.errors()  # type: ignore[attr-defined]
    assert {fault["loc"][: len(place)] for fault in faults} == {place}
    assert words in str(refused.value)


def test_a_body_may_leave_its_form_open(read: Any) -> None:
    assert read({}).form is None
    assert read({"form": None}).form is None
