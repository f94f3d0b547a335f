from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import READER_GONE, main
from meshcore.demo import demo_data
from meshcore.register.records import RECORDS_VARIABLE

DEMO = demo_data() / "enquiries.csv"


def test_price_writes_every_line_and_counts_the_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["price", str(DEMO), "-o", str(tmp_path / "out.csv")]) == 0
    out = capsys.readouterr()
    table = pd.read_csv(tmp_path / "out.csv")
    source = mc.read_list(DEMO)
    assert len(table) == len(source)
    refused = int((table["status"] == "refused").sum())
    assert f"{refused} of {len(source)} lines refused" in out.err
    assert '"Mesh" as mesh_count' in out.out
    assert "Customer ref, Wanted by" in out.out


@pytest.mark.parametrize("suffix", [".csv", ".xlsx", ".parquet"])
def test_each_format_holds_the_same_prices(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"out{suffix}"
    assert main(["price", str(DEMO), "-o", str(path)]) == 0
    expected = mc.estimate_table(mc.read_list(DEMO))["price"].dropna().tolist()
    if suffix == ".xlsx":
        reckoning = openpyxl.load_workbook(path)["Reckoning"]
        assert reckoning.max_row > len(expected)
    else:
        read = pd.read_csv(path) if suffix == ".csv" else pd.read_parquet(path)
        assert read["price"].dropna().tolist() == expected


def test_estimate_prints_price_and_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["estimate", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304",
             "--roll", "48 in x 100 ft", "--quantity", "3"]  # fmt: skip
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "2.0410 kg/m²" in out
    assert "local codes and licensed practice" in out


def test_estimate_refused_is_still_an_answer(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", "--mesh-count", "10/in", "--wire", "16 ga"]) == 0
    out = capsys.readouterr().out
    assert "refused: wire_diameter" in out
    assert "nan" not in out


@pytest.mark.parametrize(
    "words",
    [
        ["price", "none.csv", "-o", "out.csv"],
        ["price", str(DEMO), "-o", "out.pdf"],
        ["price", str(DEMO), "-o", "no/such/folder/out.csv"],
        ["price", str(DEMO), "-o", "out.csv", "--book", "none.toml"],
        ["price", str(DEMO), "-o", "out.csv", "--policy", "none.toml"],
        ["template", "out.csv"],
    ],
)
def test_what_cannot_be_done_is_one_line_and_exit_2(
    words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    assert main(words) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_unknown_words_exit_2_in_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["prise"])
    assert stop.value.code == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_module_runs_as_a_program() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "meshcore", "plugins"], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0
    assert "alloys-stainless" in ran.stdout
    assert ran.stderr == ""


@pytest.mark.parametrize("word", ["plugins", "--help", "saved"])
def test_a_reader_that_has_seen_enough_is_no_error(word: str, tmp_path: Path) -> None:
    # The pipe is closed before the program writes: what ``| head`` does, without its timing.
    # What is short is written only as the program ends, unless it writes without a buffer.
    buffered = {k: v for k, v in os.environ.items() if k != "PYTHONUNBUFFERED"}
    buffered[RECORDS_VARIABLE] = str(tmp_path / "records.sqlite")
    out, into = os.pipe()
    os.close(out)
    ran = subprocess.run(
        [sys.executable, "-m", "meshcore", word],
        stdout=into, stderr=subprocess.PIPE, text=True, check=False, env=buffered,
    )  # fmt: skip
    os.close(into)
    assert ran.stderr == ""
    assert ran.returncode == READER_GONE


def test_through_head_only_the_head_is_seen() -> None:
    estimate = '-m meshcore estimate --mesh-count 10/in --wire "0.025 in" --alloy 304 --explain'
    command = f'"{sys.executable}" {estimate} --roll "48 in x 100 ft" | head -n 1'
    ran = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=True)
    assert ran.stdout == "Status                ok\n"
    assert ran.stderr == ""


@pytest.mark.parametrize("name", ["meshcore", "meshcore.cli"])
def test_a_start_loads_nothing_heavy(name: str) -> None:
    code = (
        f"import sys, {name}; "
        "heavy = ('pandas', 'pint', 'scipy', 'highspy', 'streamlit', 'openpyxl', 'shapely'); "
        "print([m for m in heavy if m in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


def test_alternatives_offer_commands_that_price(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["alternatives", "--mesh-count", "10/in", "--wire", "0.08 in", "--alloy", "304",
             "--roll", "48 in x 100 ft", "--hold", "wire_diameter", "--count", "3"]  # fmt: skip
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "geometric jam" in out
    offered = [line.strip() for line in out.splitlines() if line.strip().startswith("python -m")]
    assert len(offered) == 3
    for command in offered:
        assert main(shlex.split(command)[3:]) == 0
        printed = capsys.readouterr().out
        assert "Wire diameter         2.032 mm" in printed
        assert "refused" not in printed


def test_holding_what_is_no_property_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert (
        main(["alternatives", "--mesh-count", "10/in", "--wire", "1 mm", "--hold", "colour"]) == 2
    )
    assert "--hold" in capsys.readouterr().err


def test_questions_are_ready_to_send(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["questions", str(DEMO)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("To price your enquiry we need to know:")
    assert '"16 ga"' in out


def test_drawing_is_written_or_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    picture = tmp_path / "cloth.svg"
    sizes = ["estimate", "--mesh-count", "10/in", "--drawing", str(picture), "--wire"]
    assert main([*sizes, "0.025 in"]) == 0
    assert "aperture 1.905 mm" in picture.read_text("utf-8")
    assert main([*sizes, "0.08 in"]) == 2
    assert "nothing to draw" in capsys.readouterr().err


def test_alloys_compared_for_a_service(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["alloys", "--mesh-count", "10/in", "--wire", "0.035 in", "--roll", "48 in x 100 ft",
             "--environment", "coastal", "--years-wanted", "15", "--weld", "yes",
             "--alloys", "304, 316L, S32101"]  # fmt: skip
    assert main(words) == 0
    out = capsys.readouterr().out
    cheapest = next(line for line in out.splitlines() if line.startswith("*"))
    assert "S32101" in cheapest
    assert "not a design code for mesh" in out
    assert main([*words, "-o", str(tmp_path / "alloys.xlsx")]) == 0
    cells = [c for row in openpyxl.load_workbook(tmp_path / "alloys.xlsx")["Alloys"].values
             for c in row]  # fmt: skip
    assert "S32101" in cells
    assert any("not a design code for mesh" in str(c) for c in cells)


def test_a_service_that_cannot_be_read_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["alloys", "--mesh-count", "10/in", "--wire", "1 mm", "--environment", "moon"]) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_purpose_and_explanation_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["estimate", "--mesh-count", "4/in", "--wire", "0.08 in", "--alloy", "carbon steel",
             "--roll", "48 in x 100 ft", "--purpose", "vibrating screen", "--explain"]  # fmt: skip
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "For vibrating screen: double crimp" in out
    assert "kN per metre of width. Indicative only" in out
    assert "warp set-up (set-up hours)" in out
    assert main([*words[:-3], "--purpose", "fencing"]) == 0
    assert "Write one of: general" in capsys.readouterr().out


def test_bill_by_delivered_length(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["bill", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304",
             "--roll", "48 in x 100 ft", "--quantity", "2", "--delivered"]  # fmt: skip
    assert main([*words, "98 ft, 112 ft"]) == 0
    out = capsys.readouterr().out
    assert out.count("outside tolerance") >= 1
    assert "+12.0%" in out
    assert main([*words, "long, 98 ft"]) == 2
    assert 'delivered: read "long"' in capsys.readouterr().err


def test_saved_estimates_price_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("MESHCORE_RECORDS", str(tmp_path / "records.sqlite"))
    assert main(["saved"]) == 0
    assert "Nothing is saved yet" in capsys.readouterr().out
    assert main(["price", str(DEMO), "-o", str(tmp_path / "a.csv"), "--save", "inbox"]) == 0
    assert "Saved as number 1" in capsys.readouterr().out
    assert main(["saved", "1", "--again", "-o", str(tmp_path / "b.csv")]) == 0
    out = capsys.readouterr().out
    amounts = {line.split(":")[1].strip() for line in out.splitlines() if "EUR" in line}
    assert len(amounts) == 1
    assert "+0.0%" in out
    first, again = (pd.read_csv(tmp_path / f"{n}.csv")["price"] for n in "ab")
    assert first.equals(again)
    assert main(["saved", "9"]) == 2


def test_range_of_an_estimate(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["estimate", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304", "--range"]
    assert main([*words, "--roll", "48 in x 100 ft"]) == 0
    out = capsys.readouterr().out
    assert "10,000 draws" in out
    assert "wire.metal" in out
    assert main(words) == 0
    assert "no price, so it has no range" in capsys.readouterr().out


def test_book_is_reported(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["book"]) == 0
    assert "prices in EUR" in capsys.readouterr().out


@pytest.mark.parametrize("option", [["--plan", "-1"], ["--plan", "inf"], ["--plan", "nan"],
                                    ["--plan", "soon"], ["--seed", "-1"], ["--seed", "1.5"],
                                    ["--seed", "9" * 5000]])  # fmt: skip
def test_effort_that_cannot_be_is_one_line(
    option: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["estimate", "--mesh-count", "10/in", *option])
    said = capsys.readouterr().err
    assert stopped.value.code == 2
    assert said.count("\n") == 1
    assert option[0] in said


def test_the_enquiry_list_is_not_overwritten(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked, alias = tmp_path / "list.csv", tmp_path / "alias.csv"
    asked.write_bytes(DEMO.read_bytes())
    alias.symlink_to(asked)
    for output in (asked, alias, tmp_path / "." / "list.csv"):
        assert main(["price", str(asked), "-o", str(output)]) == 2
        assert "would overwrite what it reads" in capsys.readouterr().err
    assert asked.read_bytes() == DEMO.read_bytes()


def test_hold_takes_the_names_that_headings_do(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["alternatives", "--mesh-count", "60/in", "--wire", "0.3 mm", "--alloy", "304",
             "--roll", "48 in x 100 ft", "--count", "3", "--hold"]  # fmt: skip
    assert main([*words, "Wire"]) == 0
    short = capsys.readouterr().out
    assert main([*words, "wire_diameter"]) == 0
    assert short == capsys.readouterr().out


@pytest.mark.parametrize("delivered", ["30,4 m, 30,5 m", "30,4 m;30,5 m", "30.4 m,30.5 m"])
def test_delivered_lengths_with_a_decimal_comma(
    delivered: str, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["bill", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304",
             "--roll", "48 in x 100 ft", "--quantity", "2", "--delivered", delivered]  # fmt: skip
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "30.400" in out
    assert "30.500" in out


@pytest.mark.parametrize("suffix", [".csv", ".xlsx", ".parquet"])
def test_a_list_without_lines_says_so(
    tmp_path: Path, suffix: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "list.csv").write_text("mesh_count,alloy\n", encoding="utf-8")
    assert main(["price", str(tmp_path / "list.csv"), "-o", str(tmp_path / f"o{suffix}")]) == 0
    assert "The list has no lines" in capsys.readouterr().out
    assert main(["questions", str(tmp_path / "list.csv")]) == 0
    assert "The list has no lines" in capsys.readouterr().out


@pytest.mark.parametrize("number", ["9" * 30, "-5", "first"])
def test_a_number_that_no_file_has_is_one_line(
    number: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["saved", number])
    assert stopped.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_bytes_that_are_no_text_are_refused_not_raised(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["estimate", "--mesh-count", "10\udcff/in", "--wire", "1 mm"]) == 0
    assert "10?/in" in capsys.readouterr().out
