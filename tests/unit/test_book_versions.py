"""Versions of a price book: comments stay, nothing is lost, and each has its author and reason."""

from __future__ import annotations

import dataclasses
import os
import re
import subprocess
import sys
import tomllib
from datetime import UTC, date, datetime
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.comments import Comment

from meshcore.cli import main
from meshcore.costing.book.edits import as_edited
from meshcore.costing.book.files import from_toml, read_price_book, to_toml, write_price_book
from meshcore.costing.book.history.sameness import is_same_book
from meshcore.costing.book.history.saving import save_version, take_back
from meshcore.costing.book.history.toml_text import revised_toml
from meshcore.costing.book.history.versions import (
    book_versions,
    in_force,
    read_version,
    versions_folder,
)
from meshcore.costing.book.price_book import PriceBook, PriceBookError, Rate
from meshcore.demo import BOOK_VARIABLE, default_price_book, demo_data

TEXT = (demo_data() / "price_book.toml").read_text(encoding="utf-8")
BOOK = from_toml(TEXT, "demo")
METAL = next(n for n, r in enumerate(BOOK.rates) if r.key == "wire.metal" and r.alloy == "304")
NOW = datetime(2026, 11, 26, 9, 30, tzinfo=UTC)


def with_rate(book: PriceBook, place: int, **cells: object) -> PriceBook:
    rates = list(book.rates)
    rates[place] = dataclasses.replace(rates[place], **cells)  # type: ignore[arg-type]
    return dataclasses.replace(book, rates=tuple(rates))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "mill.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def changed_lines(before: str, after: str) -> tuple[list[str], list[str]]:
    """Lines of either text that the other has not, in their order."""
    one, other = before.splitlines(), after.splitlines()
    return [r for r in one if r not in other], [r for r in other if r not in one]


def test_one_amount_changes_one_line_and_every_comment_stays() -> None:
    made = revised_toml(TEXT, with_rate(BOOK, METAL, amount=4.1))
    assert changed_lines(TEXT, made) == (
        ['  { alloy = "304", amount = 3.45 },'], ['  { alloy = "304", amount = 4.1 },']
    )  # fmt: skip
    assert len(made.splitlines()) == len(TEXT.splitlines())


def test_what_changes_alike_in_a_group_is_changed_once() -> None:
    new = date(2027, 1, 1)
    rates = tuple(
        dataclasses.replace(r, date=new) if r.key == "wire.metal" else r for r in BOOK.rates
    )
    made = revised_toml(TEXT, dataclasses.replace(BOOK, rates=rates))
    groups = [g for g in tomllib.loads(made)["rates"] if g["key"] == "wire.metal"]
    assert all(g["date"] == new for g in groups)
    assert not any("date" in row for g in groups for row in g.get("amounts", []))


def test_a_shared_cell_that_one_row_does_without_is_blank_in_that_row() -> None:
    assert BOOK.rates[METAL].uncertainty_pct == 10.0
    book = with_rate(BOOK, METAL, uncertainty_pct=None)
    made = from_toml(revised_toml(TEXT, book), "made")
    assert made == book
    assert made.rates[METAL - 1].uncertainty_pct == 10.0


def test_rows_that_go_and_come_leave_the_others_as_they_are() -> None:
    extra = dataclasses.replace(BOOK.rates[METAL], alloy="N08367", note="invented: asked for")
    rates = (*BOOK.rates[:METAL], *BOOK.rates[METAL + 1 :], extra)
    made = revised_toml(TEXT, dataclasses.replace(BOOK, rates=rates))
    gone, came = changed_lines(TEXT, made)
    assert gone == ['  { alloy = "304", amount = 3.45 },']
    assert 'alloy = "N08367"' in came
    assert from_toml(made, "made").rates == rates


def test_a_row_under_another_key_keeps_its_place_and_its_comment() -> None:
    text = to_toml(BOOK).replace('key = "wire.metal"', 'key = "wire.metal" # of the mill', 1)
    book = with_rate(BOOK, 0, key="wire.other")
    assert 'key = "wire.other" # of the mill' in revised_toml(text, book)


def test_lines_that_end_as_on_another_system_stay_so() -> None:
    made = revised_toml(TEXT.replace("\n", "\r\n"), with_rate(BOOK, METAL, amount=4.1))
    assert made.count("\r\n") == TEXT.count("\n")


@pytest.mark.parametrize("place", range(len(BOOK.rates)))
def test_a_rate_that_goes_takes_no_remark_of_the_next_with_it(place: int) -> None:
    rates = [*BOOK.rates[:place], *BOOK.rates[place + 1 :]]
    made = revised_toml(TEXT, dataclasses.replace(BOOK, rates=tuple(rates)))
    comments = [row for row in TEXT.splitlines() if row.startswith("#")]
    assert [row for row in made.splitlines() if row.startswith("#")] == comments


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_whatever_is_changed_the_text_reads_as_it(data: st.DataObject) -> None:
    rates: list[Rate] = list(BOOK.rates)
    for number in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.integers(0, len(rates) - 1))
        match data.draw(st.sampled_from(["amount", "date", "note", "gone", "new"])):
            case "amount":
                # A share has a limit, so it only falls.
                share = data.draw(st.floats(0.5, 1.0))
                rates[place] = dataclasses.replace(rates[place], amount=rates[place].amount * share)
            case "date":
                rates[place] = dataclasses.replace(
                    rates[place], date=data.draw(st.dates(date(2020, 1, 1), date(2030, 1, 1)))
                )
            case "note":
                text = data.draw(st.text(st.characters(codec="utf-8", exclude_categories=["C"]),
                                         min_size=1, max_size=8)).strip() or "n"  # fmt: skip
                rates[place] = dataclasses.replace(rates[place], note=text)
            case "gone":
                del rates[place]
            case _:
                rates.append(Rate(key=f"own.rate{number}", amount=1.0, unit="kg",
                                  currency="EUR", date=date(2026, 1, 1), note="n"))  # fmt: skip
    book = dataclasses.replace(BOOK, rates=tuple(rates))
    made = revised_toml(TEXT, book)
    assert is_same_book(from_toml(made, "made"), book)
    comments = [row for row in TEXT.splitlines() if row.startswith("#")]
    assert [row for row in made.splitlines() if row.startswith("#")] == comments


def test_saving_keeps_what_was_there_and_says_who_when_and_why(file: Path) -> None:
    saved = save_version(
        file, with_rate(BOOK, METAL, amount=4.1), BOOK, author="A. Buyer", note="rod is dearer",
        now=NOW,
    )  # fmt: skip
    assert saved.keeps_layout
    first, second = book_versions(file)
    assert (first.number, first.author, first.note) == (1, "", "as it was found")
    assert first.path.read_text(encoding="utf-8") == TEXT
    assert (second.number, second.author, second.note, second.at) == (
        2, "A. Buyer", "rod is dearer", NOW
    )  # fmt: skip
    assert saved.version == second == in_force(file, book_versions(file))
    held = read_price_book(file)
    assert held == saved.book
    assert held.rates[METAL].amount == 4.1
    assert held.date == NOW.date()
    assert held.name == BOOK.name
    assert "# --- Wire" in file.read_text(encoding="utf-8")
    assert not list(file.parent.rglob("*.part"))


def test_an_edited_book_loses_its_mark_when_it_is_saved(file: Path) -> None:
    edited = as_edited(with_rate(BOOK, METAL, amount=4.1), BOOK, NOW.date())
    assert save_version(file, edited, BOOK, author="A", note="n", now=NOW).book.name == BOOK.name


def test_a_date_given_by_hand_stands(file: Path) -> None:
    dated = dataclasses.replace(with_rate(BOOK, METAL, amount=4.1), date=date(2027, 1, 1))
    saved = save_version(file, dated, BOOK, author="A", note="n", now=NOW)
    assert saved.book.date == date(2027, 1, 1)


def test_taking_back_is_a_version_too_and_brings_the_file_back_to_the_letter(file: Path) -> None:
    save_version(file, with_rate(BOOK, METAL, amount=4.1), BOOK, author="A", note="n", now=NOW)
    saved = take_back(file, 1, author="B", note="a slip", now=NOW)
    assert file.read_text(encoding="utf-8") == TEXT
    assert (saved.version.number, saved.version.author) == (3, "B")
    assert saved.version.note == "back to version 1: a slip"
    assert read_version(file, 2).rates[METAL].amount == 4.1
    with pytest.raises(PriceBookError, match="holds version 1 already"):
        take_back(file, 1, author="B")
    with pytest.raises(PriceBookError, match=r"no version 9\. There are 1 to 3"):
        take_back(file, 9, author="B")


def test_what_was_changed_by_hand_meanwhile_is_kept_as_a_version(file: Path) -> None:
    save_version(file, with_rate(BOOK, METAL, amount=4.1), BOOK, author="A", note="n", now=NOW)
    by_hand = file.read_text(encoding="utf-8").replace("amount = 4.1 ", "amount = 4.3 ")
    file.write_text(by_hand, encoding="utf-8")
    base = read_price_book(file)
    save_version(file, with_rate(base, METAL, amount=4.4), base, author="A", note="n", now=NOW)
    numbers = [read_version(file, n).rates[METAL].amount for n in (1, 2, 3, 4)]
    assert numbers == [3.45, 4.1, 4.3, 4.4]


@pytest.mark.parametrize(
    ("author", "note", "said"),
    [(" ", "n", "needs its author"), ("A", "", "needs its note")],
)
def test_a_version_without_author_or_note_is_refused(
    file: Path, author: str, note: str, said: str
) -> None:
    with pytest.raises(PriceBookError, match=said):
        save_version(file, with_rate(BOOK, METAL, amount=4.1), BOOK, author=author, note=note)
    assert file.read_text(encoding="utf-8") == TEXT


@pytest.mark.parametrize("suffix", [".toml", ".xlsx"])
def test_a_book_that_would_not_read_is_refused_before_anything_is_written(
    suffix: str, tmp_path: Path
) -> None:
    file = tmp_path / f"mill{suffix}"
    write_price_book(BOOK, file)
    held, base = file.read_bytes(), read_price_book(file)
    for wrong in ({"unit": "barrel"}, {"currency": "XXQ"}, {"amount": -1.0}):
        with pytest.raises(PriceBookError, match=re.escape(str(file))):
            save_version(file, with_rate(base, METAL, **wrong), base, author="A", note="x")
        assert file.read_bytes() == held
        assert book_versions(file) == ()


def test_nothing_changed_is_no_version(file: Path) -> None:
    with pytest.raises(PriceBookError, match="nothing is changed"):
        save_version(file, BOOK, BOOK, author="A", note="n")
    assert not book_versions(file)


def test_who_began_from_another_state_is_told(file: Path) -> None:
    first = with_rate(BOOK, METAL, amount=4.1)
    save_version(file, first, BOOK, author="A", note="n", now=NOW)
    with pytest.raises(PriceBookError, match="changed by somebody else"):
        save_version(file, with_rate(BOOK, METAL, amount=5.0), BOOK, author="B", note="n")
    assert read_price_book(file).rates[METAL].amount == 4.1


def test_of_many_who_save_at_once_one_is_first_and_the_others_are_told(file: Path) -> None:
    script = (
        "import dataclasses, sys\n"
        "from meshcore.costing.book.files import read_price_book\n"
        "from meshcore.costing.book.history.saving import save_version\n"
        "from meshcore.costing.book.price_book import PriceBookError\n"
        "file, base, amount = sys.argv[1], read_price_book(sys.argv[2]), float(sys.argv[3])\n"
        "rates = list(base.rates)\n"
        f"rates[{METAL}] = dataclasses.replace(rates[{METAL}], amount=amount)\n"
        "sys.stdin.readline()\n"
        "book = dataclasses.replace(base, rates=tuple(rates))\n"
        "try:\n"
        "    save_version(file, book, base, author=sys.argv[3], note='n')\n"
        "    print('saved')\n"
        "except PriceBookError as error:\n"
        "    print(error)\n"
    )
    base = file.with_name("base.toml")
    base.write_text(TEXT, encoding="utf-8")
    savers = [
        subprocess.Popen([sys.executable, "-c", script, str(file), str(base), str(amount)],
                         stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for amount in (4.1, 4.2, 4.3)
    ]  # fmt: skip
    for one in savers:
        assert one.stdin is not None
        one.stdin.write("\n")
        one.stdin.flush()
    said = [one.communicate(timeout=120)[0].strip() for one in savers]
    assert said.count("saved") == 1
    assert sum("changed by somebody else" in one for one in said) == 2
    assert len(book_versions(file)) == 2


def test_a_saving_that_breaks_off_leaves_the_book_and_the_next_one_works(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.replace

    def broken(source: Path, target: Path) -> None:
        if Path(target) == file:
            raise OSError(28, "No space left on device")
        real(source, target)

    changed = with_rate(BOOK, METAL, amount=4.1)
    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", broken)
        with pytest.raises(PriceBookError, match="No space left on device"):
            save_version(file, changed, BOOK, author="A", note="n", now=NOW)
    assert file.read_text(encoding="utf-8") == TEXT
    assert in_force(file, book_versions(file)) == book_versions(file)[0]
    assert save_version(file, changed, BOOK, author="A", note="again", now=NOW).version.number == 3


def test_a_version_of_which_nothing_is_said_is_none_and_its_number_is_not_given_again(
    file: Path,
) -> None:
    folder = versions_folder(file)
    folder.mkdir()
    (folder / "0007.toml").write_text("half a bo", encoding="utf-8")
    save_version(file, with_rate(BOOK, METAL, amount=4.1), BOOK, author="A", note="n", now=NOW)
    assert [one.number for one in book_versions(file)] == [8, 9]


def test_a_version_that_was_changed_since_is_not_taken_back(file: Path) -> None:
    save_version(file, with_rate(BOOK, METAL, amount=4.1), BOOK, author="A", note="n", now=NOW)
    first = book_versions(file)[0]
    first.path.write_text(TEXT.replace("3.45", "9.45"), encoding="utf-8")
    with pytest.raises(PriceBookError, match="changed since it was saved as a version"):
        take_back(file, 1, author="B")


def test_a_workbook_keeps_its_remarks_its_looks_and_its_other_sheets(tmp_path: Path) -> None:
    file = tmp_path / "mill.xlsx"
    write_price_book(BOOK, file)
    workbook = openpyxl.load_workbook(file)
    sheet = workbook["Rates"]
    place = int(read_price_book(file).rates[METAL].where.removeprefix("Rates!H"))
    sheet.cell(place, 8).comment = Comment("ask the works", "buyer")
    sheet.cell(place, 8).number_format = "0.000"
    workbook.create_sheet("Own")["A1"] = "=1+1"
    workbook.save(file)
    base = read_price_book(file)
    extra = dataclasses.replace(base.rates[METAL], alloy="N08367", valid_to=date(2027, 1, 1))
    book = dataclasses.replace(
        with_rate(base, METAL, amount=4.1),
        exchange=base.exchange[:-1],
        rules_disabled=(),
    )
    book = dataclasses.replace(book, rates=(*book.rates[1:], extra))
    saved = save_version(file, book, base, author="A", note="n", now=NOW)
    assert saved.keeps_layout
    assert is_same_book(saved.book, dataclasses.replace(book, date=NOW.date()))
    made = openpyxl.load_workbook(file)
    cell = made["Rates"].cell(place - 1, 8)
    assert (cell.value, cell.number_format) == (4.1, "0.000")
    assert cell.comment is not None
    assert cell.comment.text == "ask the works"
    assert made["Own"]["A1"].value == "=1+1"


def test_a_percent_cell_of_a_workbook_stays_one(tmp_path: Path) -> None:
    file = tmp_path / "mill.xlsx"
    write_price_book(BOOK, file)
    share = next(n for n, r in enumerate(BOOK.rates) if r.unit == "%" and r.amount > 1)
    workbook = openpyxl.load_workbook(file)
    cell = workbook["Rates"].cell(share + 2, 8)
    cell.value, cell.number_format = BOOK.rates[share].amount / 100.0, "0.0 %"
    workbook.save(file)
    base = read_price_book(file)
    assert base.rates[share].amount == BOOK.rates[share].amount
    changed = base.rates[share].amount / 2
    saved = save_version(file, with_rate(base, share, amount=changed), base, author="A", note="n")
    assert saved.keeps_layout
    assert saved.book.rates[share].amount == pytest.approx(changed)


def test_the_book_in_use_is_the_new_version_at_once(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(BOOK_VARIABLE, str(file))
    before = default_price_book()
    assert default_price_book() is before
    save_version(file, with_rate(BOOK, METAL, amount=4.1), BOOK, author="A", note="n", now=NOW)
    assert default_price_book().rates[METAL].amount == 4.1


def test_the_command_lists_saves_compares_and_takes_back(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed = tmp_path / "changed.toml"
    write_price_book(with_rate(BOOK, METAL, amount=4.1), changed)
    assert main(["versions", str(file)]) == 0
    assert "No version is kept yet" in capsys.readouterr().out
    by = ["--by", "A. Buyer", "--note", "rod is dearer"]
    assert main(["versions", str(file), "--save", str(changed), *by]) == 0
    out = capsys.readouterr().out
    assert "wire.metal for 304, amount: 3.45 → 4.1" in out
    assert "Saved as version 2 by A. Buyer: rod is dearer" in out
    assert main(["versions", str(file), "--between", "2", "1"]) == 0
    assert "wire.metal for 304, amount: 4.1 → 3.45" in capsys.readouterr().out
    assert main(["versions", str(file), "--take-back", "1", "--by", "B"]) == 0
    assert "Saved as version 3 by B: back to version 1" in capsys.readouterr().out
    assert main(["versions", str(file)]) == 0
    listed = capsys.readouterr().out.splitlines()
    assert [row.split()[:2] for row in listed[1:]] == [["*", "3"], ["2", listed[2].split()[1]],
                                                       ["1", listed[3].split()[1]]]  # fmt: skip
    assert main(["versions", str(file), "--save", str(changed)]) == 2
    assert "needs its note" in capsys.readouterr().err
