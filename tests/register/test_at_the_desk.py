"""At the desk: revisions, rests, too much delivered, numbers given twice, labels scanned."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from desk_fixtures import A1, HEAD, PIECES, Q1, QUOTE, R1, ROLLS, YEAR, Said

from meshcore.demo import demo_data
from meshcore.documents.terms import TermsError
from meshcore.register.entries import entry
from meshcore.register.figures import figures
from meshcore.register.finding import find
from meshcore.register.opening import open_register


def test_a_revision_carries_the_terms_of_what_it_revises(desk: Path, run: Said) -> None:
    run(f"{QUOTE} --language de")
    first = (desk / "q.txt").read_text("utf-8")
    run(f"register mark {Q1} sent")
    run(f"quote list.csv -o again.txt --demo --revise {Q1}")
    again = (desk / "again.txt").read_text("utf-8")
    # Tax, terms, letterhead and language: all but the number of the revision is the same.
    told = [line for line in again.splitlines() if line not in first.splitlines()]
    assert all(re.search(r"\b2\b", line) for line in told)
    assert "MwSt" in again or "Umsatzsteuer" in again
    # Others are taken where they are named.
    run(f"quote list.csv -o en.txt --demo --revise {Q1} --terms terms.toml --language en")
    assert "Quotation" in (desk / "en.txt").read_text("utf-8")


def test_all_takes_the_rest_of_pieces(desk: Path, run: Said) -> None:
    (desk / "list.csv").write_text(PIECES)
    run(QUOTE)
    run(f"register mark {Q1} sent")
    run(f"register order {Q1} --buyer PO-7 --accept")
    run(f'register deliver {A1} "{R1}: 5 pcs"')
    assert f"{R1}: 7 pieces" in run(f"register deliver {A1} all")
    assert "nothing is left" in run(f"register deliver {A1} all", 2)
    run(f"register bill {A1} -o bill.txt")
    show = run(f"register show {A1}")
    amounts = re.findall(r"(?:amount: |bill .*?, )([\d,.]+) EUR", show)
    assert amounts[0] == amounts[-1]


def test_a_line_that_comes_to_more_than_was_ordered_is_asked_about(run: Said, order: str) -> None:
    # Each roll is no more than one and a half of its own length.
    said = run(f'register deliver {order} "3 x 150 ft"', 2)
    assert "line 1 comes to 137.160 m, 50 % over the 91.440 m ordered" in said
    assert "--anyway" in said
    run(f'register deliver {order} "100 ft; 150 ft"')
    assert "line 1 comes to" in run(f'register deliver {order} "150 ft"', 2)
    run(f'register deliver {order} "150 ft" --anyway')
    billed = run(f"register bill {order} -o bill.txt")
    assert "line 1 comes to 121.920 m, 33.3 % over the 91.440 m ordered" in billed


def test_too_many_pieces_are_flagged_on_the_bill(desk: Path, run: Said) -> None:
    (desk / "list.csv").write_text(PIECES)
    run(QUOTE)
    run(f"register mark {Q1} sent")
    run(f"register order {Q1} --buyer PO-7 --accept")
    run(f'register deliver {A1} "{R1}: 14 pcs" --anyway')
    assert "line 1 comes to 14, of 12 ordered" in run(f"register bill {A1} -o bill.txt")
    assert "outside the tolerance" in " ".join((desk / "bill.txt").read_text("utf-8").split())


def test_a_quotation_takes_no_place_of_its_list(desk: Path, run: Said) -> None:
    for number in ("", " --number Q-9"):
        assert "would overwrite" in run(f"quote list.csv -o list.csv{number}", 2)
    assert (desk / "list.csv").read_text() == ROLLS
    assert not (desk / "register.sqlite").exists()


def test_a_quotation_that_is_won_stays_won(desk: Path, run: Said, order: str) -> None:
    said = run(f"{QUOTE} --revise {Q1}", 2)
    assert f"quotation {Q1} is won: order {order} is on it" in said
    register = open_register(desk / "register.sqlite")
    assert entry(register, "quotation", Q1).state == "won"
    assert figures(register).hit_rate == 1.0
    # Once the order is cancelled and the quotation lost, it may be revised.
    run(f"register cancel {order} --reason withdrawn")
    assert "mark it lost first" in run(f"{QUOTE} --revise {Q1}", 2)
    run(f"register mark {Q1} lost --reason withdrawn")
    assert "revision 2" in run(f"{QUOTE} --revise {Q1}")


def _on_file(desk: Path) -> list[str]:
    return [f"{one.kind} {one.state}" for one in find(open_register(desk / "register.sqlite"))]


def test_nothing_is_filed_where_the_disk_is_full(desk: Path, run: Said) -> None:
    # /dev/full takes no byte, as a full disk does (full(4) of the Linux manual pages).
    for name in ("full.txt", "full.pdf"):
        (desk / name).symlink_to("/dev/full")
    full = r"full\.\w+: cannot be written \(No space left on device\)\. Nothing was filed\."

    def refused(words: str) -> bool:
        return bool(re.search(full, run(words, 2)))

    assert refused("quote list.csv -o full.txt --to Bakery")
    assert not (desk / "register.sqlite").exists()
    run(QUOTE)
    run(f"register mark {Q1} sent")
    assert refused(f"{QUOTE} --revise {Q1} -o full.txt")
    assert refused(f"register order {Q1} --buyer PO-7 --accept -o full.txt")
    assert refused(f"repeat {Q1} --demo --quote full.txt")
    assert sorted(_on_file(desk)) == ["list came", "quotation sent", "sender known"]
    run(f"register order {Q1} --buyer PO-7 --accept -o order.txt")
    assert refused(f"register labels {A1} -o full.pdf")
    assert "label due" not in _on_file(desk)
    run(f"register deliver {A1} all")
    assert refused(f"register bill {A1} -o full.txt")
    assert "bill billed" not in _on_file(desk)
    assert f"Bill B{YEAR}-000001" in run(f"register bill {A1} -o bill.txt")
    assert sorted(path.name for path in desk.glob(".*")) == []


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="there is no /proc here")
def test_a_folder_that_takes_no_file_is_met_before_anything_is_filed(desk: Path, run: Said) -> None:
    said = run("quote list.csv -o /proc/q.txt --to Bakery", 2)
    assert "/proc/q.txt: cannot be written" in said
    assert "Nothing was filed" in said
    assert not (desk / "register.sqlite").exists()


def test_a_document_that_fails_after_all_names_what_is_on_file(
    run: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried = []

    def second_fails(_: object, path: Path) -> str:
        tried.append(path)
        if len(tried) > 1:
            raise TermsError(f"{path}: cannot be written (No space left on device).")
        return ""

    monkeypatch.setattr("meshcore.documents.printing.write_quotation", second_fails)
    said = run("quote list.csv -o q.txt --to Bakery", 2)
    assert f"Quotation {Q1} is on file" in said
    assert f"register show {Q1}" in said


def test_the_list_of_what_is_on_file_overwrites_nothing_unasked(desk: Path, run: Said) -> None:
    run(QUOTE)
    (desk / "kept.csv").write_text("mine\n")
    assert "is there already" in run("register export kept.csv", 2)
    assert (desk / "kept.csv").read_text() == "mine\n"
    assert "3 things" in run("register export kept.csv --overwrite")
    assert "mine" not in (desk / "kept.csv").read_text("utf-8")


def test_labels_just_made_are_not_told_as_cut(run: Said, order: str) -> None:
    run(f"register labels {order} -o labels.pdf")
    assert "label   " in run("register find due")
    assert f"label {R1}, due" in run(f"register show {order}")


def test_the_day_of_an_order(run: Said) -> None:
    old = "Q2020-000001"
    run(f"{QUOTE} --date 2020-03-02")
    run(f"register mark {old} sent")
    take = f"register order {old} --buyer PO-7"
    assert "2999-01-01, which is still to come" in run(f"{take} --date 2999-01-01 --accept", 2)
    early = run(f"{take} --date 2020-03-01 --accept", 2)
    assert f"dated 2020-03-01, before {old} of 2020-03-02" in early
    assert "lapsed" in run(f"{take} --accept", 2)
    # An order of a day on which the quotation held is in time, whenever it is typed in.
    assert f"Order A{YEAR}-000001" in run(f"{take} --date 2020-03-02 --accept")


def test_a_line_told_twice_is_refused(run: Said) -> None:
    run(QUOTE)
    run(f"register mark {Q1} sent")
    twice = run(f"register order {Q1} --buyer P --quantity 1=2 --quantity 1=4", 2)
    assert "--quantity: line 1 is told twice, 2 and 4" in twice
    assert "told twice" in run(f"register order {Q1} --buyer P --price 1=2 --price 1=4", 2)


def test_a_day_that_is_none_is_said(run: Said) -> None:
    run(QUOTE)
    assert '"2026-02-30" is no day' in run("register find 2026-02-30")
    assert '"2026-13" is no day' in run("register find bakery 2026-13")
    assert '"2026-05..2026-03" is no day or range' in run("register find 2026-05..2026-03")
    assert "is no day" not in run("register find 2026-02-28")


@pytest.mark.parametrize("typed", [f"R{YEAR}-1", f"R{YEAR}-OOOOO1", f"r{YEAR}-01"])
def test_a_label_that_is_nearly_one_is_offered(run: Said, order: str, typed: str) -> None:
    run(f"register labels {order} -o labels.pdf")
    assert f"Perhaps {R1}?" in run(f'register deliver {order} "{typed}: 98 ft"', 2)
    assert f"Perhaps {R1}?" in run(f"register show {typed}", 2)


def test_small_words(desk: Path, run: Said, order: str) -> None:
    assert "no length or count" in run(f'register deliver {order} ""', 2)
    assert "1 line," in run("quote list.csv -o one.txt --number Q-5 --unfiled")
    (desk / "list.csv").write_text(HEAD)
    before = _on_file(desk)
    assert "list.csv" in run("quote list.csv -o empty.txt", 2)
    assert _on_file(desk) == before


def test_quantities_of_breaks_are_told_once_and_in_order(desk: Path, run: Said) -> None:
    run("quote list.csv -o a.txt --number Q-5 --unfiled --breaks 50,5,5")
    run("quote list.csv -o b.txt --number Q-5 --unfiled --breaks 5,50")
    assert (desk / "a.txt").read_text("utf-8") == (desk / "b.txt").read_text("utf-8")
    with pytest.raises(SystemExit):
        run("quote list.csv -o a.txt --number Q-5 --breaks 12345678901")


def test_a_repeat_compares_like_with_like(desk: Path, run: Said) -> None:
    (desk / "list.csv").write_text(f"{ROLLS}20 / in,0.016 in,316L,roll,48 in,100 ft,2\n")
    run(QUOTE)
    book = (demo_data() / "price_book.toml").read_text("utf-8")
    gone = [line for line in book.splitlines() if 'alloy = "316L", amount = 4.95' not in line]
    assert len(gone) == len(book.splitlines()) - 1
    (desk / "book.toml").write_text("\n".join(gone), "utf-8")
    said = run(f"repeat {Q1} --book book.toml")
    sums = re.findall(r"  (?:then|today): +([\d,.]+) EUR", said)
    line_1 = re.search(r"line 1: .*\n    was ([\d,.]+) EUR, now ([\d,.]+) EUR", said)
    assert line_1
    assert sums == list(line_1.groups())
    assert "without line 2, which has one price alone" in said


def test_what_nobody_agreed_is_not_told_as_agreed(desk: Path, run: Said) -> None:
    (desk / "list.csv").write_text(f"{ROLLS}20 / in,0.016 in,304,roll,48 in,100 ft,2\n")
    run(QUOTE)
    run(f"register mark {Q1} sent")
    # One line of two is ordered, at the price quoted for it beside the other.
    run(f"register order {Q1} --buyer PO-7 --quantity 2=0 --accept")
    said = run(f"repeat {A1} --demo")
    assert "price quoted, against its items" in said
    assert "agreed" not in said
    run(f"register order {Q1} --buyer PO-8 --price 1=999.00 --accept --anyway")
    assert "agreed price, against its items" in run(f"repeat A{YEAR}-000002 --demo")
