"""A price book with a slip in it: refused as it is read, or named by its cell on every estimate.

Each case is one mistake in the text of the demonstration book, as a person makes it; the bands that
catch implausible figures are common practice, no source.
"""

from __future__ import annotations

import re

import pytest

import meshcore as mc
from meshcore.costing.book.files import from_toml
from meshcore.demo import demo_data

TEXT = (demo_data() / "price_book.toml").read_text("utf-8")
EFFICIENCY = "{ amount = 72 },"
LOOM = 'unit = "h"\namount = 38.50'
MARGIN = re.search(r'\[\[rates\]\]\nkey = "margin.share".*?\n\n', TEXT, re.DOTALL)
OVERHEAD = re.search(r'\[\[rates\]\]\nkey = "overhead.share".*?\n\n', TEXT, re.DOTALL)
assert MARGIN
assert OVERHEAD
USD = 'currency = "USD"\nto = "EUR"\namount = 0.86\ndate = 2026-10-01\n'
AGAIN = '[[exchange]]\ncurrency = "{}"\nto = "{}"\namount = {}\ndate = 2026-10-01\nnote = "x"\n\n'

#: What is changed, into what, and the code of what must be said.
SLIPS: dict[str, tuple[str, str, str]] = {
    # Keys and names.
    "margin misspelt": ('key = "margin.share"', 'key = "margin.shar"', "book.key_unread"),
    "overhead misspelt": ('key = "overhead.share"', 'key = "overheads"', "book.key_unread"),
    "scrap misspelt": ('key = "wire.scrap"', 'key = "wire.scraps"', "book.key_unread"),
    "surcharge misspelt": ("wire.alloy_surcharge", "wire.alloy_surcharges", "book.key_unread"),
    "drawing misspelt": ('"wire.drawing_extra"', '"wire.drawing"', "book.key_unread"),
    "set-up misspelt": ('"weaving.set_up"', '"weaving.setup"', "book.key_unread"),
    "minimum misspelt": ('"minimum.order"', '"minimum.orders"', "book.key_unread"),
    "packing misspelt": ('"packing.kg"', '"packaging.kg"', "book.key_unread"),
    "freight misspelt": ('"freight.kg"', '"freigth.kg"', "book.key_unread"),
    "rounding misspelt": ('"rounding.step"', '"rounding.steps"', "book.key_unread"),
    "break misspelt": ('"break.discount"', '"breaks.discount"', "book.key_unread"),
    "uncertain nothing": ('"uncertainty.yield"', '"uncertainty.yields"', "book.key_unread"),
    "key in capitals": ('key = "wire.scrap"', 'key = "Wire.Scrap"', "book.key_malformed"),
    "key with blanks at its end": ('"cutting.cut"', '"cutting..cut"', "book.key_malformed"),
    "alloy unknown": ('alloy = "304", amount = 3.45', 'alloy = "340X", amount = 3.45',
                      "book.alloy_unknown"),
    "alloy twice by its number": ('{ alloy = "304", amount = 3.45 },',
                                  '{ alloy = "304", amount = 3.45 },\n'
                                  '  { alloy = "1.4301", amount = 9.45 },', "book.alloy_twice"),
    "alloy twice": ('{ alloy = "304", amount = 3.45 },',
                    '{ alloy = "304", amount = 3.45 },\n  { alloy = "304", amount = 9.45 },',
                    "book.rate_twice"),
    "family unknown": ('family = "duplex stainless steel"', 'family = "duplex steel"',
                       "book.family_unknown"),
    "family misspelt": ('family = "ferritic stainless steel"', 'family = "feritic stainless steel"',
                        "book.family_unknown"),
    "weave unknown": ('weave = "twilled", amount = 4.5', 'weave = "twild", amount = 4.5',
                      "book.choice_unknown"),
    "form unknown": ('form = "strip", amount = 0.22', 'form = "slit", amount = 0.22',
                     "book.choice_unknown"),
    "column unknown": (LOOM, LOOM + "\nrate = 12", "book.column_unknown"),
    "setting unknown": ('rounding = "up"', 'round = "up"', "book.column_unknown"),
    # Rates that are not there, or are nothing.
    "no margin": (MARGIN.group(), "", "book.rate_absent"),
    "no overhead": (OVERHEAD.group(), "", "book.rate_absent"),
    "zero metal": ('alloy = "304", amount = 3.45', 'alloy = "304", amount = 0', "book.rate_zero"),
    "loom at zero": (LOOM, 'unit = "h"\namount = 0.0', "book.rate_zero"),
    "margin at zero": ("amount = 18.0", "amount = 0.0", "book.rate_zero"),
    "freight at zero": ("amount = 14.50", "amount = 0", "book.rate_zero"),
    "negative": ("amount = 14.50", "amount = -14.50", "book.amount_negative"),
    "no number": ("amount = 14.50", 'amount = "on request"', "book.amount_not_a_number"),
    "infinite": ("amount = 14.50", "amount = inf", "book.amount_not_a_number"),
    "no note": ('note = "invented: sales conditions, out of turn"', 'note = ""',
                "book.cell_missing"),
    "two readings": ("amount = 14.50", 'amount = "1.450"', "book.number_ambiguous"),
    # Dates.
    "rate of next year": ("date = 2026-10-12", "date = 2027-10-12", "book.date_to_come"),
    "book of next year": ("date = 2026-10-01\nnote = \"Invented rates",
                          "date = 2099-10-01\nnote = \"Invented rates", "book.issued_in_future"),
    "rate of three years ago": ("date = 2026-10-12", "date = 2023-10-12", "book.rate_too_old"),
    "date in words": ("date = 2026-10-12", 'date = "last autumn"', "book.date_unreadable"),
    # Exchange.
    "exchange twice": ("[[exchange]]\n", AGAIN.format("USD", "EUR", 0.9) + "[[exchange]]\n",
                       "book.exchange_twice"),
    "exchange both ways": ("[[exchange]]\n", AGAIN.format("EUR", "USD", 1.4) + "[[exchange]]\n",
                           "book.exchange_twice"),
    "exchange for itself": ("[[exchange]]\n", AGAIN.format("EUR", "EUR", 1.1) + "[[exchange]]\n",
                            "book.exchange_for_itself"),
    "exchange missing": (USD, USD.replace("USD", "CHF"), "book.exchange_missing"),
    "exchange of zero": ("amount = 0.86", "amount = 0.0", "book.exchange_too_small"),
    "currency unknown": ('currency = "USD"\nunit = "lb"', 'currency = "US$"\nunit = "lb"',
                         "book.currency_unknown"),
    # Units.
    "loom by the day": (LOOM, 'unit = "day"\namount = 38.50', "book.unit_implausible"),
    "metal by the tonne": ('unit = "lb"', 'unit = "t"', "book.unit_implausible"),
    "set-up by the day": ('key = "weaving.set_up"\ncurrency = "EUR"\nunit = "h"',
                          'key = "weaving.set_up"\ncurrency = "EUR"\nunit = "day"',
                          "book.unit_implausible"),
    "unit unknown": ('unit = "100 kg"\namount = 14.50', 'unit = "barrel"\namount = 14.50',
                     "book.unit_unknown"),
    "unit with two readings": ('unit = "100 pieces"', 'unit = "1.000 pieces"',
                               "book.unit_ambiguous"),
    "rows of two kinds": ('{ at = "100 m2", amount = 2.0 }', '{ at = "100 kg", amount = 2.0 }',
                          "book.size_differs"),
    # Figures.
    "efficiency as a share of a percent": (EFFICIENCY, "{ amount = 0.72 },",
                                           "book.figure_implausible"),
    "efficiency above the whole": (EFFICIENCY, "{ amount = 172 },", "book.amount_astray"),
    "margin as a share of a percent": ("amount = 18.0", "amount = 0.18", "book.figure_implausible"),
    "margin of nine tenths": ("amount = 18.0", "amount = 90.0", "book.figure_implausible"),
    "scrap of a half": ("{ amount = 4.0 },", "{ amount = 45.0 },", "book.figure_implausible"),
    "picks by the second": ("amount = 6 },", "amount = 6000 },", "book.figure_implausible"),
    "warp of a millimetre": ("amount = 400\n", "amount = 0.4\n", "book.figure_implausible"),
    "breaks that fall": ('{ at = "250 m2", amount = 4.0', '{ at = "250 m2", amount = 1.0',
                         "book.breaks_not_rising"),
    "stainless below carbon steel": ('alloy = "304", amount = 3.45',
                                     'alloy = "304", amount = 0.345',
                                     "book.metal_implausible"),
    "titanium at a tenth": ('alloy = "titanium grade 2", amount = 34.00',
                            'alloy = "titanium grade 2", amount = 3.40', "book.metal_implausible"),
    "overhead as a share of a percent": ("amount = 38.0", "amount = 0.38",
                                         "book.figure_implausible"),
    "base unknown": ('base = "wire"', 'base = "wires"', "book.base_unknown"),
}  # fmt: skip


def read(text: str) -> tuple[mc.PriceBook | None, tuple[mc.Message, ...]]:
    """Return the book, or what it is refused for."""
    try:
        return from_toml(text, "book.toml"), ()
    except mc.PriceBookError as error:
        return None, tuple(error.messages)


def test_there_are_sixty() -> None:
    assert len(SLIPS) >= 60


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_refused_or_said_on_the_estimate(slip: str) -> None:
    old, new, code = SLIPS[slip]
    assert old in TEXT
    book, refused = read(TEXT.replace(old, new, 1))
    if book is None:
        assert code in [m.code for m in refused]
        assert all(m.field for m in refused)
        return
    asked = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="316L",
                       form=mc.Roll("48 in", "100 ft"), quantity=3)  # fmt: skip
    for priced in (mc.estimate(asked, book), mc.estimate_list([asked], book)[0]):
        said = {m.code: m for m in priced.messages}
        assert code in said, list(said)
        assert said[code].read
        assert priced.status == ("ok" if said[code].severity == "note" else "review")


def test_the_book_as_it_stands_is_not_doubted() -> None:
    asked = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="316L",
                       form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    assert mc.estimate(asked, from_toml(TEXT, "book.toml")).messages == []


def test_an_alloy_may_be_named_as_a_list_may_name_it() -> None:
    """1.4404 is the EN number of 316L (EN 10088-1)."""
    old = 'alloy = "316L", amount = 4.95'
    named = from_toml(TEXT.replace(old, old.replace("316L", "1.4404"), 1), "book.toml")
    asked = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="316L",
                       form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    assert mc.estimate(asked, named).price == mc.estimate(asked, from_toml(TEXT, "b")).price
