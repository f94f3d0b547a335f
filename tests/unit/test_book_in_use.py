"""One book and one policy for every door: what is named, the demonstration, or a stand-in."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.demo import (
    BOOK_VARIABLE,
    DEMO_VARIABLE,
    POLICY_VARIABLE,
    demo_data,
    demo_supply_policy,
    policy_in_use,
)
from meshcore.supply.policy import default_supply_policy

LINE = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    form=mc.Strip("605 mm", "10 m"), quantity=40,
)  # fmt: skip
COMMAND = ["estimate", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304",
           "--strip", "605 mm x 10 m", "--quantity", "40"]  # fmt: skip
BOOK, POLICY = demo_data() / "price_book.toml", demo_data() / "supply_policy.toml"


@pytest.fixture
def _nothing_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(BOOK_VARIABLE)


@pytest.mark.usefixtures("_nothing_named")
def test_where_no_book_is_named_every_line_is_in_review_and_says_whose_rates() -> None:
    one = mc.estimate(LINE)
    said = {m.code: m for m in one.messages}
    assert one.status == "review"
    assert "Harrow Vale" in said["book.none_named"].read
    assert "invented" in said["book.none_named"].text
    # A variant is made with the same book, so it is no surer.
    assert mc.quantity_curve(one, quantities=[40])["price"].tolist() == [one.price]


@pytest.mark.usefixtures("_nothing_named")
def test_the_demonstration_is_no_stand_in_where_it_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert mc.estimate(LINE, mc.demo_price_book()).status == "ok"
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    one = mc.estimate(LINE)
    assert one.status == "ok"
    assert one.estimates.policy == demo_supply_policy()


@pytest.mark.usefixtures("_nothing_named")
def test_the_command_says_it_and_the_option_asks_for_the_demonstration(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(COMMAND) == 0
    assert "no price book was named" in capsys.readouterr().out
    assert main([*COMMAND, "--demo"]) == 0
    told = capsys.readouterr().out
    assert "no price book was named" not in told
    assert main(["book"]) == 0
    assert "no price book was named" in capsys.readouterr().out


def test_what_the_environment_names_stands_also_where_the_demonstration_is_asked_for(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The app is started with both; a command beside it must come to the same price."""
    own = tmp_path / "own.toml"
    own.write_text(BOOK.read_text("utf-8").replace("amount = 38.50", "amount = 77.00"), "utf-8")
    monkeypatch.setenv(BOOK_VARIABLE, str(own))
    monkeypatch.setenv(POLICY_VARIABLE, str(POLICY))
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    price = mc.estimate(LINE).price
    assert price != mc.estimate(LINE, mc.demo_price_book()).price
    monkeypatch.delenv(DEMO_VARIABLE)
    assert main([*COMMAND, "--demo"]) == 0
    assert f"{price:,.2f}" in capsys.readouterr().out


def test_every_door_prices_a_list_alike(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By options, by the environment, and as objects: the same line at the same price."""
    price = mc.estimate(LINE, mc.read_price_book(BOOK), mc.read_supply_policy(POLICY)).price
    monkeypatch.delenv(BOOK_VARIABLE)
    assert main([*COMMAND, "--book", str(BOOK), "--policy", str(POLICY),
                 "-o", str(tmp_path / "by_option.csv")]) == 0  # fmt: skip
    monkeypatch.setenv(BOOK_VARIABLE, str(BOOK))
    assert mc.estimate(LINE).price != price
    monkeypatch.setenv(POLICY_VARIABLE, str(POLICY))
    assert mc.estimate(LINE).price == price
    assert main([*COMMAND, "-o", str(tmp_path / "by_name.csv")]) == 0
    for name in ("by_option", "by_name"):
        assert pd.read_csv(tmp_path / f"{name}.csv")["price"].tolist() == [price]
    capsys.readouterr()


def test_without_a_name_the_policy_is_the_customary_one() -> None:
    assert policy_in_use() == default_supply_policy()
