"""Saved estimates: what is filed comes back, with the book that it was priced with."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pandas as pd
import pytest

from meshcore.demo import demo_data
from meshcore.estimates.pipeline import estimate_list, estimate_table
from meshcore.estimates.results import EstimateSet
from meshcore.lists.reading import read_list
from meshcore.register import records
from meshcore.register.records import RecordsError


@pytest.fixture(scope="module")
def estimates() -> EstimateSet:
    return estimate_list(read_list(demo_data() / "enquiries.csv"))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "kept" / "records.sqlite"


def test_an_estimate_comes_back_as_it_was(estimates: EstimateSet, file: Path) -> None:
    number = records.save_estimate(estimates, "Inbox, week 48", "as received", file)
    saved = records.load_estimate(number, file)
    assert (saved.title, saved.note, saved.book) == (
        "Inbox, week 48",
        "as received",
        estimates.book,
    )
    then = estimate_table(estimates.enquiries, price_book=estimates.book)
    assert saved.priced["price"].tolist() == pytest.approx(then["price"].tolist(), nan_ok=True)
    assert saved.priced["messages"].tolist() == then["messages"].tolist()
    assert saved.items["amount"].tolist() == estimates.cost_items()["amount"].tolist()
    assert saved.saved_at.tzinfo is not None


def test_a_saved_estimate_prices_again_by_its_own_book(estimates: EstimateSet, file: Path) -> None:
    saved = records.load_estimate(records.save_estimate(estimates, "x", path=file), file)
    again = estimate_table(saved.enquiries, price_book=saved.book)
    assert again["price"].tolist() == pytest.approx(saved.priced["price"].tolist(), nan_ok=True)
    assert again["status"].tolist() == saved.priced["status"].tolist()


def test_the_list_is_newest_first_and_deleting_takes_one_off(
    estimates: EstimateSet, file: Path
) -> None:
    first, second = (records.save_estimate(estimates, t, path=file) for t in ("one", "two"))
    listed = records.saved_estimates(file)
    assert listed["title"].tolist() == ["two", "one"]
    assert listed["price"].iloc[0] == pytest.approx(
        estimates.ledger.price[estimates.ledger.priced].sum()
    )
    assert listed["lines"].tolist() == [len(estimates)] * 2
    records.delete_estimate(first, file)
    assert records.saved_estimates(file)["id"].tolist() == [second]
    for act in (records.load_estimate, records.delete_estimate):
        with pytest.raises(RecordsError, match=f"no estimate {first} is on file"):
            act(first, file)


def test_only_who_saved_an_estimate_takes_it_off_and_it_is_said_who_did(
    estimates: EstimateSet, file: Path
) -> None:
    number = records.save_estimate(estimates, "one", path=file, who="A. Clerk")
    with pytest.raises(RecordsError, match=f"estimate {number} was saved by A. Clerk"):
        records.delete_estimate(number, file, who="B. Other")
    assert records.saved_estimates(file)["id"].tolist() == [number]
    records.delete_estimate(number, file, who="A. Clerk")
    records.restore_estimate(number, file, who="B. Other")
    done = [(one.who, one.what) for one in records.estimate_changes(number, file)]
    assert done == [("A. Clerk", "saved"), ("A. Clerk", "deleted"), ("B. Other", "draft")]


def test_two_columns_of_one_heading_survive(file: Path) -> None:
    table = pd.DataFrame([["304", 3, "a", 1.5], ["316L", 2, "b", 2.5]])
    table.columns = pd.Index(["alloy", "quantity", "ref", "ref"])
    number = records.save_estimate(estimate_list(table), "twice", path=file)
    saved = records.load_estimate(number, file).enquiries
    assert list(saved.columns) == ["alloy", "quantity", "ref", "ref"]
    assert saved.iloc[:, 3].tolist() == [1.5, 2.5]


def test_a_file_that_is_none_says_so(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("these are notes, not records, and long enough to be looked at " * 20)
    with pytest.raises(RecordsError, match="no file of records"):
        records.saved_estimates(path)
    with pytest.raises(RecordsError, match="cannot be opened"):
        records.saved_estimates(tmp_path / "notes.txt" / "records.sqlite")


def test_a_later_layout_is_not_touched(estimates: EstimateSet, file: Path) -> None:
    records.save_estimate(estimates, "x", path=file)
    with sqlite3.connect(file) as connection:
        connection.execute("PRAGMA user_version = 99")
    with pytest.raises(RecordsError, match="later version"):
        records.saved_estimates(file)


def test_the_file_may_be_named_in_the_environment(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv(records.RECORDS_VARIABLE, str(tmp_path / "mine.sqlite"))
    assert records.default_records() == tmp_path / "mine.sqlite"
    assert records.saved_estimates().empty
    monkeypatch.delenv(records.RECORDS_VARIABLE)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert records.default_records() == tmp_path / "meshcore" / "records.sqlite"


def test_the_number_of_the_layout_goes_with_its_columns(estimates: EstimateSet, file: Path) -> None:
    """Files of other programs hold these: whoever changes the columns raises the number."""
    records.save_estimate(estimates, "Inbox", "", file)
    with sqlite3.connect(file) as connection:
        (layout,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        held = [row[1] for row in connection.execute("PRAGMA table_info(changes)")]
    connection.close()
    assert (layout, held) == (
        "0004",
        ["item", "version", "at", "who", "what", "note", "head", "lines", "body"],
    )
