"""What an importing program holds: a result that is a sequence, plain data, and portable."""

from __future__ import annotations

import json
import math
import pickle
import subprocess
import sys
import typing
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import asdict, replace
from datetime import date
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.messages import Status

ROLLS = mc.Roll(width="48 in", length="100 ft")


def asked(wire: str | None = "0.025 in", **more: Any) -> mc.Enquiry:
    given: dict[str, Any] = {"mesh_count": "10 / in", "alloy": "304", "form": ROLLS} | more
    return mc.Enquiry(wire_diameter=wire, **given)


def refuse_constant(text: str) -> None:
    pytest.fail(f"{text} is not in strict JSON")


def strictly(text: str) -> Any:
    return json.loads(text, parse_constant=refuse_constant)


@pytest.fixture(scope="module")
def demo(project_root: Path) -> mc.EstimateSet:
    return mc.estimate_list(mc.read_list(project_root / "demo_data" / "enquiries.csv"))


def test_a_list_with_refused_lines_is_strict_json(demo: mc.EstimateSet) -> None:
    held = strictly(demo.to_json())
    assert held == demo.to_dict()
    assert [line["status"] for line in held["lines"]] == [one.status for one in demo]
    assert [line["messages"] for line in held["lines"]] == [
        [asdict(message) for message in one.messages] for one in demo
    ]
    named = demo.headings.column["mesh_count"]
    typed = [line["enquiry"][named] for line in held["lines"]]
    assert typed == demo.table[named].where(demo.table[named].notna(), None).tolist()
    assert len(set(typed)) > 10
    refused = [line for line in held["lines"] if line["status"] == "refused"]
    assert len(refused) > 10
    for line in refused:
        assert line["price"] is None
        assert line["cost_items"] == []
        told = [m for m in line["messages"] if m["severity"] == "refused"]
        assert told
        assert all(m["code"] and m["field"] and m["text"] for m in told)
    assert held["price_book"] == {
        "name": demo.book.name, "date": demo.book.date.isoformat(), "note": demo.book.note,
    }  # fmt: skip
    assert date.fromisoformat(held["supply_policy"]["date"])
    assert held["versions"][mc.DISTRIBUTION] == mc.__version__
    assert held["path_model"] == "arc"
    assert "licensed practice" in held["caution"]


def test_the_items_of_each_line_add_up_to_its_price(demo: mc.EstimateSet) -> None:
    lines = [line for line in demo.to_dict()["lines"] if line["status"] != "refused"]
    assert len(lines) > 40
    for line in lines:
        cents = round(100 * math.fsum(item["amount"] for item in line["cost_items"]))
        assert cents == round(100 * line["price"])
        named = line["cost_items"][0].keys()
        assert {"stage", "label", "quantity", "unit", "rate", "rule", "plugin", "origin"} <= named


def test_any_cell_becomes_plain_data() -> None:
    table = pd.DataFrame(
        {"mesh_count": ["10 / in"], "wire_diameter": ["0.025 in"], "alloy": ["304"],
         "form": ["roll"], "width": ["48 in"], "length": ["100 ft"], "quantity": [np.int64(3)],
         "wanted": [pd.Timestamp("2026-10-01")], "never": [pd.NaT], "none": [None],
         "share": [np.nan], "endless": [math.inf], "broken": ["a\ud800b"], "flag": [np.True_],
         "thing": [{"a": 1}], "absent": [pd.NA]},
        dtype=object,
    )  # fmt: skip
    [line] = strictly(mc.estimate_list(table).to_json())["lines"]
    assert line["enquiry"] == {
        "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": 3, "wanted": "2026-10-01T00:00:00",
        "never": None, "none": None, "share": None, "endless": "inf", "broken": "a?b",
        "flag": True, "thing": "{'a': 1}", "absent": None,
    }  # fmt: skip
    assert line["currency"] == "EUR"


def test_one_line_is_plain_data_with_what_it_was_priced_with() -> None:
    one = mc.estimate(asked(), cutting=mc.CuttingEffort())
    held = strictly(one.to_json(indent=2))
    assert held["price"] == one.price
    assert held["row"] == 0
    assert held["cutting"]["seed"] == one.estimates.cutting.seed  # type: ignore[union-attr]
    assert len(held["cost_items"]) == len(one.cost_items)
    assert "lines" not in held


def test_a_line_of_a_list_is_its_own() -> None:
    estimates = mc.estimate_list([asked("16 ga", note="a"), asked(note="b"), asked("x", note="c")])
    lines = estimates.to_dict()["lines"]
    for row, one in enumerate(estimates):
        held = one.to_dict()
        assert {name: held[name] for name in lines[row]} == lines[row]
        assert held["enquiry"]["note"] == "abc"[row]
    assert estimates[-1].to_dict()["messages"][0]["read"] == "x"


def test_an_empty_list_is_plain_data_too() -> None:
    assert strictly(mc.estimate_list([]).to_json())["lines"] == []


def test_a_result_with_a_strangers_lambda_rules_pickles() -> None:
    rule = mc.PricingRule(
        "crating", "packing", lambda _c, _r: [mc.CostColumn("crate", "crates", 1.0, "crate", 18.5)]
    )
    with mc.register_rules(rule):
        priced = mc.estimate_list([asked(), asked("16 ga"), asked("0.08 in")])
    copy: mc.EstimateSet = pickle.loads(pickle.dumps(priced))
    assert copy.to_dict() == priced.to_dict()
    assert "crate" in set(copy[0].cost_items["label"])
    assert copy[2].explain() == priced[2].explain()
    assert copy.practicality.findings(2) == priced.practicality.findings(2)
    assert [one.messages for one in copy] == [one.messages for one in priced]


def test_a_long_list_pickles_with_items_that_were_never_asked_for() -> None:
    row = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
           "width": "48 in", "length": "100 ft", "quantity": 1}  # fmt: skip
    priced = mc.estimate_list(pd.DataFrame([row]).loc[np.zeros(40_000, dtype=int)])
    copy: mc.EstimateSet = pickle.loads(pickle.dumps(priced))
    assert copy[39_999].cost_items["amount"].sum() == pytest.approx(priced[0].price, abs=0.005)


def test_a_process_pool_returns_estimates() -> None:
    wanted = [asked(), asked(quantity=7), asked("16 ga")]
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        priced = list(pool.map(mc.estimate, wanted))
    assert [one.to_dict() for one in priced] == [mc.estimate(one).to_dict() for one in wanted]


def test_threads_price_as_one_does() -> None:
    wanted = [asked(quantity=n) for n in range(1, 25)]
    with ThreadPoolExecutor(8) as pool:
        priced = list(pool.map(lambda one: mc.estimate(one).price, wanted))
    assert priced == [mc.estimate(one).price for one in wanted]


def test_threads_that_ask_first_get_the_same_plugins() -> None:
    code = (
        "from concurrent.futures import ThreadPoolExecutor\n"
        "from meshcore.plugins import installed\n"
        "with ThreadPoolExecutor(8) as pool:\n"
        "    print(len({id(p) for p in pool.map(lambda _: installed(), range(8))}))\n"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "1"


def test_enquiries_in_a_row_are_a_list() -> None:
    both = mc.estimate_list([asked(), asked(quantity=2, note="later")], lines_apart=True)
    assert [one.price for one in both] == [
        mc.estimate(asked()).price,
        mc.estimate(asked(quantity=2)).price,
    ]
    assert both.table["line"].tolist() == ["1", "2"]
    assert "order" not in both.table


def test_enquiries_of_one_order_share_what_is_charged_by_the_order() -> None:
    alone = mc.estimate_list([asked(), asked(quantity=2)], lines_apart=True)
    unnamed = mc.estimate_list([asked(), asked(quantity=2)])
    together = mc.estimate_list([asked(order="A"), asked(quantity=2, order="A")])
    apart = mc.estimate_list([asked(order="A"), asked(quantity=2)])
    assert together.ledger.price_minor.sum() < alone.ledger.price_minor.sum()
    assert unnamed.ledger.price_minor.tolist() == together.ledger.price_minor.tolist()
    assert apart.ledger.price_minor.tolist() == alone.ledger.price_minor.tolist()


def test_something_else_among_the_enquiries_is_misuse() -> None:
    with pytest.raises(TypeError, match="a dict among the enquiries"):
        mc.estimate_list([{"mesh_count": "10 / in"}])  # type: ignore[list-item]


def test_status_is_one_of_three_words() -> None:
    hints = typing.get_type_hints(vars(mc.Estimate)["status"].fget)
    assert hints["return"] == Status
    assert typing.get_args(Status) == ("ok", "review", "refused")
    assert mc.estimate(asked("16 ga")).status == "refused"


def test_annotations_of_an_enquiry_resolve_without_pint() -> None:
    code = (
        "import sys, typing, meshcore as mc\n"
        "for kind in (mc.Enquiry, mc.Roll, mc.Strip, mc.Piece):\n"
        "    assert typing.get_type_hints(kind)\n"
        "print(typing.get_type_hints(mc.Enquiry)['wire_diameter'])\n"
        "print([name for name in ('pint', 'pandas', 'scipy', 'pydantic') if name in sys.modules])\n"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.splitlines() == ["str | None", "[]"]


def test_forms_keep_their_manners() -> None:
    assert replace(ROLLS, width="36 in") == mc.Roll("36 in", "100 ft")
    assert repr(mc.Strip("2 in", "10 ft")) == "Strip(width='2 in', length='10 ft')"
    assert pickle.loads(pickle.dumps(mc.Piece("disc", diameter="2 in"))).dimensions == {
        "diameter": "2 in"
    }
    forms: list[object] = [mc.Roll("48 in", "100 ft"), mc.Strip("48 in", "100 ft")]
    assert forms[0] != forms[1]


def test_an_order_named_by_one_enquiry_gives_all_of_them_the_column() -> None:
    from meshcore.enquiry import as_table  # noqa: PLC0415 - of this test alone

    assert "order" not in as_table([asked(), asked()]).columns
    table = as_table([asked(), asked(order="A")])
    assert table["order"].tolist() == ["", "A"]
    assert table.columns.tolist()[:2] == ["line", "order"]
