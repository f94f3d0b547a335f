"""What a stranger does at the desk: revisions, rests, too much delivered, numbers given twice."""

from __future__ import annotations

import re
import shlex
from datetime import UTC, datetime
from pathlib import Path

import pytest

from meshcore.cli import main
from meshcore.demo import demo_data
from meshcore.register.connecting import REGISTER_VARIABLE
from meshcore.register.entries import entry
from meshcore.register.opening import open_register
from meshcore.register.quotations import figures

HEAD = "mesh_count,wire_diameter,alloy,form,width,length,quantity\n"
ROLLS = f"{HEAD}10 / in,0.025 in,304,roll,48 in,100 ft,3\n"
PIECES = f"{HEAD}4 / in,0.047 in,304,piece,12 in,9 in,12\n"
YEAR = datetime.now(UTC).year
Q1, A1, R1 = f"Q{YEAR}-000001", f"A{YEAR}-000001", f"R{YEAR}-000001"
QUOTE = "quote list.csv -o q.txt --terms terms.toml --demo --to Bakery"


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    (tmp_path / "list.csv").write_text(ROLLS)
    (tmp_path / "terms.toml").write_bytes((demo_data() / "terms.toml").read_bytes())
    return tmp_path


class Said:
    """Runs commands, and returns what they print; the code is the one that is due."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, words: str, code: int = 0) -> str:
        self.capsys.readouterr()
        got = main(shlex.split(words))
        held = self.capsys.readouterr()
        assert got == code, held
        return held.err if code else held.out + held.err


@pytest.fixture
def run(desk: Path, capsys: pytest.CaptureFixture[str]) -> Said:
    assert desk.exists()
    return Said(capsys)


@pytest.fixture
def order(run: Said) -> str:
    run(QUOTE)
    run(f"register mark {Q1} sent")
    run(f"register order {Q1} --buyer PO-7 --accept")
    return A1


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


def test_a_number_on_file_is_not_printed_for_somebody_else(desk: Path, run: Said) -> None:
    run(QUOTE)
    for number in (Q1, Q1.lower()):
        said = run(f"quote list.csv -o other.txt --to Other --number {number}", 2)
        assert f"{Q1} is on file already, for Bakery" in said
    assert not (desk / "other.txt").exists()
    run("quote list.csv -o other.txt --to Other --number Q-9")
    run(f"register mark {Q1} deleted")
    assert "on file already" in run(f"quote list.csv -o o.txt --number {Q1}", 2)
