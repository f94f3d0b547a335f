"""The commands of a day at the desk, as the handbook has them, and what they say otherwise."""

from __future__ import annotations

import csv
import re
import shlex
from datetime import UTC, datetime
from pathlib import Path

import pypdf
import pytest
from fenced import fenced

from meshcore.cli import main
from meshcore.demo import demo_data
from meshcore.register.connecting import REGISTER_VARIABLE
from meshcore.register.opening import open_register

LIST = (
    "mesh_count,wire_diameter,alloy,form,width,length,quantity\n"
    "10 / in,0.025 in,304,roll,48 in,100 ft,3\n"
)


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    (tmp_path / "list.csv").write_text(LIST)
    (tmp_path / "terms.toml").write_bytes((demo_data() / "terms.toml").read_bytes())
    return tmp_path


def test_a_day_at_the_desk(
    desk: Path, project_root: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    [day] = fenced(project_root / "docs" / "reference" / "quotations.md", "sh")
    year = str(datetime.now(UTC).year)
    commands = [shlex.split(line) for line in day.replace("2026-", f"{year}-").splitlines()[1:]]
    for words in commands:
        assert words[:3] == ["python", "-m", "meshcore"]
        assert main(words[3:]) == 0, capsys.readouterr().err
    said = capsys.readouterr().out
    assert "Line 1, quantity: quoted 3, ordered 2" in said
    assert f"2 labels, R{year}-000001 to R{year}-000002" in said
    assert f"quotation Q{year}-000001, line 1" in said
    for name in ("quotation", "order", "labels", "bill"):
        assert pypdf.PdfReader(desk / f"{name}.pdf").pages
    assert main(["register", "find", "10", "mesh", "304", "48", "in"]) == 0
    assert f"R{year}-000001" in capsys.readouterr().out
    assert main(["register", "show", f"Q{year}-000001", "-o", "again.txt"]) == 0
    assert "won by" in capsys.readouterr().out
    assert "Bakery by the Weir" in (desk / "again.txt").read_text("utf-8")
    assert main(["register", "export", "all.csv"]) == 0
    kinds = [row["kind"] for row in csv.DictReader((desk / "all.csv").open(encoding="utf-8"))]
    assert sorted(kinds) == [
        "bill", "label", "label", "list", "order", "quotation", "sender",
    ]  # fmt: skip


def test_a_backup_goes_into_another_register(
    desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["quote", "list.csv", "-o", "q.txt", "--to", "Bakery"]) == 0
    assert main(["register", "backup", "all.jsonl.gz"]) == 0
    monkeypatch.setenv(REGISTER_VARIABLE, str(desk / "other.sqlite"))
    assert main(["register", "restore", "all.jsonl.gz"]) == 0
    capsys.readouterr()
    assert main(["register", "find", "bakery"]) == 0
    assert "000001" in capsys.readouterr().out


def test_a_letter_is_quoted_for_who_wrote_it(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    letter = demo_data() / "inbox" / "04-observatory.eml"
    assert main(["quote", str(letter), "-o", "q.txt", "--number", "Q-1", "--unfiled"]) == 0
    told = (desk / "q.txt").read_text("utf-8")
    assert "Corrie Top Observatory" in told
    assert "Your reference: CTO/2026/51" in told
    assert not (desk / "register.sqlite").exists()
    assert "2 lines" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("quote list.csv -o q.doc", "a document is .pdf, .xlsx, .csv or .txt"),
        ("quote none.csv -o q.pdf", "none.csv"),
        ("quote list.csv -o q.pdf --terms none.toml", "cannot be opened"),
        ("quote list.csv -o none/q.txt --number 1", "cannot be written"),
        ("register show Q1", 'no thing "Q1" is on file'),
        ("register mark Q1 sent", 'no quotation "Q1"'),
        ("register restore none.gz", "no whole backup"),
        ("repeat unobtainium", "nothing on file agrees"),
        ("repeat %", "nothing on file agrees"),
        ("register labels A1 -o labels.txt", "labels are .pdf"),
        ("register bill A1 -o bill.doc", "a document is .pdf"),
        ("quote list.csv -o q.txt --confirm 9", "there is no line 9"),
        ("quote list.csv -o q.txt --revise Q1", 'no quotation "Q1"'),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(
    desk: Path, capsys: pytest.CaptureFixture[str], words: str, said: str
) -> None:
    open_register(desk / "register.sqlite")
    assert main(shlex.split(words)) == 2
    told = capsys.readouterr().err
    assert said in told
    assert re.fullmatch(r"meshcore: .+\n", told)


@pytest.mark.parametrize(
    "words",
    ["quote list.csv -o q.pdf --breaks 1.5", "quote list.csv -o q.pdf --date 31.12.2026",
     "quote list.csv -o q.pdf --language nl", "register", "register order Q1"],
)  # fmt: skip
def test_options_that_cannot_be_say_what_is_due(
    desk: Path, capsys: pytest.CaptureFixture[str], words: str
) -> None:
    assert desk.exists()
    with pytest.raises(SystemExit) as left:
        main(shlex.split(words))
    assert left.value.code == 2
    assert "--help" in capsys.readouterr().err


def test_what_changed_since_is_told_item_by_item_and_adds_up(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["quote", "list.csv", "-o", "quotation.txt", "--terms", "terms.toml"]) == 0
    number = f"Q{datetime.now(UTC).year}-000001"
    book = (demo_data() / "price_book.toml").read_text("utf-8")
    dearer = re.sub(r'(key = "weaving\.loom"[^\[]*?amount = )([\d.]+)', r"\g<1>999.0", book)
    assert dearer != book
    (desk / "book.toml").write_text(dearer, "utf-8")
    capsys.readouterr()
    assert main(["repeat", number, "--book", "book.toml"]) == 0
    said = capsys.readouterr().out
    then, today = (
        float(price.replace(",", ""))
        for price in re.findall(r"(?:then|today): +([\d,.]+) EUR", said)
    )
    assert then < today
    changes = [float(c.replace(",", "")) for c in re.findall(r"\(([+-][\d,.]+)\)", said)]
    *items, total = changes
    assert items
    assert round(sum(items), 2) == total == round(today - then, 2)


@pytest.mark.parametrize(
    "words",
    ["register find", "register find bakery", "register show Q1", "register export all.csv",
     "register backup all.gz", "repeat R1", "register mark Q1 sent"],
)  # fmt: skip
def test_a_register_that_is_not_there_is_said_and_not_made(
    desk: Path, capsys: pytest.CaptureFixture[str], words: str
) -> None:
    assert main(shlex.split(words)) == 2
    assert "no register is there yet" in capsys.readouterr().err
    assert not (desk / "register.sqlite").exists()


def test_what_is_open_is_told_to_whoever_quotes_until_it_is_confirmed(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "list.csv").write_text(
        "Mesh;Wire;alloy;form;weave;width;length;Qty;services;note\n"
        "2 / in;0.12 in;carbon steel;roll;pre-crimped;48 in;100 ft;2;3.2 certificate;\n",
        encoding="utf-8",
    )
    assert main(shlex.split("quote list.csv -o q.txt --terms terms.toml --demo")) == 0
    told = capsys.readouterr().err
    assert "3.2 certificate" in told
    assert "--confirm" in told
    assert "invented price book" in told
    text = " ".join((desk / "q.txt").read_text("utf-8").split())
    assert "Still to be confirmed: Weave “pre-crimped”" in text
    assert "Not in the price, to be agreed: “3.2 certificate”" in text
    number = f"Q{datetime.now(UTC).year}-000001"
    again = f"quote list.csv -o q.txt --terms terms.toml --demo --confirm all --revise {number}"
    assert main(shlex.split(again)) == 0
    out = capsys.readouterr()
    assert "--confirm" not in out.err
    assert "3.2 certificate" in out.err
    text = " ".join((desk / "q.txt").read_text("utf-8").split())
    assert "Still to be confirmed" not in text
    assert "Not in the price, to be agreed: “3.2 certificate”" in text
    # What was sent is fixed: what comes after it is the next revision.
    assert main(["register", "mark", number, "sent"]) == 0
    assert main(shlex.split(again)) == 0
    assert f"{number}, revision 2" in capsys.readouterr().out
    assert main(["register", "show", number, "--revision", "1"]) == 0
    shown = capsys.readouterr().out
    assert "revision 1" in shown
    assert "line 1: Carbon steel" in shown


def test_show_tells_lines_amounts_documents_and_deliveries(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    year = datetime.now(UTC).year
    for words in (
        "quote list.csv -o q.txt --terms terms.toml --demo --to Bakery",
        f"register mark Q{year}-000001 sent",
        f"register order Q{year}-000001 --buyer PO-7 --accept",
        f'register deliver A{year}-000001 "R{year}-000001: 98 ft heat H7"',
        f"register bill A{year}-000001 -o bill.txt",
    ):
        assert main(shlex.split(words)) == 0, capsys.readouterr().err
    capsys.readouterr()
    assert main(["register", "show", f"A{year}-000001"]) == 0
    order = capsys.readouterr().out
    for said in ("buyer's order: PO-7", "line 1: 304, 10 mesh per inch", "EUR",
                 f"comes from quotation Q{year}-000001, won", f"label R{year}-000001, delivered",
                 "delivered 98 ft (29.87 m), heat H7", f"bill B{year}-000001, billed"):  # fmt: skip
        assert said in order
    assert main(["register", "find", "H7"]) == 0
    assert f"R{year}-000001" in capsys.readouterr().out
    assert main(["register", "show", f"B{year}-000001", "-o", "again.txt"]) == 0
    assert f"R{year}-000001, line 1: 29.870 m, heat H7" in capsys.readouterr().out
    assert (desk / "again.txt").read_text("utf-8") == (desk / "bill.txt").read_text("utf-8")
    # An order is taken once, and a wild length is asked about.
    again = f"register order Q{year}-000001 --buyer PO-7 --accept"
    assert main(shlex.split(again)) == 2
    assert "--anyway" in capsys.readouterr().err
    assert main(shlex.split(f'register deliver A{year}-000001 "1000 ft"')) == 2
    assert "check the unit" in capsys.readouterr().err


def test_letters_and_lists_are_kept_as_they_came(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    letter = demo_data() / "inbox" / "04-observatory.eml"
    for words in (f"quote {letter} -o q.txt --demo", "quote list.csv -o q.txt --to Bakery --demo",
                  "quote list.csv -o q.txt --to Bakery --demo"):  # fmt: skip
        assert main(shlex.split(words)) == 0, capsys.readouterr().err
    capsys.readouterr()
    year = datetime.now(UTC).year
    assert main(["register", "show", f"L{year}-000001", "-o", "again.eml"]) == 0
    assert f"quotation Q{year}-000001, draft" in capsys.readouterr().out
    assert (desk / "again.eml").read_bytes() == letter.read_bytes()
    # What came twice is on file once, with both quotations.
    assert main(["register", "show", f"T{year}-000001", "-o", "again.csv"]) == 0
    shown = capsys.readouterr().out
    assert f"quotation Q{year}-000002" in shown
    assert f"quotation Q{year}-000003" in shown
    assert (desk / "again.csv").read_text("utf-8") == LIST
    assert main(["register", "show", f"T{year}-000001", "-o", "again.pdf"]) == 2
    assert "it came as list.csv" in capsys.readouterr().err
    assert main(["register", "show", f"T{year}-000002"]) == 2
    assert main(["register", "find", "senders", "bakery"]) == 0
    assert f"S{year}-00000" in capsys.readouterr().out


def test_nothing_is_filed_where_the_document_cannot_be_written(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["quote", "list.csv", "-o", "none/q.txt", "--to", "Ghost"]) == 2
    assert "Nothing was filed" in capsys.readouterr().err
    assert not (desk / "register.sqlite").exists()


def test_a_register_that_is_made_is_told(
    desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    new = desk / "mistyped" / "register.sqlite"
    monkeypatch.setenv(REGISTER_VARIABLE, str(new))
    (desk / "no.gz").write_bytes(b"no backup")
    assert main(["register", "restore", "no.gz"]) == 2
    assert not new.exists()
    capsys.readouterr()
    for said in (f"made a new register at {new}", ""):
        assert main(["quote", "list.csv", "-o", "q.txt"]) == 0
        told = capsys.readouterr().err
        assert ("made a new register" in told) == bool(said)
        assert said in told


def test_what_the_reader_of_letters_notes_is_not_told_as_the_buyers_words(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    letter = demo_data() / "inbox" / "08-wassermuehle.txt"
    words = [
        "quote",
        str(letter),
        "-o",
        "q.txt",
        "--language",
        "de",
        "--number",
        "Q-1",
        "--unfiled",
    ]
    assert main(words) == 2
    assert "--letter" in capsys.readouterr().err
    assert main([*words, "--letter"]) == 0
    told = (desk / "q.txt").read_text("utf-8")
    assert "as line" not in told
    assert "offenen Punkten" not in told
    assert 'read "as line 1"' in capsys.readouterr().err
