"""What is written never takes the place of what was read, unless that is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

import meshcore as mc
from meshcore.cli import _parser, main
from meshcore.commands.overwriting import READ, WRITTEN, commands_of
from meshcore.demo import BOOK_VARIABLE, demo_data

DEMO = demo_data()
ONE = ("estimate", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304",
       "--roll", "48 in x 100 ft")  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("price_book.toml", "enquiries.csv", "terms.toml", "supply_policy.toml"):
        (tmp_path / name).write_bytes((DEMO / name).read_bytes())
    (tmp_path / "book.svg").symlink_to("price_book.toml")
    (tmp_path / "list.toml").symlink_to("enquiries.csv")
    monkeypatch.chdir(tmp_path)
    return tmp_path


PRICE = ("price", "enquiries.csv", "-o")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((*PRICE, "enquiries.csv"), "would overwrite what it reads"),
        ((*PRICE, "./enquiries.csv"), "would overwrite what it reads"),
        ((*ONE, "--drawing", "price_book.toml"), "--drawing writes .svg"),
        ((*ONE, "--book", "price_book.toml", "--drawing", "price_book.toml"), "writes .svg"),
        ((*ONE, "--book", "price_book.toml", "--drawing", "book.svg"), "overwrite the price book"),
        ((*ONE, "--plan-dxf", "price_book.toml"), "--plan-dxf writes .dxf"),
        ((*ONE, "--cut-sheet", "price_book.toml"), "--cut-sheet writes .pdf"),
        ((*PRICE, "out.csv", "--save-mapping", "price_book.toml"), "holds no mapping"),
        ((*PRICE, "out.csv", "--save-mapping", "list.toml"), "overwrite what it reads"),
        (("book", "price_book.toml", "-o", "price_book.toml"), "overwrite the price book"),
        (("quote", "enquiries.csv", "-o", "enquiries.csv"), "would overwrite what it reads"),
        ((*ONE, "--drawing", "a.svg", "--plan-drawing", "./a.svg"), "each its own"),
    ],
)  # fmt: skip
def test_what_is_read_is_kept(
    folder: Path, words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {one.name: one.read_bytes() for one in folder.iterdir()}
    assert main(words) == 2
    told = capsys.readouterr().err
    assert said in told
    assert told.count("\n") == 1
    assert {one.name: one.read_bytes() for one in folder.iterdir()} == before


def test_the_book_in_use_is_kept(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(BOOK_VARIABLE, str(folder / "price_book.toml"))
    assert main(["book", "--demo", "-o", "price_book.toml"]) == 2
    assert "overwrite the price book in use" in capsys.readouterr().err
    assert (folder / "price_book.toml").read_bytes() == (DEMO / "price_book.toml").read_bytes()


def test_it_is_replaced_where_that_is_asked_for(folder: Path) -> None:
    words = ["book", "price_book.toml", "--currency", "USD", "-o", "price_book.toml"]
    assert main([*words, "--overwrite"]) == 0
    assert mc.read_price_book(folder / "price_book.toml").currency == "USD"
    assert main([*PRICE, "out.csv", "--save-mapping", "map.toml"]) == 0
    assert main([*PRICE, "out.csv", "--save-mapping", "map.toml"]) == 0


def test_every_option_that_names_a_file_is_known() -> None:
    named = {
        action.dest
        for parser in commands_of(_parser())
        for action in parser._actions
        if action.type is Path
    }
    # The register's own commands write over nothing by themselves, or read.
    assert named - {"file"} <= {*READ, *WRITTEN}
    assert all(
        any(a.dest == "overwrite" for a in parser._actions)
        for parser in commands_of(_parser())
        if any(
            a.dest in WRITTEN and not isinstance(a, argparse._HelpAction) for a in parser._actions
        )
    )
