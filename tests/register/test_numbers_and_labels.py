"""Numbers given, labels scanned, lengths typed, and what is no longer as it was."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_fixtures import Q1, QUOTE, R1, Said

import meshcore as mc
from meshcore.demo import demo_data


def test_a_number_on_file_is_not_printed_for_somebody_else(desk: Path, run: Said) -> None:
    run(QUOTE)
    for number in (Q1, Q1.lower()):
        said = run(f"quote list.csv -o other.txt --to Other --number {number}", 2)
        assert f"{Q1} is on file already, for Bakery" in said
    assert not (desk / "other.txt").exists()
    run("quote list.csv -o other.txt --to Other --number Q-9")
    run(f"register mark {Q1} deleted")
    assert "on file already" in run(f"quote list.csv -o o.txt --number {Q1}", 2)
    # A number of one's own is taken by whoever quotes under it first.
    said = run("quote list.csv -o more.txt --to Third --number q-9", 2)
    assert "Q-9 is on file already, for Other" in said
    assert not (desk / "more.txt").exists()
    run("register mark Q-9 sent")
    assert "Order A" in run("register order Q-9 --buyer PO-1 --accept")


def test_of_several_who_take_one_number_at_once_one_has_it(desk: Path, run: Said) -> None:
    run(QUOTE)
    words = [sys.executable, "-m", "meshcore", "quote", "list.csv", "--number", "Q-9"]
    tried = [
        subprocess.Popen([*words, "-o", f"{n}.txt", "--to", f"Buyer {n}"], cwd=desk,
                         stderr=subprocess.PIPE, text=True, stdout=subprocess.DEVNULL)
        for n in range(4)
    ]  # fmt: skip
    said = [one.communicate()[1] for one in tried]
    assert sorted(one.returncode for one in tried) == [0, 2, 2, 2]
    assert sum("Q-9 is on file already" in text for text in said) == 3
    [kept] = [n for n, one in enumerate(tried) if not one.returncode]
    assert [path.name for path in desk.glob("?.txt") if path.name != "q.txt"] == [f"{kept}.txt"]
    assert f"for: Buyer {kept}" in run("register show Q-9")


def test_what_is_not_to_be_filed_is_written_alone(desk: Path, run: Said) -> None:
    run("quote list.csv -o one.txt --number Q-5 --unfiled")
    assert "Quotation Q-5" in (desk / "one.txt").read_text("utf-8")
    assert not (desk / "register.sqlite").exists()
    assert "Give it a --number" in run("quote list.csv -o one.txt --unfiled", 2)
    run(QUOTE)
    for other in ("--number Q-6", "--unfiled"):
        assert "keeps its number" in run(f"{QUOTE} --revise {Q1} {other}", 2)
    for number in ("-", "x" * 41):
        assert "letters or digits" in run(f"quote list.csv -o one.txt --number={number}", 2)


def test_a_revision_in_other_money_or_for_somebody_else_says_so(desk: Path, run: Said) -> None:
    (desk / "yen.toml").write_text('[customer]\nname = "Bakery"\ncurrency = "JPY"\n')
    run(f"{QUOTE} --customer yen.toml")
    run(f"register mark {Q1} sent")
    said = run(f"quote list.csv -o q.txt --revise {Q1} --to Dairy --reference D-1")
    assert "It is priced in EUR; the one before was priced in JPY." in said
    assert "It is for Dairy; the one before was for Bakery." in said
    assert "It is of their reference D-1" in said
    said = run(f"quote list.csv -o q.txt --revise {Q1}")
    assert "the one before was" not in said


@pytest.mark.usefixtures("desk")
def test_a_day_that_nobody_would_mean_is_said(run: Said) -> None:
    assert "still to come: no order can be taken" in run(f"{QUOTE} --date 2999-01-01")
    assert "held until 2001-01-31 alone" in run(f"{QUOTE} --date 2001-01-01")
    assert "dated" not in run(QUOTE)


def test_what_is_typed_of_a_delivery(run: Said, order: str) -> None:
    run(f"register labels {order} -o labels.pdf")
    second = f"{R1[:-1]}2"
    # A scanner's own sign before the label, nothing between label and length, and a number that
    # can be meant in feet alone: 98 m is three times the roll.
    said = run(f'register deliver {order} "]Q1{R1} 98,5 ft"')
    assert f"{R1}: 98.5 ft (30.023 m)" in said
    said = run(f'register deliver {order} "101"')
    assert f"{second}: 101 ft (30.785 m)" in said
    assert "98.5 ft (30.023 m)" in run(f"register show {R1}")
    # 60 ft is three fifths of a roll, 60 m two; 20 ft is a fifth, and 20 m no unit of this order.
    assert f"{R1[:-1]}3: 60 ft" in run(f'register deliver {order} "60"')
    assert "without its unit" in run(f'register deliver {order} "{R1}: 20"', 2)


def test_rolls_are_counted_in_words(run: Said, order: str) -> None:
    said = run(f'register deliver {order} "3 rolls at 100 ft"')
    assert said.count("100 ft (30.48 m)") == 3


def test_a_label_is_found_among_whatever_a_scanner_reads(run: Said, order: str) -> None:
    run(f"register labels {order} -o labels.pdf")
    for scanned in (f"]Q1{R1}", f"%%{R1}??", f"Old mill {R1} Bakery {order} / 1", "r2O26-OOOO01"):
        text = scanned.replace("2O26", R1[1:5].replace("0", "O"))
        assert f"ordered as {order}, PO-7" in run(f'repeat "{text}"'), text
    assert "nothing on file agrees" in run(f"repeat {R1}1", 2)


def test_the_buyers_number_means_the_order_that_stands(run: Said, order: str) -> None:
    run(f"register labels {order} -o labels.pdf")
    twice = run(f"register order {Q1} --buyer PO-7 --accept --anyway")
    other = twice.split()[twice.split().index("Order") + 1]
    said = run("repeat PO-7", 2)
    assert "2 lines on file agree" in said
    assert "R20" not in said
    run(f"register cancel {other} --reason twice")
    assert f"ordered as {order}, PO-7" in run("repeat PO-7")


def test_what_is_no_longer_as_it_was_is_said(desk: Path, run: Said) -> None:
    run(f"{QUOTE} --policy {demo_data() / 'supply_policy.toml'}")
    policy = (demo_data() / "supply_policy.toml").read_text("utf-8")
    other = policy.replace('widths = ["36 in", "48 in", ', 'widths = ["36 in", ')
    assert other != policy
    (desk / "policy.toml").write_text(other, "utf-8")
    said = run(f"repeat {Q1} --policy policy.toml")
    assert "line 1: 48 in (1,219.2 mm) is no longer a stock width." in said
    book = (demo_data() / "price_book.toml").read_text("utf-8")
    without = book.replace('rules_disabled = ["tax"]', 'rules_disabled = ["tax", "freight"]')
    assert without != book
    (desk / "book.toml").write_text(without, "utf-8")
    said = run(f"repeat {Q1} --book book.toml")
    assert 'the rule "freight" is switched off in' in said
    assert "no longer" not in run(f"repeat {Q1}")


@pytest.mark.usefixtures("desk")
def test_a_rule_that_charged_then_and_is_gone_is_said(run: Said) -> None:
    def crating(_columns: object, _rates: object) -> Iterator[mc.CostColumn]:
        yield mc.CostColumn("crate", "crates", 1.0, "crate", 18.5, origin="agreed")

    with mc.register_rules(mc.PricingRule("crating", "packing", crating), name="crate shop"):
        run(QUOTE)
    said = run(f"repeat {Q1}")
    assert 'no rule charges "crate" (packing) any more, as one did then.' in said
