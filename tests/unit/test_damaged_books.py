"""A price book with a slip in it: refused as it is read, or named by its cell on every estimate.

Each case is one mistake in the text of the demonstration book, as a person makes it; the bands that
catch implausible figures are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

import meshcore as mc
from meshcore.costing.book.files import from_toml
from meshcore.costing.book.plausible import bands, judge_figures
from meshcore.costing.book.price_book import in_currency
from meshcore.costing.items import COST_STAGES, CostColumn, OrderColumns, PricingRule
from meshcore.costing.rates import Rates
from meshcore.demo import demo_data
from meshcore_mill_costing.finishing import CUTTING_SERVICES, RUSH, SERVICES

ASKED = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="316L",
                   form=mc.Roll("48 in", "100 ft"))  # fmt: skip
TEXT = (demo_data() / "price_book.toml").read_text("utf-8")
EFFICIENCY = "{ amount = 72 },"
LOOM = 'unit = "h"\namount = 38.50'


def block(key: str) -> str:
    """Return the rows of a key as the book has them."""
    found = re.search(rf'\[\[rates\]\]\nkey = "{re.escape(key)}"\n.*?\n\n', TEXT, re.DOTALL)
    assert found
    return found.group()


METAL = block("wire.metal")
MARGIN = re.search(r'\[\[rates\]\]\nkey = "margin.share".*?\n\n', TEXT, re.DOTALL)
OVERHEAD = re.search(r'\[\[rates\]\]\nkey = "overhead.share".*?\n\n', TEXT, re.DOTALL)
assert MARGIN
assert OVERHEAD
SHARE = '[[rates]]\nkey = "{}"\nunit = "%"\namount = {}\ndate = 2026-10-01\nnote = "x"\n\n'
INDEX = "".join(
    f'[[rates]]\nkey = "surcharge.metal_index.{what}"\nalloy = "316L"\ncurrency = "EUR"\n'
    f'unit = "{unit}"\namount = {amount}\ndate = 2026-10-01\nnote = "x"\n\n'
    for what, unit, amount in (("base", "kg", 1.5), ("value", "t", 190.0))
)
USD = 'currency = "USD"\nto = "EUR"\namount = 0.86\ndate = 2026-10-01\n'
AGAIN = '[[exchange]]\ncurrency = "{}"\nto = "{}"\namount = {}\ndate = 2026-10-01\nnote = "x"\n\n'

OFF = 'rules_disabled = ["tax"]'
PALLETS = "".join(
    f'[[rates]]\nkey = "freight.{what}"\nunit = "{unit}"\namount = {amount}\n'
    f'date = 2026-10-01\nnote = "x"\n{more}\n'
    for what, unit, amount, more in (
        ("pallet", "pallet", 60.0, 'currency = "EUR"\n'),
        ("pallet_load", "kg", 400, ""),
    )
)

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
    # Figures that only others, or what money has been worth, can tell to be slips.
    "service misspelt": ('"service.anneal"', '"service.aneal"', "book.key_unread"),
    "set-up of a service misspelt": ('"service.weld seam.set_up"', '"service.weld seam.setup"',
                                     "book.key_unread"),
    "exchange upside down": ("amount = 0.86", "amount = 1.163", "book.exchange_implausible"),
    "yen upside down": ("amount = 0.0058", "amount = 172.0", "book.exchange_implausible"),
    "exchange of two years ago": ("amount = 0.86\ndate = 2026-10-01",
                                  "amount = 0.86\ndate = 2024-10-01", "book.rate_too_old"),
    "exchange of next year": ("amount = 0.86\ndate = 2026-10-01",
                              "amount = 0.86\ndate = 2027-10-01", "book.date_to_come"),
    "loom by the minute": (LOOM, 'unit = "min"\namount = 38.50', "book.figure_implausible"),
    "loom in yen": ('currency = "EUR"\n' + LOOM, 'currency = "JPY"\n' + LOOM,
                    "book.figure_implausible"),
    "freight by the kilogram": ('unit = "100 kg"\namount = 14.50', 'unit = "kg"\namount = 14.50',
                                "book.figure_implausible"),
    "packing by the kilogram": ('unit = "100 kg"\namount = 3.00', 'unit = "kg"\namount = 3.00',
                                "book.figure_implausible"),
    "packing by the piece": ('unit = "100 pieces"', 'unit = "piece"', "book.figure_implausible"),
    "scrap as a share of a percent": ("{ amount = 4.0 },", "{ amount = 0.04 },",
                                      "book.figure_implausible"),
    "picks of one size tenfold": ('"0.63 mm", amount = 82', '"0.63 mm", amount = 820',
                                  "book.row_out_of_line"),
    "picks of the last size tenfold": ('"25 mm", amount = 3 ', '"25 mm", amount = 30 ',
                                       "book.row_out_of_line"),
    "stainless tenfold": ('alloy = "304", amount = 3.45', 'alloy = "304", amount = 34.5',
                          "book.metal_off_kin"),
    "carbon steel tenfold": ('alloy = "carbon steel", amount = 1.15',
                             'alloy = "carbon steel", amount = 11.5', "book.metal_off_kin"),
    "nickel in another currency tenfold": ('alloy = "alloy 400", amount = 11.90',
                                           'alloy = "alloy 400", amount = 119.0',
                                           "book.metal_implausible"),
    "drawing of one size tenfold": ('"0.63 mm", amount = 1.05', '"0.63 mm", amount = 10.5',
                                    "book.row_out_of_line"),
    "drawing size in inches": ('at = "0.63 mm", amount = 1.05', 'at = "0.63 in", amount = 1.05',
                               "book.row_out_of_line"),
    "wider rolls go cheaper": ('{ at = "2.0 m", amount = 19.00 }',
                               '{ at = "2.0 m", amount = 1.90 }', "book.row_out_of_line"),
    "surcharge in cents": ('family = "austenitic stainless steel", amount = 1.10',
                           'family = "austenitic stainless steel", amount = 110',
                           "book.figure_implausible"),
    "set-up of three days": ("amount = 0.75", "amount = 75", "book.figure_implausible"),
    "set-up by the minute": ('unit = "h"\namount = 0.75', 'unit = "min"\namount = 0.75',
                             "book.figure_implausible"),
    "a step that makes the price": ("amount = 0.05\n", "amount = 50.0\n",
                                    "book.figure_implausible"),
    "a smallest order of a fortune": ("amount = 120.00", "amount = 12000.0",
                                      "book.figure_implausible"),
    "metre of cut in cents": ('form = "strip", amount = 0.22', 'form = "strip", amount = 22',
                              "book.figure_implausible"),
    "metre of cut by the millimetre": ('unit = "m of cut"\ndate', 'unit = "mm"\ndate',
                                       "book.figure_implausible"),
    "overhead of four times": ("amount = 38.0", "amount = 380.0", "book.figure_implausible"),
    "nothing grows old": ("stale_after_days = 180", "stale_after_days = 99999",
                          "book.never_stale"),
    "no scrap": (block("wire.scrap"), "", "book.not_charged"),
    "no drawing extra": (block("wire.drawing_extra"), "", "book.not_charged"),
    "no set-up": (block("weaving.set_up"), "", "book.not_charged"),
    "margin switched off": ('rules_disabled = ["tax"]', 'rules_disabled = ["tax", "margin"]',
                            "book.rule_off"),
    "customer of one half": ("[[rates]]\n", SHARE.format("customer.discount", 50) + "[[rates]]\n",
                             "book.figure_implausible"),
    "index by the tonne, base by the kilogram": ("[[rates]]\n", INDEX + "[[rates]]\n",
                                                 "book.index_implausible"),
    "loom ten times too cheap": (LOOM, 'unit = "h"\namount = 3.85', "book.figure_implausible"),
    "margin of one point eight": ("amount = 18.0", "amount = 1.8", "book.figure_implausible"),
    "margin of 180 %": ('unit = "%"\nbase = "price"\namount = 18.0',
                        'unit = ""\nbase = "cost"\namount = 1.8', "book.figure_implausible"),
    "freight by the tonne": ('unit = "100 kg"\namount = 14.50', 'unit = "t"\namount = 14.50',
                             "book.unit_implausible"),
    "rush as a factor": ("amount = 15.0\n", "amount = 1.15\n", "book.figure_implausible"),
    "rush as a factor without a unit": ('unit = "%"\namount = 15.0', 'unit = ""\namount = 1.15',
                                        "book.figure_implausible"),
    "rush as the whole price": ("amount = 15.0\n", "amount = 115.0\n", "book.figure_implausible"),
    "stainless by the pound": ('alloy = "304", amount = 3.45',
                               'alloy = "304", amount = 3.45, unit = "lb"', "book.metal_beside"),
    "nickel by the kilogram": ('alloy = "nickel 200", amount = 13.60',
                               'alloy = "nickel 200", amount = 13.60, unit = "kg"',
                               "book.metal_beside"),
    "carbon steel by the pound": ('alloy = "carbon steel", amount = 1.15',
                                  'alloy = "carbon steel", amount = 1.15, unit = "lb"',
                                  "book.metal_beside"),
    "stainless at twice its price": ('alloy = "304", amount = 3.45', 'alloy = "304", amount = 6.90',
                                     "book.metal_beside"),
    "molybdenum for nothing": ('alloy = "316L", amount = 4.95', 'alloy = "316L", amount = 3.00',
                               "book.metal_beside"),
    "step of less than a cent": ("amount = 0.05\n", "amount = 0.003\n", "book.figure_implausible"),
    "step in another currency": ('currency = "EUR"\nunit = "line"\namount = 0.05',
                                 'currency = "USD"\nunit = "line"\namount = 0.05',
                                 "book.figure_implausible"),
    "overheads that overlap": ('{ base = "wire", amount = 6.0 }',
                               '{ base = "wire, finishing", amount = 6.0 }', "book.charged_twice"),
    "overhead of all and of a part": ('{ base = "wire", amount = 6.0 }',
                                      '{ base = "subtotal", amount = 6.0 }', "book.charged_twice"),
    "two margins": ("[[rates]]\n", SHARE.format("margin.share", 12).replace(
        'unit = "%"', 'unit = "%"\nbase = "cost"') + "[[rates]]\n", "book.charged_twice"),
    "freight by the kilogram and the pallet": (
        "[[rates]]\n", PALLETS + "[[rates]]\n", "book.charged_twice"),
    "metal switched off": (OFF, OFF.replace("tax", "wire metal"), "book.rule_off"),
    "loom switched off": (OFF, OFF.replace("tax", "loom time"), "book.rule_off"),
    "warping switched off": (OFF, OFF.replace("tax", "warp set-up"), "book.rule_off"),
    "freight switched off": (OFF, OFF.replace("tax", "freight"), "book.rule_off"),
    "loom tenfold": (LOOM, 'unit = "h"\namount = 385.0', "book.figure_implausible"),
    "annealing a hundredfold": ("amount = 1.45", "amount = 145", "book.figure_implausible"),
    "annealing by the piece": ('unit = "kg"\namount = 1.45', 'unit = "piece"\namount = 1.45',
                               "book.unit_unusual"),
    "seam tenfold": ('cut"\namount = 6.40', 'cut"\namount = 64.0', "book.figure_implausible"),
    "cleaning tenfold": ("amount = 1.10\ndate", "amount = 11.0\ndate", "book.figure_implausible"),
    "edges tenfold": ("amount = 2.20", "amount = 22.0", "book.figure_implausible"),
    "metal of the whole list by the pound": (
        METAL, METAL.replace('unit = "kg"', 'unit = "lb"'), "book.figure_implausible"),
    "nickel of the whole list by the kilogram": (
        'unit = "lb"', 'unit = "kg"', "book.figure_implausible"),
    "margin of nobody knows what": ('base = "price"\namount = 18.0', "amount = 18.0",
                                    "book.base_unsaid"),
    "cutting without an overhead": ('base = "weaving, finishing, cutting"',
                                    'base = "weaving, finishing"', "book.stage_bare"),
    "wire without an overhead": ('  { base = "wire", amount = 6.0 },\n', "", "book.stage_bare"),
    "plain weave the slowest": (EFFICIENCY, "{ amount = 27 },", "book.plain_worst"),
    "plain weave that loses most": ("{ amount = 4.0 },", "{ amount = 7.0 },", "book.plain_worst"),
    "rule switched off that is none": (OFF, OFF.replace("tax", "fright"),
                                       "price.disabled_rule_unknown"),
}  # fmt: skip
#: Slips that are told and leave the price as it is.
NOTED = {"no scrap", "no drawing extra", "no set-up", "annealing by the piece"}


def read(text: str) -> tuple[mc.PriceBook | None, tuple[mc.Message, ...]]:
    """Return the book, or what it is refused for."""
    try:
        return from_toml(text, "book.toml"), ()
    except mc.PriceBookError as error:
        return None, tuple(error.messages)


def test_there_are_many() -> None:
    assert len(SLIPS) >= 120


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
        assert priced.status == ("ok" if slip in NOTED else "review")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('currency = "EUR"\n' + LOOM, 'currency = "eur "\n' + LOOM),
        ("amount = 38.50", 'amount = "€ 38.50"'),
        ("amount = 38.50", 'amount = "38.50 EUR"'),
        ("amount = 0.0058", 'amount = "0.0058"'),
    ],
)
def test_what_can_be_read_in_one_way_alone_is_read(old: str, new: str) -> None:
    assert old in TEXT
    book, refused = read(TEXT.replace(old, new, 1))
    assert refused == ()
    one = mc.estimate(ASKED, book)
    assert (one.price, one.messages) == (mc.estimate(ASKED, from_toml(TEXT, "b")).price, [])


def test_an_amount_in_another_currency_than_its_row_is_refused() -> None:
    book, refused = read(TEXT.replace("amount = 38.50", 'amount = "$ 38.50"', 1))
    assert book is None
    assert [m.code for m in refused] == ["book.amount_not_a_number"]


def test_a_share_without_its_unit_is_refused_with_what_it_was_read_as() -> None:
    old = block("weaving.efficiency")
    _, refused = read(TEXT.replace(old, old.replace('unit = "%"', 'unit = ""')))
    assert "Its unit is blank, so it is read as 7200 %." in refused[0].text


def test_the_book_as_it_stands_is_not_doubted() -> None:
    assert mc.estimate(ASKED, from_toml(TEXT, "book.toml")).messages == []


def test_a_rate_that_no_line_can_do_without_is_asked_of_the_book_and_not_of_the_buyer() -> None:
    for old, new, code in (
        (block("weaving.loom"), "", "price.key_missing"),
        ('currency = "EUR"\n' + LOOM, LOOM, "price.key_of_another_kind"),
    ):
        priced = mc.estimate(ASKED, from_toml(TEXT.replace(old, new, 1), "book.toml"))
        (said,) = [m for m in priced.messages if m.severity == "refused"]
        assert (said.code, said.field) == (code, "price book")
        assert "weaving.loom" in said.read
        assert "alloy" not in said.text


def test_a_stage_may_bear_no_overhead_where_the_book_says_so() -> None:
    old = '{ base = "wire", amount = 6.0 }'
    book, _ = read(TEXT.replace(old, old.replace("6.0", "0")))
    assert mc.estimate(ASKED, book).messages == []


def test_an_alloy_may_be_named_as_a_list_may_name_it() -> None:
    """1.4404 is the EN number of 316L (EN 10088-1)."""
    old = 'alloy = "316L", amount = 4.95'
    named = from_toml(TEXT.replace(old, old.replace("316L", "1.4404"), 1), "book.toml")
    assert mc.estimate(ASKED, named).price == mc.estimate(ASKED, from_toml(TEXT, "b")).price


SERVICE_KEYS = sorted(set(re.findall(r'"(service\.[a-z ]+(?:\.set_up)?)"', TEXT)))


@pytest.mark.parametrize("factor", [0.01, 100.0])
@pytest.mark.parametrize("key", SERVICE_KEYS)
def test_a_service_a_hundredfold_astray_is_named_for_a_reason_of_its_own(
    key: str, factor: float
) -> None:
    book = from_toml(TEXT, "book.toml")
    slipped = tuple(replace(r, amount=r.amount * factor) if r.key == key else r for r in book.rates)
    said = [m for m in judge_figures(replace(book, rates=slipped)) if key in m.read]
    unit = book.by_key[key][0].per.name
    (band,) = [b for b in bands()["money"] if (b["key"], b["unit"]) == (key, unit)]
    (own,) = [m for m in said if m.code == "book.figure_implausible"]
    assert band["reason"] in own.text
    assert book.by_key[key][0].where in own.read


def test_every_service_of_the_mill_has_a_band_by_its_own_unit() -> None:
    held = {(b["key"], b["unit"]) for b in bands()["money"]}
    units = {"metre of cut": "m", "piece": "piece", "kg": "kg", "m2": "m2", "lot": "lot"}
    for service in SERVICES:
        if service.name not in (*CUTTING_SERVICES, RUSH):
            assert (f"service.{service.name}", units[service.charged_per]) in held
            assert (f"service.{service.name}.set_up", "lot") in held
    assert {"service.weld seam", "service.certificate"} <= {*SERVICE_KEYS}


def test_two_prices_that_were_exchanged_are_said() -> None:
    slip = TEXT.replace('alloy = "304", amount = 3.45', 'alloy = "304", amount = 4.95')
    slip = slip.replace('alloy = "316L", amount = 4.95', 'alloy = "316L", amount = 3.45')
    book, _ = read(slip)
    asked = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                       form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    one = mc.estimate(asked, book)
    assert one.status == "review"
    assert "book.metal_beside" in {m.code for m in one.messages}


def test_two_rules_that_charge_a_margin_are_said() -> None:
    def risk(_columns: OrderColumns, _rates: Rates) -> Iterator[CostColumn]:
        yield CostColumn("risk", "cost", 0.0, "", 0.02, base=COST_STAGES)

    asked = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                       form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    with mc.register_rules(PricingRule("risk", "margin", risk)):
        one = mc.estimate(asked, from_toml(TEXT, "book.toml"))
    (said,) = [m for m in one.messages if m.code == "book.several_margins"]
    assert said.read == "margin, risk"
    assert one.status == "review"


def test_a_misspelt_rule_that_is_switched_off_is_said_with_the_one_that_may_be_meant() -> None:
    book, _ = read(TEXT.replace(OFF, OFF.replace("tax", "fright")))
    (said,) = [m for m in mc.estimate(ASKED, book).messages if "fright" in m.read]
    assert 'Is "freight" meant?' in said.text


@pytest.mark.parametrize(
    ("currency", "step"), [("USD", 0.05), ("GBP", 0.05), ("JPY", 10.0), ("KWD", 0.02)]
)
def test_a_step_is_a_customary_one_in_another_currency(currency: str, step: float) -> None:
    book, _ = read(TEXT)
    assert book is not None
    one = mc.estimate(ASKED, in_currency(book, currency))
    assert one.messages == []
    assert abs(one.price / step - round(one.price / step)) < 1e-9
