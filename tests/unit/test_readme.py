"""What the README shows runs as it stands, and prints what it says."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest
from fenced import fenced

import meshcore as mc
from meshcore.cli import main
from meshcore.costing.book.price_book import Rate
from meshcore.demo import BOOK_VARIABLE, demo_price_book
from meshcore.plugins import installed

ROLLS = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    form=mc.Roll("48 in", "100 ft"), quantity=3,
)  # fmt: skip

_OF_MAKE = ("MAKEFLAGS", "MAKELEVEL", "MFLAGS")


@pytest.fixture(autouse=True)
def _invented_book(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(BOOK_VARIABLE, raising=False)


@pytest.fixture
def readme(project_root: Path) -> Path:
    return project_root / "README.md"


@pytest.fixture
def checkout(project_root: Path, tmp_path: Path) -> Path:
    """A folder where the README's paths lead somewhere."""
    (tmp_path / "demo_data").symlink_to(project_root / "demo_data")
    return tmp_path


def test_the_python_runs(
    readme: Path, checkout: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(checkout)
    exec(compile(fenced(readme, "python")[0], "README.md", "exec"), {})
    assert (checkout / "priced.xlsx").exists()
    printed = capsys.readouterr().out
    assert printed.startswith("ok 501.6")
    assert "a gauge number without its system" in printed


def test_the_commands_run(readme: Path, checkout: Path) -> None:
    commands = "\n".join(code for code in fenced(readme, "sh") if "python -m meshcore " in code)
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    ran = subprocess.run(
        ["bash", "-euc", commands], cwd=checkout, env=os.environ | {"PATH": path},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert {"priced.xlsx", "list.xlsx", "quotation.pdf"} <= {
        file.name for file in checkout.iterdir()
    }
    assert "2.0410 kg/m²" in ran.stdout
    assert "0 faults" in ran.stdout


def test_without_make_the_same_is_started(
    readme: Path, project_root: Path, make_path: Path
) -> None:
    def last_of(target: str) -> str:
        # Under make itself, as in CI, its flags would come along.
        plain = {name: value for name, value in os.environ.items() if name not in _OF_MAKE}
        ran = subprocess.run(
            [str(make_path), "-n", target],
            cwd=project_root, env=plain, capture_output=True, text=True, check=True,
        )  # fmt: skip
        return ran.stdout.strip().splitlines()[-1]

    with_make, without = fenced(readme, "sh")[:2]
    assert [line.split("#")[0].split() for line in with_make.splitlines()] == [
        ["make", "run"],
        ["make", "test-all"],
    ]
    assert without.strip().splitlines()[-1] == last_of("run")
    assert f"`{last_of('test-all')}`" in readme.read_text("utf-8")
    setting_up = without.splitlines()[0].split(" && ")
    makefile = (project_root / "Makefile").read_text("utf-8")
    assert setting_up[0] == "python3 -m venv .venv"
    assert "-c constraints.txt -e '.[dev]'" in makefile
    assert setting_up[1] == '.venv/bin/pip install -c constraints.txt -e ".[dev]"'


def test_the_letter_is_of_the_inbox_and_becomes_what_is_shown(
    readme: Path, checkout: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    [letter] = fenced(readme, "eml")
    command, shown = fenced(readme, "console")[0].split("\n", 1)
    words = command.removeprefix("$ python -m meshcore ").split()
    monkeypatch.chdir(checkout)
    assert letter.strip() in (checkout / words[1]).read_text("utf-8")
    assert main(words) == 0
    assert capsys.readouterr().out == shown


def test_the_table_of_alloys_is_what_the_program_prints(readme: Path, project_root: Path) -> None:
    # The example page is held to the program's own output by a test of its own.
    [example] = fenced(project_root / "docs" / "which-alloy.md", "text")
    [quoted] = fenced(readme, "text")
    printed = example.splitlines()
    rows = quoted.splitlines()
    assert rows[0] == printed[0]
    assert len(rows) >= 5
    assert [printed.index(row) for row in rows] == sorted(printed.index(row) for row in rows)


def with_rates(*rates: tuple[str, float, str, str]) -> mc.PriceBook:
    book = demo_price_book()
    added = tuple(
        Rate(key=key, amount=amount, unit=unit, currency=currency, date=book.date, note="test")
        for key, amount, unit, currency in rates
    )
    return replace(book, rates=(*book.rates, *added))


PALLET = ("packing.pallet", 18.0, "pallet", "EUR")
LOAD = ("packing.pallet_load", 100.0, "kg", "")


@pytest.fixture
def pallets(readme: Path) -> ModuleType:
    """The README's plugin as a module."""
    module = ModuleType("pallets")
    exec(compile(fenced(readme, "python")[1], "README.md", "exec"), vars(module))
    return module


def test_the_plugin_charges_what_the_book_says(pallets: ModuleType) -> None:
    with installed().register(pallets, "pallets"):
        charged = mc.estimate(ROLLS, price_book=with_rates(PALLET, LOAD))
        nothing_said = mc.estimate(ROLLS, demo_price_book())
    items = charged.cost_items.set_index("label")
    # Three rolls weigh 227.5 kg (see test_hand_worked_price), so three pallets of 100 kg.
    assert items["amount"]["pallets"] == 54.0
    assert nothing_said.price == mc.estimate(ROLLS, demo_price_book()).price
    assert charged.status == nothing_said.status == "ok"


def test_the_plugin_names_the_load_that_a_book_lacks(pallets: ModuleType) -> None:
    with installed().register(pallets, "pallets"):
        half_told = mc.estimate(ROLLS, price_book=with_rates(PALLET))
    assert half_told.status == "refused"
    assert [m.code for m in half_told.messages] == ["price.key_missing"]
    assert "packing.pallet_load" in half_told.messages[0].text
    assert half_told.estimates.faults == ()
