"""Editing a price book in tables, and the command that reports on books."""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from meshcore.commands import books
from meshcore.costing.book import PriceBook, PriceBookError
from meshcore.costing.book_edit import BookHistory, book_frames, book_from_frames
from meshcore.costing.book_files import read_price_book
from meshcore.demo import demo_data


@pytest.fixture
def demo() -> PriceBook:
    return read_price_book(demo_data() / "price_book.toml")


def test_tables_make_the_same_book_again(demo: PriceBook) -> None:
    assert book_from_frames(book_frames(demo), "editor") == demo


@pytest.mark.parametrize("blank", [None, np.nan, pd.NA, pd.NaT, "", "  "])
def test_an_added_row_without_anything_is_left_out(demo: PriceBook, blank: object) -> None:
    frames = book_frames(demo)
    rates = frames["rates"].astype(object)
    empty = pd.DataFrame([[blank] * rates.shape[1]], columns=rates.columns, dtype=object)
    longer = pd.concat([rates, empty], ignore_index=True)
    assert book_from_frames(frames | {"rates": longer}, "editor") == demo


def test_a_changed_cell_is_read_and_a_wrong_one_is_named(demo: PriceBook) -> None:
    frames = book_frames(demo)
    frames["rates"].loc[0, "amount"] = 9.99
    assert book_from_frames(frames, "editor").rates[0].amount == 9.99
    frames["rates"].loc[0, "amount"] = -1.0
    frames["exchange"].loc[1, "currency"] = "POUND"
    with pytest.raises(PriceBookError) as caught:
        book_from_frames(frames, "editor")
    assert [m.field for m in caught.value.messages] == [
        "exchange row 2, currency", "rates row 1, amount",
    ]  # fmt: skip


def test_a_book_without_settings_is_named(demo: PriceBook) -> None:
    frames = book_frames(demo)
    with pytest.raises(PriceBookError, match="book, name"):
        book_from_frames(frames | {"book": frames["book"].iloc[:0]}, "editor")


def test_undo_and_redo(demo: PriceBook) -> None:
    frames = book_frames(demo)
    frames["rates"].loc[0, "amount"] = 9.99
    changed = book_from_frames(frames, "editor")
    history = BookHistory((demo,)).edited(changed).edited(changed)
    assert len(history.versions) == 2
    assert (history.book, history.saved, history.undone().book) == (changed, demo, demo)
    assert history.undone().undone() == history.undone()
    assert history.redone() == history
    anew = history.undone().edited(changed)
    assert anew.versions == (demo, changed)


def run(*words: str) -> None:
    parser = argparse.ArgumentParser()
    books.add(parser.add_subparsers())
    chosen = parser.parse_args(["book", *words])
    chosen.command(chosen)


def test_the_command_reports_compares_and_writes(
    demo: PriceBook, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, other = str(demo_data() / "price_book.toml"), tmp_path / "other.xlsx"
    run(path, "--currency", "usd", "-o", str(other))
    said = capsys.readouterr().out
    assert f"{len(demo.rates)} rates" in said
    assert "prices in USD" in said
    assert "niobium" in said
    run(path, "--against", str(other))
    assert "book: settings, currency: EUR → USD" in capsys.readouterr().out
    run(path, "--against", path)
    assert "Nothing differs." in capsys.readouterr().out
