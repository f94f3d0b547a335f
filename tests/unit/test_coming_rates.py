"""Next month's metal prices: read, shown as a difference, and held against open quotations."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.costing.book.changes import read_rate_changes, with_changes
from meshcore.costing.book.price_book import PriceBookError
from meshcore.costing.book.validity import in_force
from meshcore.register.coming import effects_on_open
from meshcore.register.opening import open_register
from meshcore.register.quotations import file_quotation

SOON = date.today() + timedelta(days=20)
BOOK = mc.demo_price_book()
ROLLS = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                   form=mc.Roll("48 in", "100 ft"), quantity=3)  # fmt: skip
COMING = (
    "key;alloy;amount;currency;unit;date;note;valid_from\n"
    f"wire.metal;304;4,05;EUR;kg;{date.today()};invented: rod of next month;{SOON}\n"
    f"wire.alloy_surcharge;304;1,35;EUR;kg;{date.today()};invented: of next month;{SOON}\n"
)


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    path = tmp_path / "december.csv"
    path.write_text(COMING, "utf-8")
    return path


def test_rates_to_come_hold_from_their_day_and_not_before(listed: Path) -> None:
    """0.60 a kg of metal; 0.25 of surcharge, since 304 had that of its family, 1.10.

    A warp and the ends of the run lose 3.623905 kg and 3.732531 kg, at the price of the metal.
    """
    changed = with_changes(BOOK, read_rate_changes(listed))
    now = mc.estimate(ROLLS, BOOK)
    assert mc.estimate(ROLLS, changed).price == now.price
    then = mc.estimate(ROLLS, in_force(changed, SOON))
    drawn = 227.535154 * 1.04
    added = round(drawn * 4.05, 2) - round(drawn * 3.45, 2) + round(drawn * 1.35, 2)
    added -= round(drawn * 1.10, 2)
    added += sum(round(lost * 4.05, 2) - round(lost * 3.45, 2) for lost in (3.623905, 3.732531))
    assert then.price - now.price == pytest.approx(added * 1.06 / 0.82 * 0.98, abs=0.08)


@pytest.mark.parametrize("name", ["1.4404", "S31603"])
def test_a_rate_to_come_follows_that_of_its_alloy_by_any_name(name: str, tmp_path: Path) -> None:
    path = tmp_path / "december.csv"
    path.write_text(COMING.replace(";304;", f";{name};"), "utf-8")
    by_name = with_changes(BOOK, read_rate_changes(path))
    path.write_text(COMING.replace(";304;", ";316L;"), "utf-8")
    plain = with_changes(BOOK, read_rate_changes(path))
    assert by_name == plain
    asked = replace(ROLLS, alloy="316L")
    then, now = (mc.estimate(asked, in_force(by_name, day)) for day in (SOON, date.today()))
    assert then.price != now.price
    assert now.messages == []


def test_a_workbook_is_read_alike(listed: Path, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in COMING.splitlines():
        book.worksheets[0].append(
            [float(c.replace(",", ".")) if c[0].isdigit() and "," in c else c
             for c in row.split(";")]
        )  # fmt: skip
    book.save(tmp_path / "december.xlsx")
    plain = [replace(rate, where="") for rate in read_rate_changes(listed).rates]
    assert [
        replace(r, where="") for r in read_rate_changes(tmp_path / "december.xlsx").rates
    ] == plain


@pytest.mark.parametrize(
    ("cell", "wrong", "code", "place"),
    [
        ("4,05", "about 4", "book.amount_not_a_number", "line 2, amount"),
        (
            f"next month;{SOON}\nwire.alloy",
            "next month;\nwire.alloy",
            "book.start_missing",
            "line 2, valid_from",
        ),
        ("kg", "barrel", "book.unit_unknown", "line 2, unit"),
        ("key;", "kee;", "book.column_unknown", "line 2, kee"),
    ],
)
def test_a_cell_that_cannot_stand_is_named(
    listed: Path, cell: str, wrong: str, code: str, place: str
) -> None:
    listed.write_text(COMING.replace(cell, wrong, 1), "utf-8")
    with pytest.raises(PriceBookError) as refused:
        read_rate_changes(listed)
    assert (code, place) in {(m.code, m.field.partition(", ")[2]) for m in refused.value.messages}


def test_a_rate_of_another_kind_than_the_books_is_refused(listed: Path) -> None:
    listed.write_text(COMING.replace("EUR;kg", "EUR;m", 1), "utf-8")
    with pytest.raises(PriceBookError, match="all rows of a key are of one kind"):
        with_changes(BOOK, read_rate_changes(listed))


def test_the_effect_on_open_quotations_is_shown_before_it_takes_effect(
    listed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.setenv("MESHCORE_REGISTER", str(tmp_path / "register.sqlite"))
    priced = mc.estimate(ROLLS, BOOK)
    register = open_register()
    quotation = mc.quotation(priced, to="Bakery by the Weir", number="Q-7")
    file_quotation(register, quotation, priced.estimates)
    changed = with_changes(BOOK, read_rate_changes(listed))
    [effect] = effects_on_open(register, changed, SOON)
    assert (effect.customer, effect.quoted, effect.now) == (
        "Bakery by the Weir", priced.price, priced.price,
    )  # fmt: skip
    assert effect.then == mc.estimate(ROLLS, in_force(changed, SOON)).price
    assert main(["book", "--demo", "--coming", str(listed), "--open-quotations"]) == 0
    told = capsys.readouterr().out
    assert f"From {SOON}:" in told
    assert "wire.metal for 304, amount: 3.45 → 4.05" in told
    assert "1 open quotations in EUR" in told
    assert f"({effect.change:+.1%})" in told


def test_a_rate_to_come_keeps_how_far_the_one_before_it_may_be_off(listed: Path) -> None:
    changed = in_force(with_changes(BOOK, read_rate_changes(listed)), SOON)
    metal = next(r for r in changed.by_key["wire.metal"] if r.alloy == "304")
    assert (metal.amount, metal.uncertainty_pct) == (4.05, 10.0)


def test_what_is_doubtful_in_rates_to_come_is_said_before_they_hold(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    slip = tmp_path / "slips.csv"
    slip.write_text(COMING.replace("wire.alloy_surcharge", "wire.surcharge").replace(";kg;", ";t;"))
    main(["book", "--demo", "--coming", str(slip)])
    said = capsys.readouterr().out
    assert "slips.csv, line 2, amount: wire.metal for 304: 4.05 per t can hardly be meant" in said
    assert "slips.csv, line 3, amount: wire.surcharge for 304: no rule is known to read" in said
    main(["book", "--demo", "--coming", str(_written(tmp_path / "fine.csv", COMING))])
    assert "plausible" not in capsys.readouterr().out
    # What holds from a day gone by is judged today, not on that day.
    gone = COMING.replace(str(SOON), str(date.today() - timedelta(days=70)))
    main(["book", "--demo", "--coming", str(_written(tmp_path / "gone.csv", gone))])
    assert "a day to come" not in capsys.readouterr().out


def _written(path: Path, text: str) -> Path:
    path.write_text(text, "utf-8")
    return path
