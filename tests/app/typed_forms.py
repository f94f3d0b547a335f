"""Every form of the app, as a person types in it, and what is then to be found there."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd
from browsing import PATIENCE, settled
from playwright.sync_api import expect
from typist import NAMES, Form, Typist, is_same

import meshcore as mc
from meshcore.costing.book.checking import RATE_COLUMNS
from meshcore.costing.book.files import from_toml
from meshcore.costing.money import money_text
from meshcore.costing.ranges import SEED, Uncertainty, stated_uncertainties
from meshcore.demo import demo_data, demo_price_book
from meshcore.enquiry import COLUMNS
from meshcore.estimates import reasons
from meshcore.estimates.letters import mended, price_letter
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.summary import list_totals
from meshcore.estimates.weave_guide import weave_guide
from meshcore.reading.letters.letter import Letter, read_text_of_letter
from meshcore.reading.letters.open import open_letter

if TYPE_CHECKING:
    from playwright.sync_api import Locator

POLICY = mc.read_supply_policy(demo_data() / "supply_policy.toml")
BOOK = demo_price_book()

#: What stands in the fields of the demonstration.
ENQUIRY = {
    "Mesh count": "10 / in", "Wire diameter": "0.025 in", "Alloy": "304", "Width": "48 in",
    "Length": "100 ft", "Quantity": "3",
}  # fmt: skip
ASKED = {label: label.casefold().replace(" ", "_") for label in ENQUIRY}
CHOICES = {
    "Mesh count": ("8 / in", "10 / in", "12 / in", "4 / cm", "18 / in"),
    "Wire diameter": ("0.025 in", "0.6 mm", "0.028 in", "0.52 mm"),
    "Width": ("36 in", "48 in", "1 m", "900 mm"),
    "Length": ("100 ft", "50 ft", "full roll", "30 m"),
}
#: Leaves a field of several lines, where Enter begins a line.
_NO_ENTER = ("Tab", "mouse", "stay")


def _priced(page: Typist, value: Locator, estimates: EstimateSet, what: object) -> None:
    """Compare a price on the page with the one that the library makes of what was typed."""
    totals = list_totals(estimates)
    wanted = money_text(totals.price, totals.currency, totals.digits)
    if len(estimates) == 1 and totals.refused:
        wanted = "no price"
    expect(value).not_to_be_empty(timeout=PATIENCE)
    page.compare(f"price of {what}", wanted, value.inner_text())


def _listed(workbook: Path) -> pd.DataFrame:
    return pd.read_excel(workbook, "Priced list", dtype=str, engine="openpyxl")


# The enquiry, and the bill of what was delivered for it.

_BILL = "Lengths delivered, roll by roll"


def _ask(person: Typist) -> None:
    label = person.rng.choice([*ENQUIRY, _BILL])
    if label == "Alloy":
        stands = person.typed["enquiry"][label]
        others = [name for names in NAMES if stands not in names for name in names]
        person.write(label, person.rng.choice(others))
    elif label in CHOICES:
        person.write(label, person.other(label, CHOICES[label]))
    elif label != _BILL:
        person.write(label, person.numbered(label, 1, 99))
    elif _bill(person):
        length = person.numbered("bill", 1, 99, "{} ft")
        person.into(person.page.get_by_label(label, exact=True), length)
        person.typed["enquiry"]["bill"] = length


def _bill(person: Typist) -> bool:
    """Open the tab of the bill, where there is one: rolls that have a price."""
    settled(person.page)
    if person.page.get_by_role("tab", name="Bill what was delivered").count() == 0:
        return False
    person.open("Bill what was delivered", person.page.get_by_label(_BILL, exact=True))
    return True


def _asked(person: Typist) -> EstimateSet:
    typed = person.typed["enquiry"]
    cells = {column: typed[label] for label, column in ASKED.items()}
    return mc.estimate_list(pd.DataFrame([cells | {"form": "roll", "weave": "plain"}]), BOOK,
                            POLICY)  # fmt: skip


def _look_at_enquiry(person: Typist) -> None:
    value = person.page.locator(".st-key-headline .mc-value").first
    _priced(person, value, _asked(person), person.typed["enquiry"])
    if (wanted := person.typed["enquiry"].get("bill")) and _bill(person):
        shown = person.page.get_by_label(_BILL, exact=True)
        person.compare("bill", wanted, shown.input_value(timeout=PATIENCE))


def _take_enquiry(person: Typist) -> None:
    listed = _listed(person.take("download_workbook", "enquiry.xlsx"))
    for label, column in ASKED.items():
        typed, held = person.typed["enquiry"][label], listed[column][0]
        person.compare(f"file, {label}", typed, typed if is_same(label, typed, held) else held)


# A letter, and the grid of its lines.

_WORDS = "Please quote {} rolls 10 mesh, 0.025 in wire, 304, 48 in x 100 ft."
_FIRST_LETTER = open_letter(min((demo_data() / "inbox").iterdir()))
#: Places in the number of a line, in a grid whose rows can be marked and in one where not [px].
_LINE_NUMBER, _ROW_NUMBER = 50, 20
_MENDED = ("mesh_count", "wire_diameter", "alloy", "form", "width", "length", "quantity")


def _write_letter(person: Typist) -> None:
    typed = person.typed["letter"]
    if person.rng.random() < 0.4:
        words = person.numbered("Letter", 2, 99, _WORDS)
        typed.clear()
        person.write("Letter", words, _NO_ENTER)
        return
    # A grid that is drawn anew for another text drops letters meanwhile.
    settled(person.page)
    letter = read_text_of_letter(typed["Letter"])
    lines = letter.lines
    shown = [c for c in COLUMNS if c in _MENDED or lines[c].astype(bool).any()]
    row = person.rng.randrange(len(lines))
    grid = person.page.locator(".st-key-letter_grid [data-testid=stDataFrame]")
    grid.locator("canvas").first.wait_for(timeout=PATIENCE)
    right = [c for c in shown if c != "line"].index("quantity") + 1
    number = person.numbered(f"row {row}", 100, 199)
    person.into_cell(grid, _LINE_NUMBER, row, right, number)
    typed[f"row {row}"] = number


def _letter(person: Typist) -> Letter:
    typed = person.typed["letter"]
    letter = read_text_of_letter(typed["Letter"])
    lines = letter.lines.copy()
    for row, number in person.rows().items():
        lines.loc[lines.index[row], "quantity"] = number
    return mended(letter, lines)


def _look_at_letter(person: Typist) -> None:
    value = person.page.locator(".st-key-letter_totals .mc-value").first
    made = price_letter(_letter(person), BOOK, POLICY).estimates
    totals = list_totals(made)
    wanted = money_text(totals.price, totals.currency, totals.digits)
    person.compare(f"price of {person.typed['letter']}", wanted, value.inner_text())


# A list: its cells, what a heading stands for, and its sender.

LIST = (
    "Mesh;Wire;alloy;Qty;form;width;length;Extra\n"
    "10 / in;0.025 in;304;3;roll;48 in;100 ft;\n"
    "8 / in;0.028 in;316L;1;roll;36 in;100 ft;\n"
    "12 / in;0.020 in;304;2;roll;36 in;50 ft;\n"
)
_LINES, _QTY = 3, 3


def _open_list(person: Typist) -> None:
    if not person.typed["list"]:
        person.page.locator("input[type=file]").set_input_files(
            {"name": "inbox.csv", "mimeType": "text/csv", "buffer": LIST.encode()}
        )
        person.typed["list"]["Extra"] = "Not read"
    person.page.locator(".st-key-list_totals").wait_for(timeout=PATIENCE)
    settled(person.page)
    person.open("Mend the lines", person.page.locator(".st-key-mend_open canvas"))
    person.open("How it was read", person.page.get_by_label("Sender", exact=True))


def _mend(person: Typist) -> None:
    way = person.rng.random()
    if way < 0.2:
        person.write("Sender", person.numbered("Sender", 1, 99, "Number {} Ltd"))
    elif way < 0.4:
        word = person.other("Extra", ("Not read", "Note", "Line"))
        box = person.page.get_by_role("combobox", name="Extra", exact=True)
        box.click(delay=person.rng.uniform(60, 140))
        # The list holds more than is drawn at once: its later choices are come to by typing.
        person.letters(word)
        person.page.get_by_role("option", name=word, exact=True).click()
        person.typed["list"]["Extra"] = word
        # The grid is drawn anew for another reading, and drops letters meanwhile.
        settled(person.page)
    else:
        row = person.rng.randrange(_LINES)
        number = person.numbered(f"row {row}", 10, 99)
        grid = person.page.locator(".st-key-mend_open [data-testid=stDataFrame]")
        person.into_cell(grid, _ROW_NUMBER, row, _QTY + 1, number)
        person.typed["list"][f"row {row}"] = number


def _lines_of_list(person: Typist) -> EstimateSet:
    table = pd.read_csv(io.StringIO(LIST), sep=";", dtype=str)
    for row, number in person.rows().items():
        table.loc[row, "Qty"] = number
    return mc.estimate_list(table, BOOK, POLICY)


def _look_at_list(person: Typist) -> None:
    value = person.page.locator(".st-key-list_totals .mc-value").first
    _priced(person, value, _lines_of_list(person), person.typed["list"])


def _take_list(person: Typist) -> None:
    listed = _listed(person.take("download_xlsx", "list.xlsx"))
    for row, number in person.rows().items():
        person.compare(f"file, row {row}", number, listed["Qty"][row])


# What is cut.

_STRIP_WIDTH = 110


def _order(person: Typist) -> None:
    if person.rng.random() < 0.3:
        person.write("Seed", person.numbered("Seed", 1, 99))
        return
    row = person.rng.randrange(3)
    quantity = person.numbered(f"row {row}", 1, 99)
    grid = person.page.locator(".st-key-cutting_order [data-testid=stDataFrame]")
    person.into_cell(grid, _STRIP_WIDTH, row, 2, quantity)
    person.typed["cutting"][f"row {row}"] = quantity


def _look_at_cutting(person: Typist) -> None:
    for row, quantity in person.rows().items():
        cells = person.page.locator(".st-key-cutting_lines table").first.locator("tbody tr")
        person.compare(f"row {row}", quantity, cells.nth(row).locator("td").nth(2).inner_text())


def _take_cutting(person: Typist) -> None:
    listed = _listed(person.take("download_cutting_xlsx", "cutting.xlsx"))
    for row, quantity in person.rows().items():
        person.compare(f"file, row {row}", quantity, listed["quantity"][row])


# What the cloth must stand.

_SERVICE = {"Years wanted": "years", "Metal temperature": "°C"}
_TENSION = ".st-key-service_load button[role=radio]"


def _describe(person: Typist) -> None:
    label = person.rng.choice([*_SERVICE, "tension"])
    if label in _SERVICE:
        person.write(label, person.numbered(label, 5, 60, f"{{}} {_SERVICE[label]}"))
        return
    word = person.other("tension", ("Yes", "No", "Not known"))
    person.page.locator(_TENSION).get_by_text(word, exact=True).click()
    person.typed["alloys"]["tension"] = word
    person.pause()


def _look_at_alloys(person: Typist) -> None:
    if wanted := person.typed["alloys"].get("tension"):
        chosen = person.page.locator(f"{_TENSION}[aria-checked=true]")
        person.compare("tension", wanted, chosen.inner_text().strip() if chosen.count() else "")


# What the cloth is for.

_USE = {"Cut size": "mm", "Inclination": "°", "Trials": ""}


def _intend(person: Typist) -> None:
    if person.rng.random() < 0.3:
        label, words = "In the buyer's words", "for a vibrating screen, cutting at {} mm"
        person.write(label, person.numbered(label, 2, 20, words), _NO_ENTER)
        return
    label = person.rng.choice([*_USE])
    person.write(label, person.numbered(label, 5, 30, f"{{}} {_USE[label]}".strip()))


# The weave that is looked at.

_WEAVES = [entry.name.capitalize() for entry in weave_guide()]


def _choose_weave(person: Typist) -> None:
    name = person.other("Weave", _WEAVES)
    person.page.get_by_role("combobox", name="Weave", exact=True).click(
        delay=person.rng.uniform(60, 140)
    )
    person.letters(name[:4])
    person.page.get_by_role("option", name=name, exact=True).click()
    person.typed["weaves"]["Weave"] = name
    person.pause()


def _look_at_weaves(person: Typist) -> None:
    if wanted := person.typed["weaves"].get("Weave"):
        told = person.page.locator(".st-key-weave_told h2").first.inner_text()
        person.compare("weave told of", wanted, told)


# Whom a quotation is for.


def _address(person: Typist) -> None:
    if person.rng.random() < 0.5:
        person.write("To", person.numbered("To", 1, 999, "Number {} Ltd"), _NO_ENTER)
    else:
        person.write("Their reference", person.numbered("Their reference", 1, 999, "No {}"))


# How sure a price is, and what it is kept under.

_STATED = stated_uncertainties(BOOK)


def _remark(person: Typist) -> None:
    label = person.rng.choice(("Title", "Note", "Seed", "grid"))
    if label != "grid":
        words = "{}" if label == "Seed" else "for number {}"
        person.write(label, person.numbered(label, 1, 999, words))
        return
    settled(person.page)
    grid = person.page.locator(".st-key-budget [data-testid=stDataFrame]")
    if grid.count() == 0:
        return
    row = person.rng.randrange(min(len(_STATED), 3))
    text = person.numbered(f"row {row}", 1, 39, "{}.7")
    person.into_cell(grid, 60, row, 1, text)
    person.typed["reasons"][f"row {row}"] = text


def _look_at_reasons(person: Typist) -> None:
    priced = _asked(person)
    if list_totals(priced).refused or person.at != "reasons":
        return
    stated = list(_STATED)
    for row, text in person.rows().items():
        stated[row] = Uncertainty(stated[row].driver, float(text) / 100.0)
    seed = int(person.typed["reasons"].get("Seed", SEED))
    spread = reasons.budget_range(priced, [0], stated, seed=seed)
    wanted = money_text(spread.p10, spread.currency, 2)
    shown = person.page.locator(".st-key-budget .mc-value").first
    person.compare(f"range of {person.typed['reasons']}", wanted, shown.inner_text())


# The price book.

_RATE_ALLOY = 300
_TO_AMOUNT = RATE_COLUMNS.index("amount") - RATE_COLUMNS.index("alloy")
_RATES = {n: rate for n, rate in enumerate(BOOK.rates[:10]) if rate.currency and not rate.at}


def _reprice(person: Typist) -> None:
    row = person.rng.choice(list(_RATES))
    amount = person.numbered(f"row {row}", 100, 999, "4.{}")
    grid = person.page.locator(".st-key-book_tables [data-testid=stDataFrame]").first
    person.into_cell(grid, _RATE_ALLOY, row, _TO_AMOUNT, amount)
    person.typed["price_book"][f"row {row}"] = amount


def mend_rate(person: Typist, row: int, write: Callable[[], None]) -> None:
    """Go to the amount of a rate, write, and leave the cell at once."""
    grid = person.page.locator(".st-key-book_tables [data-testid=stDataFrame]").first
    person.to_cell(grid, _RATE_ALLOY, row, _TO_AMOUNT)
    write()
    person.page.keyboard.press("Tab")
    person.pause()


def _look_at_book(person: Typist) -> None:
    changes = person.page.locator(".st-key-book_changes").inner_text()
    for row, amount in person.rows().items():
        rate = _RATES[row]
        if float(amount) != rate.amount:
            said = f"{float(amount):g}"
            person.compare(f"{rate.name}", said, said if said in changes else changes)


def _take_book(person: Typist) -> None:
    given = person.take("book_download_toml", "book.toml")
    book = from_toml(given.read_text(encoding="utf-8"), "file")
    for row, amount in person.rows().items():
        person.compare(f"file, row {row}", float(amount), book.rates[row].amount)


def _nothing(_person: Typist) -> None:
    """Look at the fields alone."""


FORMS = {
    "letter": Form("Letter", ".st-key-letter_grid canvas", 2, _write_letter, _look_at_letter),
    "enquiry": Form("Enquiry", ".st-key-field_quantity", 6, _ask, _look_at_enquiry, _take_enquiry),
    "use": Form("Use", ".st-key-by_use_form", 2, _intend, _nothing),
    "weaves": Form("Weaves", ".st-key-weave_told", 1, _choose_weave, _look_at_weaves),
    "list": Form("List", ".st-key-list_source_box", 3, _mend, _look_at_list, _take_list,
                 _open_list),
    "cutting": Form("Cutting", ".st-key-cutting_order canvas", 3, _order, _look_at_cutting,
                    _take_cutting),
    "alloys": Form("Alloys", ".st-key-alloys_form", 2, _describe, _look_at_alloys),
    "quotations": Form("Quotations", ".st-key-quotation_to", 1, _address, _nothing),
    "reasons": Form("Range and reasons", ".st-key-save", 2, _remark, _look_at_reasons),
    "price_book": Form("Price book", ".st-key-book_tables canvas", 2, _reprice, _look_at_book,
                       _take_book),
}  # fmt: skip
TYPED: dict[str, dict[str, str]] = {name: {} for name in FORMS} | {
    "enquiry": ENQUIRY, "letter": {"Letter": _FIRST_LETTER},
}  # fmt: skip
