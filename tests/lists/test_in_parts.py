"""Long lists priced in parts come to what they come to as a whole, line by line."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.lists.in_parts import parts
from meshcore.lists.pricing_in_parts import Terms, price_in_parts
from meshcore.lists.writing import write_list

HEADS = ["order", "mesh count", "wire", "alloy", "form", "width", "length", "quantity", "note"]


def asked(orders: int = 9) -> pd.DataFrame:
    """Orders of one to four lines: rolls that share a warp, strips, one line refused an order."""
    rows, forms = [], (("roll", "48 in", "100 ft"), ("strip", "50 mm", "10 m"))
    for order in range(1, orders + 1):
        for line in range(1 + order % 4):
            form, width, length = forms[line % 2]
            wire = "16 ga" if line == 3 else "0.025 in"
            note = "=1+1" if line else 'naïve, "quoted"\nnote'
            count = str(order + line)
            rows.append([f"W-{order}", "10 / in", wire, "304", form, width, length, count, note])
    return pd.DataFrame(rows, columns=HEADS)


@pytest.fixture
def long_list(tmp_path: Path) -> Path:
    path = tmp_path / "long.csv"
    path.write_text("Enquiry of the weir\n\n" + asked().to_csv(index=False), encoding="utf-8")
    return path


@pytest.mark.parametrize("rows", [1, 5, 1000])
@pytest.mark.parametrize("suffix", [".csv", ".parquet"])
def test_parts_come_to_what_the_whole_comes_to(long_list: Path, rows: int, suffix: str) -> None:
    whole, parted = (long_list.with_name(f"{name}{suffix}") for name in ("whole", "parted"))
    estimates = mc.estimate_list(mc.read_list(long_list))
    write_list(estimates, whole)
    done = price_in_parts(long_list, parted, rows=rows)
    read = pd.read_csv if suffix == ".csv" else pd.read_parquet
    pd.testing.assert_frame_equal(read(parted), read(whole))
    assert (done.lines, done.orders) == (len(estimates), 9)
    assert done.refused == int(estimates.log.refused().sum()) > 0
    assert done.price == pytest.approx(estimates.table["price"].sum(), abs=1e-6)


def test_two_processes_write_what_one_writes(long_list: Path) -> None:
    one, two = long_list.with_name("one.csv"), long_list.with_name("two.csv")
    price_in_parts(long_list, one, rows=4)
    done = price_in_parts(long_list, two, rows=4, workers=2)
    assert one.read_bytes() == two.read_bytes()
    assert done.refused == len(done.named) > 1


def test_a_parquet_list_is_cut_between_its_orders(tmp_path: Path) -> None:
    source, whole, parted = (tmp_path / f"{n}.parquet" for n in ("asked", "whole", "parted"))
    asked().to_parquet(source, index=False)
    write_list(mc.estimate_list(mc.read_list(source)), whole)
    price_in_parts(source, parted, rows=3)
    pd.testing.assert_frame_equal(pd.read_parquet(parted), pd.read_parquet(whole))
    orders = [set(part.read()["order"]) for part in parts(source, 3)]
    assert len(orders) > 2
    assert sum(map(len, orders)) == len(set().union(*orders))


def test_lines_keep_the_rows_of_the_file(long_list: Path) -> None:
    whole = mc.read_list(long_list)
    read = pd.concat([part.read() for part in parts(long_list, 1)])
    assert read.index.tolist() == whole.index.tolist()
    assert read["note"].tolist() == whole["note"].tolist()


def test_an_inch_mark_that_opens_a_cell_swallows_no_lines(tmp_path: Path) -> None:
    path = tmp_path / "marks.csv"
    rows = [f'{n},10 / in,0.025 in,304,roll,48 in,100 ft,2,"{n} in' for n in range(1, 41)]
    path.write_text("\n".join([",".join(HEADS), *rows]) + "\n", encoding="utf-8")
    assert sum(len(part.read()) for part in parts(path, 7)) == 40
    assert len(list(parts(path, 7))) == 6


@pytest.mark.parametrize("encoding", ["cp1252", "utf-8-sig", "utf-16"])
def test_any_encoding_is_read(tmp_path: Path, encoding: str) -> None:
    table = asked(40)
    # The first letter that is not ASCII comes late.
    table.loc[:98, "note"] = "plain"
    path = tmp_path / "late.csv"
    path.write_bytes(table.assign(note=table["note"] + " ½").to_csv(index=False).encode(encoding))
    notes = [n for part in parts(path, 9) for n in part.read()["note"]]
    assert len(notes) == len(table)
    assert all(note.endswith(" ½") for note in notes)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("mesh count,wire,alloy\n10 / in,0.025 in,304\n", 'column "order"'),
        (",".join(HEADS) + "\nA,10,0.025 in,304,roll,48 in,100 ft,1,\n"
         "B,10,0.025 in,304,roll,48 in,100 ft,1,\nA,10,0.025 in,304,roll,48 in,100 ft,1,\n",
         "row 4 is of order A"),
        (",".join(HEADS) + "\n", "no line"),
        ("order   mesh count   wire   alloy\nA   10 / in   0.025 in   304\n", "spaces"),
    ],
)  # fmt: skip
def test_what_cannot_be_parted_is_refused_and_the_old_file_stays(
    tmp_path: Path, text: str, says: str
) -> None:
    source, output = tmp_path / "asked.csv", tmp_path / "priced.csv"
    source.write_text(text, encoding="utf-8")
    output.write_text("old", encoding="utf-8")
    with pytest.raises(mc.ListError, match=says):
        price_in_parts(source, output, rows=1)
    assert output.read_text(encoding="utf-8") == "old"


def test_the_command_prices_in_parts(long_list: Path, capsys: pytest.CaptureFixture[str]) -> None:
    output = long_list.with_name("priced.csv")
    main(["price", str(long_list), "-o", str(output), "--demo", "--workers", "1"])
    said = capsys.readouterr()
    assert "as 9 orders" in said.out
    assert "lines refused" in said.err
    whole = long_list.with_name("whole.csv")
    main(["price", str(long_list), "-o", str(whole), "--demo"])
    assert output.read_bytes() == whole.read_bytes()


@pytest.mark.parametrize(
    ("options", "says"),
    [(["--save", "weir"], "--save is of a list that is priced as a whole"),
     (["--cut-sheet", "cuts.pdf"], "--cut-sheet")],
)  # fmt: skip
def test_what_is_of_the_whole_is_refused_in_parts(
    long_list: Path, options: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    output = long_list.with_name("priced.csv")
    assert main(["price", str(long_list), "-o", str(output), "--workers", "2", *options])
    assert says in capsys.readouterr().err


def test_terms_go_to_every_part(long_list: Path) -> None:
    output = long_list.with_name("priced.csv")
    price_in_parts(long_list, output, Terms(costs=False, per="kg"), rows=2)
    columns = pd.read_csv(output).columns
    assert "price_per_kg" in columns
    assert not [c for c in columns if c.startswith("cost")]


@pytest.mark.parametrize("suffix", [".csv", ".parquet"])
@pytest.mark.parametrize("rows", [1, 3, 1000])
def test_what_is_no_line_is_told_once_in_its_row(long_list: Path, rows: int, suffix: str) -> None:
    """The title is read with every part; the total is one that has no line."""
    text = long_list.read_text(encoding="utf-8")
    long_list.write_text(f"{text}Total,,,,,,,60,\n", encoding="utf-8")
    whole = mc.read_list(long_list)
    assert len(whole.report.set_aside) == 2
    done = price_in_parts(long_list, long_list.with_name(f"priced{suffix}"), rows=rows)
    assert list(done.set_aside) == list(whole.report.set_aside)
    assert (done.lines, done.orders) == (len(whole), 9)
