"""A file of what wire the mill has: what is wrong in it is said, with the entry and the remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from meshcore.alloys.availability import AvailabilityError, availability_of, read_availability
from meshcore.cli import main

HEAD = '[availability]\nname = "a mill"\ndate = 2026-10-01\n'
WIRE = '[[wire]]\nalloys = ["316L"]\nstate = "to order"\nfinest_wire_mm = 0.03\n'
#: What a file holds → what is said of it.
WRONG: dict[str, tuple[str, str]] = {
    "empty": ("", "needs a name and a date"),
    "broken": ("[availability", "not a TOML file"),
    "date in words": (HEAD.replace("2026-10-01", '"October"') + WIRE, "as 2026-10-01"),
    "date to come": (HEAD.replace("2026", "2099") + WIRE, "still to come"),
    "no wires": (HEAD, "no wire is listed"),
    "no alloys": (HEAD + WIRE.replace('["316L"]', "[]"), "must be a list"),
    "state": (HEAD + WIRE.replace("to order", "perhaps"), "none of stocked, to order"),
    "nan": (HEAD + WIRE.replace("0.03", "nan"), "finest_wire_mm nan must be a number"),
    "inf": (HEAD + WIRE + "weeks = inf\n", "weeks inf must be a number"),
    "nan lot": (HEAD + WIRE + "minimum_lot_kg = nan\n", "minimum_lot_kg nan must be"),
    "negative": (HEAD + WIRE + "weeks = -2\n", "weeks -2 must be"),
    "text": (HEAD + WIRE + 'weeks = "six"\n', "weeks 'six' must be"),
    "true": (HEAD + WIRE + "weeks = true\n", "weeks True must be"),
    "misspelt": (HEAD + WIRE + "minimun_lot_kg = 50\n", "Nearest: minimum_lot_kg"),
    "misspelt head": (HEAD + 'nane = "x"\n' + WIRE, "nane is no entry"),
    "unknown alloy": (HEAD + WIRE.replace("316L", "unobtainium"), "unobtainium"),
    "twice": (HEAD + WIRE + WIRE, "316L is listed twice. Keep one"),
    "no table": (HEAD.replace("[availability]", "wire = 3\n[availability]"), "no wire is listed"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_is_wrong_is_said_with_file_entry_and_remedy(case: str, tmp_path: Path) -> None:
    text, told = WRONG[case]
    file = tmp_path / "wire.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(AvailabilityError, match=r"wire\.toml") as raised:
        read_availability(file)
    assert told in str(raised.value)


def test_the_command_says_it_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "wire.toml"
    file.write_bytes(b"\xff\xfe")
    for path in (file, tmp_path / "none.toml"):
        words = ["alloys", "--mesh-count", "10/in", "--wire", "0.025 in", "--environment", "rural"]
        assert main([*words, "--alloys", "304", "--availability", str(path)]) == 2
        said = capsys.readouterr().err
        assert said.startswith("meshcore: ")
        assert path.name in said
        assert said.count("\n") == 1


def test_what_is_not_said_is_not_nought(tmp_path: Path) -> None:
    file = tmp_path / "wire.toml"
    stock = WIRE.replace("316L", "304").replace("to order", "stocked") + "minimum_lot_kg = 500\n"
    file.write_text(HEAD + WIRE + stock, encoding="utf-8")
    _, words = availability_of(["316L", "304"], read_availability(file), 1e-3, [10.0, 10.0])  # type: ignore[arg-type]
    assert words[0] == "drawn to order, wire down to 0.03 mm, weeks not said: ask"
    assert "lot of 500 kg at the least" in words[1]


def test_alloys_that_nobody_knows_are_no_comparison(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["alloys", "--mesh-count", "10/in", "--wire", "0.025 in", "--environment", "rural"]
    assert main([*words, "--alloys", "unobtainium"]) == 2
    told = capsys.readouterr()
    assert "unobtainium" in told.err
    assert "prices in" not in told.out
