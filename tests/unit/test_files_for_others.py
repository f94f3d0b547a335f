"""A priced list that leaves the mill tells prices and reasons, and nothing of costs or margins."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

import meshcore as mc
from meshcore.demo import demo_price_book
from meshcore.estimates.for_buyers import withheld_columns
from meshcore.lists.writing import write_list

ROLL_LINE = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
             "width": "48 in", "length": "100 ft", "quantity": "3"}  # fmt: skip
#: What an estimator writes beside a line for himself, in the languages of the words of headings.
FOR_HIMSELF = {
    "set_price": "1234.00", "our cost": "711.11", "Target Price [EUR]": "722.22",
    "margin %": "733.33", "Selbstkosten": "744.44", "Zielpreis": "755.55",
    "Prix de revient": "766.66", "margen": "777.77", "cost": "788.88",
    "buy price": "799.11", "GM %": "799.22", "landed": "799.33", "floor": "799.44",
    "competitor price": "799.55", "budget": "799.66", "last price": "799.77",
    "notes internal": "799.88", "qzx": "799.99", "note": "our margin here 12",
}  # fmt: skip


@pytest.fixture(scope="module")
def with_costs_beside() -> mc.EstimateSet:
    """A line priced for himself, one without a rate, and one that cannot be read."""
    lines = pd.DataFrame([ROLL_LINE, ROLL_LINE | {"alloy": "niobium"}, ROLL_LINE | {"width": "x"}])
    beside = {name: [text, "", ""] for name, text in FOR_HIMSELF.items()}
    table = lines.assign(**beside, **{"cost centre": "K-7", "buyer": "Alder", "Drg. No.": "D-9"})
    secret = "SECRET floor 12 percent"
    book, policy = demo_price_book(), mc.estimate_list(lines).policy
    return mc.estimate_list(table, replace(book, note=secret), replace(policy, note=secret))


@pytest.mark.parametrize("suffix", ["csv", "parquet", "xlsx", "json"])
def test_what_an_estimator_wrote_for_himself_does_not_leave(
    with_costs_beside: mc.EstimateSet, tmp_path: Path, suffix: str
) -> None:
    path = tmp_path / f"priced.{suffix}"
    if suffix == "json":
        path.write_text(mc.for_others(with_costs_beside).to_json())
    else:
        write_list(with_costs_beside, path, costs=False)
    if suffix == "xlsx":
        cells = [c for w in openpyxl.load_workbook(path) for r in w.values for c in r]
    elif suffix == "parquet":
        table = pd.read_parquet(path)
        cells = [*table.columns, *table.to_numpy().ravel()]
    else:
        cells = [path.read_text()]
    told = " ".join(map(str, cells))
    for name, text in FOR_HIMSELF.items():
        assert text not in told, name
        assert name not in told or name in ("cost", "note", "floor", "budget"), name
    assert "SECRET" not in told
    assert "K-7" in told
    assert "D-9" in told
    assert "Alder" in told
    for reason in ("makes no price of this line", "niobium", "width"):
        assert reason in told


def test_a_set_price_stays_the_price_in_a_file_for_others(
    with_costs_beside: mc.EstimateSet, tmp_path: Path
) -> None:
    write_list(with_costs_beside, tmp_path / "priced.csv", costs=False)
    table = pd.read_csv(tmp_path / "priced.csv")
    assert table["price"].iloc[0] == with_costs_beside.table["price"].iloc[0]
    assert table["status"].tolist()[1:] == ["refused", "refused"]
    assert table["messages"].notna()[1:].all()


def test_a_column_leaves_where_it_is_named_and_a_note_that_tells_nothing_does(
    tmp_path: Path,
) -> None:
    lines = [ROLL_LINE | {"note": "thanks", "qzx": "Q1", "landed": "L1"},
             ROLL_LINE | {"note": "EK 700", "qzx": "Q2", "landed": "L2"}]  # fmt: skip
    path = tmp_path / "lines.csv"
    pd.DataFrame(lines).to_csv(path, index=False)
    estimates = mc.estimate_list(mc.read_list(path), demo_price_book())
    write_list(estimates, tmp_path / "priced.csv", costs=False, keep=["QZX"])
    table = pd.read_csv(tmp_path / "priced.csv", keep_default_na=False)
    assert table["qzx"].tolist() == ["Q1", "Q2"]
    assert table["note"].tolist() == ["thanks", ""]
    assert "landed" not in table
    assert withheld_columns(estimates, ["QZX"]) == ("landed",)
    assert "EK 700" not in (tmp_path / "priced.csv").read_text()
