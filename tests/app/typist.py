"""A person at the app: types at a person's pace, and waits for nothing but to see a page."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd
from browsing import PATIENCE, settled
from playwright.sync_api import expect

import meshcore as mc
from meshcore.costing.book.checking import RATE_COLUMNS
from meshcore.costing.book.files import from_toml
from meshcore.costing.money import money_text
from meshcore.demo import default_price_book, demo_data
from meshcore.estimates.summary import list_totals

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

#: Longest pause of a person between two entries, and between two letters [ms].
PAUSE, LETTER = 1000.0, 120.0
#: How long a hand presses a button of the mouse [ms].
PRESS = (60.0, 140.0)
#: From a click into a grid to the first letter: a hand moves from mouse to keyboard [ms].
TO_KEYBOARD = 150.0
#: Clicks into a cell before a person gives up.
TRIES = 3
_IS_MARKED = (
    "document.activeElement?.closest('[data-testid=stDataFrame] td')"
    "?.getAttribute('aria-selected') === 'true'"
)
#: Height of a row of a grid and its heading; places in the width of a strip, and in the alloy of
#: a rate [px].
ROW, STRIP_WIDTH, RATE_ALLOY = 33, 110, 300
TO_AMOUNT = RATE_COLUMNS.index("amount") - RATE_COLUMNS.index("alloy")
POLICY = mc.read_supply_policy(demo_data() / "supply_policy.toml")
BOOK = default_price_book()
RATES = {n: rate for n, rate in enumerate(BOOK.rates[:10]) if rate.currency and not rate.at}

#: What stands in the fields of the demonstration.
ENQUIRY = {
    "Mesh count": "10 / in", "Wire diameter": "0.025 in", "Alloy": "304", "Width": "48 in",
    "Length": "100 ft", "Quantity": "3",
}  # fmt: skip
COLUMNS = {label: label.casefold().replace(" ", "_") for label in ENQUIRY}
CHOICES = {
    "Mesh count": ("8 / in", "10 / in", "12 / in", "4 / cm", "18 / in"),
    "Wire diameter": ("0.025 in", "0.6 mm", "0.028 in", "0.52 mm"),
    "Alloy": ("304", "316L", "1.4301", "SS-304", "alloy 625"),
    "Width": ("36 in", "48 in", "1 m", "900 mm"),
    "Length": ("100 ft", "50 ft", "full roll", "30 m"),
}
SERVICE = ("Years wanted", "Metal temperature")
LINKS = {
    "enquiry": ("Enquiry", ".st-key-field_quantity"),
    "alloys": ("Alloys", ".st-key-alloys_form"),
    "cutting": ("Cutting", ".st-key-cutting_order canvas"),
    "reasons": ("Range and reasons", ".st-key-save"),
    "price_book": ("Price book", ".st-key-book_tables canvas"),
}
#: Pages by how often they are typed in.
WEIGHTS = {"enquiry": 6, "cutting": 3, "alloys": 2, "reasons": 2, "price_book": 2}


@dataclass
class Typist:
    """One visitor; `typed` is all that should stand, page by page, as typed last.

    `cells` is whether cells of grids are typed in as well as fields.
    """

    page: Page
    rng: random.Random
    folder: Path
    at: str = "enquiry"
    entries: int = 0
    again: int = 0
    cells: bool = False
    wrong: list[str] = field(default_factory=list)
    typed: dict[str, dict[str, str]] = field(
        default_factory=lambda: {name: {} for name in LINKS} | {"enquiry": dict(ENQUIRY)}
    )
    order: list[dict[str, str]] = field(default_factory=list)

    def pause(self, longest: float = PAUSE) -> None:
        """Do nothing for a while, as people do; nothing is waited for."""
        self.page.wait_for_timeout(self.rng.uniform(0, longest))

    def go(self, name: str) -> None:
        """Follow a link at once, and look until the page is there."""
        if name == self.at:
            return
        link, seen = LINKS[name]
        shown = self.page.get_by_role("link", name=link, exact=True)
        shown.click(delay=self.rng.uniform(*PRESS))
        self.at = name
        self.page.locator(seen).first.wait_for(timeout=PATIENCE)
        if seen.endswith("canvas"):
            # A grid is drawn anew while its page is first drawn, and drops letters meanwhile.
            settled(self.page)

    def burst(self, length: int) -> None:
        """Type some entries in a page, one straight after the other."""
        offered = {name: n for name, n in WEIGHTS.items() if self.cells or name != "price_book"}
        self.go(self.rng.choices(list(offered), list(offered.values()))[0])
        for _ in range(length):
            _ENTRIES[self.at](self)
            self.entries += 1

    def write(self, label: str, text: str) -> None:
        """Write into a field, and leave it in one of the ways that people have."""
        self.into(self.page.get_by_label(label, exact=True), text)
        self.typed[self.at][label] = text

    def into(self, place: Locator, text: str) -> None:
        """Click, type over what stands there, and go on."""
        # At its left end: a hint may lie over the other one.
        place.click(position={"x": 12, "y": 12}, delay=self.rng.uniform(*PRESS))
        self.page.keyboard.press("Control+A")
        self.letters(text)
        self.leave()

    def letters(self, text: str) -> None:
        for letter in text:
            self.page.keyboard.type(letter)
            self.pause(LETTER)

    def leave(self) -> None:
        """Leave a field by Tab, Enter or mouse, or stay in it."""
        way = self.rng.choice(("Tab", "Enter", "mouse", "stay"))
        if way in ("Tab", "Enter"):
            self.page.keyboard.press(way)
        elif way == "mouse":
            self.page.locator("h3:visible").first.click(delay=self.rng.uniform(*PRESS))
        self.pause()

    def into_cell(self, grid: Locator, x: int, row: int, right: int, text: str) -> None:
        """Go to a cell of a grid by mouse and arrows, and type over it."""
        for _ in range(TRIES):
            grid.click(position={"x": x, "y": ROW * (row + 1.5)}, delay=self.rng.uniform(*PRESS))
            self.page.wait_for_timeout(TO_KEYBOARD)
            if self.page.evaluate(_IS_MARKED):
                break
            # Who sees that no cell is framed clicks once more.
            self.again += 1
        for _ in range(right):
            self.page.keyboard.press("ArrowRight")
        self.letters(text)
        self.page.keyboard.press(self.rng.choice(("Tab", "Enter")))
        self.pause()

    def take(self, key: str, name: str) -> Path:
        """Take a file away at once."""
        with self.page.expect_download(timeout=PATIENCE) as given:
            self.page.locator(f".st-key-{key} button").click(delay=self.rng.uniform(*PRESS))
        path = self.folder / f"{self.entries}_{name}"
        given.value.save_as(path)
        return path

    def compare(self, what: str, wanted: object, had: object) -> None:
        if wanted != had:
            self.wrong.append(f"entry {self.entries}, {self.at}, {what}: {wanted!r}, but {had!r}")


def _ask(person: Typist) -> None:
    label = person.rng.choice(list(ENQUIRY))
    number = str(person.rng.randint(1, 99))
    person.write(label, person.rng.choice(CHOICES[label]) if label in CHOICES else number)


def _describe(person: Typist) -> None:
    label = person.rng.choice(SERVICE)
    unit = "years" if label == SERVICE[0] else "°C"
    person.write(label, f"{person.rng.randint(5, 60)} {unit}")


def _order(person: Typist) -> None:
    if not person.cells or person.rng.random() < 0.3:
        person.write("Seed", str(person.rng.randint(1, 99)))
        return
    row = person.rng.randrange(3)
    quantity = str(person.rng.randint(1, 99))
    grid = person.page.locator(".st-key-cutting_order [data-testid=stDataFrame]")
    person.into_cell(grid, STRIP_WIDTH, row, 2, quantity)
    person.typed["cutting"][f"row {row}"] = quantity


def _remark(person: Typist) -> None:
    label = person.rng.choice(("Title", "Note", "Seed"))
    number = str(person.rng.randint(1, 999))
    person.write(label, number if label == "Seed" else f"for number {number}")


def _reprice(person: Typist) -> None:
    row = person.rng.choice(list(RATES))
    amount = f"{person.rng.randint(100, 999) / 100:.2f}"
    grid = person.page.locator(".st-key-book_tables [data-testid=stDataFrame]").first
    person.into_cell(grid, RATE_ALLOY, row, TO_AMOUNT, amount)
    person.typed["price_book"][f"row {row}"] = amount


_ENTRIES: dict[str, Callable[[Typist], None]] = {
    "enquiry": _ask,
    "alloys": _describe,
    "cutting": _order,
    "reasons": _remark,
    "price_book": _reprice,
}


def check_file(person: Typist) -> None:
    """Take the page's file away at once after typing, and read what it was made from."""
    if person.at == "enquiry":
        listed = pd.read_excel(
            person.take("download_workbook", "enquiry.xlsx"),
            "Priced list",
            dtype=str,
            engine="openpyxl",
        )
        for label, column in COLUMNS.items():
            person.compare(f"file, {label}", person.typed["enquiry"][label], listed[column][0])
    elif person.at == "cutting":
        listed = pd.read_excel(
            person.take("download_cutting_xlsx", "cutting.xlsx"),
            "Priced list",
            dtype=str,
            engine="openpyxl",
        )
        for row, quantity in _rows(person).items():
            person.compare(f"file, row {row}", quantity, listed["quantity"][row])
    elif person.at == "price_book":
        given = person.take("book_download_toml", "book.toml")
        book = from_toml(given.read_text(encoding="utf-8"), "file")
        for name, amount in person.typed["price_book"].items():
            row = int(name.removeprefix("row "))
            person.compare(f"file, {name}", float(amount), book.rates[row].amount)


def _listed(workbook: Path) -> pd.DataFrame:
    return pd.read_excel(workbook, "Priced list", dtype=str, engine="openpyxl")


def _rows(person: Typist) -> dict[int, str]:
    typed = person.typed["cutting"].items()
    return {int(name.removeprefix("row ")): text for name, text in typed if name.startswith("row")}


def check_page(person: Typist) -> None:
    """Compare what stands on the page, and what is priced, with what was typed."""
    settled(person.page)
    for label, text in person.typed[person.at].items():
        if not label.startswith("row "):
            shown = person.page.get_by_label(label, exact=True)
            had = shown.input_value(timeout=PATIENCE)
            person.compare(label, text, had.split(" · ")[0])
    if person.at == "enquiry":
        _check_price(person)
    elif person.at == "cutting":
        for row, quantity in _rows(person).items():
            cells = person.page.locator(".st-key-cutting_lines table").first.locator("tbody tr")
            person.compare(f"row {row}", quantity, cells.nth(row).locator("td").nth(2).inner_text())
    elif person.at == "price_book":
        changes = person.page.locator(".st-key-book_changes").inner_text()
        for name, amount in person.typed["price_book"].items():
            rate = RATES[int(name.removeprefix("row "))]
            if float(amount) != rate.amount:
                said = f"{float(amount):g}"
                person.compare(f"{rate.name}", said, said if said in changes else changes)


def _check_price(person: Typist) -> None:
    cells = {COLUMNS[label]: text for label, text in person.typed["enquiry"].items()}
    priced = mc.estimate_list(
        pd.DataFrame([cells | {"form": "roll", "weave": "plain"}]), BOOK, POLICY
    )
    totals = list_totals(priced)
    price = float(priced.table["price"].iloc[0])
    wanted = "no price" if totals.refused else money_text(price, totals.currency, totals.digits)
    shown = person.page.locator(".st-key-headline .mc-value").first
    expect(shown).not_to_be_empty(timeout=PATIENCE)
    person.compare(f"price of {cells}", wanted, shown.inner_text())
