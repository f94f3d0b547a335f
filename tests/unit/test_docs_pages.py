"""What the site's pages are made of leaves out nothing and invents nothing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from making import api, columns, commands, formats, messages, pages, price_book, rooms

import meshcore as mc
from meshcore.costing.book.units import read_unit
from meshcore.demo import BOOK_VARIABLE, demo_data
from meshcore.enquiry import COLUMNS
from meshcore.estimates.priced_table import PRICED_COLUMNS
from meshcore.reading.vocabulary import OWN_WORDS
from meshcore.register.records import RECORDS_VARIABLE
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape, shape_names


@pytest.fixture(scope="module")
def explained() -> tuple[price_book.Key, ...]:
    return price_book.explained()


def test_every_key_that_a_rule_reads_is_explained(explained: tuple[price_book.Key, ...]) -> None:
    read = price_book.reads()
    assert len(read) > 25
    assert [key for key in read if price_book.explains(explained, key) is None] == []


def test_every_key_of_the_demo_book_is_explained(explained: tuple[price_book.Key, ...]) -> None:
    book = mc.read_price_book(demo_data() / "price_book.toml")
    stated = [key for key in book.by_key if key.startswith("uncertainty.")]
    assert stated
    priced = [key for key in book.by_key if key not in stated]
    assert [key for key in priced if price_book.explains(explained, key) is None] == []


def test_no_key_is_explained_that_no_rule_reads(explained: tuple[price_book.Key, ...]) -> None:
    read = price_book.reads()
    known = [key.key for key in explained if key.key in read or key.key.startswith("service.")]
    assert [key.key for key in explained] == known


def test_units_are_those_of_the_demo_book(explained: tuple[price_book.Key, ...]) -> None:
    book = mc.read_price_book(demo_data() / "price_book.toml")
    compared = 0
    for key in explained:
        for row in book.by_key.get(key.key, ()):
            money, _, per = key.unit.rpartition("currency per ")
            unit = read_unit(per)
            assert unit is not None, key
            assert unit.name == row.per.name, key
            assert bool(row.currency) == (key.unit != per), key
            assert not money
            assert bool(row.at) <= bool(key.by), key
            compared += 1
    assert compared > 60


def test_the_page_of_keys_names_unit_and_meaning(explained: tuple[price_book.Key, ...]) -> None:
    page = price_book.keys()
    for key in explained:
        (row,) = [line for line in page.splitlines() if line.startswith(f"| `{key.key}` |")]
        assert key.unit in row
        assert key.meaning in row
        assert key.without in row


def test_a_key_whose_plugin_says_nothing_of_it_is_listed_all_the_same() -> None:
    rule = mc.PricingRule("lift", "packing", lambda _columns, _rates: [], reads=("lift.each",))
    page = price_book.keys()
    assert "lift.each" not in page
    with mc.register_rules(rule):
        page = price_book.keys()
    assert "| `lift.each` |  | Read by lift. |" in page


@pytest.mark.parametrize(
    ("name", "keys"),
    [("supply_policy", formats.policy_keys), ("capability", formats.capability_keys)],
)
def test_every_field_that_a_reader_asks_for_is_explained(name: str, keys: object) -> None:
    assert callable(keys)
    asked = keys()
    assert len(asked) > 15
    said = columns.meanings(name)
    # `origin` is explained once for all sections of the capability table.
    explained = {key if key in said else key.partition(".")[2] for key in asked}
    assert explained == set(said)


def test_fields_left_out_of_a_policy_are_refused_but_for_offcuts() -> None:
    # What the page says: every field is needed, but for `planning_seconds` and `offcuts`.
    import tomllib  # noqa: PLC0415

    from meshcore.supply.policy import (  # noqa: PLC0415
        PLANNING_S,
        SupplyPolicyError,
        parse_supply_policy,
    )

    text = (demo_data() / "supply_policy.toml").read_text("utf-8")
    for key in formats.policy_keys():
        section, _, name = key.partition(".")
        data = tomllib.loads(text)
        del data[section][name]
        if name == "planning_seconds":
            assert parse_supply_policy(data, "without").planning_s == PLANNING_S
            continue
        with pytest.raises(SupplyPolicyError, match=name):
            parse_supply_policy(data, "without")
    data = tomllib.loads(text)
    del data["offcuts"]
    assert parse_supply_policy(data, "without").keep is None


def test_every_priced_column_is_explained() -> None:
    assert tuple(columns.meanings("priced_columns")) == PRICED_COLUMNS


def test_every_enquiry_column_is_listed() -> None:
    page = columns.enquiry()
    assert all(f"| `{name}` |" in page for name in COLUMNS)


def test_every_public_name_is_in_the_reference_once() -> None:
    page = api.public_names()
    for name in mc.__all__:
        assert page.count(f":: meshcore.{name}\n") == 1, name


def test_every_command_has_its_help() -> None:
    # The README's own table of commands is the other witness.
    readme = (rooms.ROOT / "README.md").read_text("utf-8")
    told = {line.split("`")[1] for line in readme.splitlines() if line.startswith("| `")}
    assert set(commands.listed()) == told
    page = commands.all_commands()
    assert all(f"usage: meshcore {name} " in page for name in told)


def test_every_code_is_on_the_page_of_messages_once() -> None:
    page = messages.codes()
    assert len(messages.by_code()) > 100
    assert [c for c in messages.by_code() if page.count(f"| `{c}` |") != 1] == []


def test_the_figure_names_every_room() -> None:
    from making.figure import svg  # noqa: PLC0415 - beside what it is about

    drawn = svg()
    for name in (name for row in rooms.rooms() for name in row if name not in _NOT_DRAWN):
        assert name in drawn


#: Neither is a room of the day: demonstration data and the way in from the command line.
_NOT_DRAWN = {"demo", "cli", "__main__"}


def test_every_made_part_stands_in_a_page() -> None:
    text = "".join(page.read_text("utf-8") for page in _pages())
    assert [name for name in pages.PARTS if f"<!-- made: {name} -->" not in text] == []


def test_every_page_fills() -> None:
    for page in _pages():
        assert "<!-- made:" not in pages.filled(page.read_text("utf-8"))


def test_the_first_page_s_example_runs(capsys: pytest.CaptureFixture[str]) -> None:
    page = (rooms.ROOT / "docs" / "index.md").read_text("utf-8")
    (example,) = _blocks(page, "python")
    exec(compile(example, "index.md", "exec"), {})  # the page's own example
    assert capsys.readouterr().out.startswith("ok 501.6")


def test_the_files_that_pages_show_are_read(tmp_path: Path) -> None:
    page = (rooms.ROOT / "docs" / "reference" / "price-book.md").read_text("utf-8")
    (tmp_path / "book.toml").write_text("\n".join(_blocks(page, "toml")), "utf-8")
    book = mc.read_price_book(tmp_path / "book.toml")
    assert [rate.name for rate in book.rates] == [
        "wire.metal for 304", "wire.scrap", "wire.scrap for twilled",
        "welding.machine", "welding.crossings_per_hour", "weaving.loom_change",
        "weaving.warp_waste", "weaving.ends_waste",
    ]  # fmt: skip


def _blocks(page: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", page, re.MULTILINE | re.DOTALL)


def test_links_to_files_at_the_root_lead_to_their_pages() -> None:
    written = "[a](../DEVELOPERS.md#habits) [b](../../CHANGELOG.md) [c](weaves.md)"
    held = "[a](developers.md#habits) [b](../changelog.md) [c](weaves.md)"
    assert pages.filled(written) == held


def _pages() -> list[Path]:
    return sorted((rooms.ROOT / "docs").rglob("*.md"))


def test_every_shape_has_its_sizes_and_an_example_that_is_read() -> None:
    rows = [row for row in columns.shapes().splitlines() if row.startswith("| `")]
    assert [row.split("`")[1] for row in rows] == list(shape_names())
    examples = [e for row in rows for e in re.findall("`([^`]*: [^`]*)`", row)]
    assert len(examples) > len(rows)
    assert [e for e in examples if not isinstance(read_shape("", e), Shape)] == []


def test_every_variable_of_the_environment_is_named() -> None:
    page = (rooms.ROOT / "docs" / "reference" / "command-line.md").read_text("utf-8")
    told = {line.split("`")[1] for line in page.splitlines() if line.startswith("| `MESHCORE_")}
    sources = (
        p for top in ("meshcore", "plugins", "apps") for p in (rooms.ROOT / top).rglob("*.py")
    )
    texts = (path.read_text("utf-8") for path in sources)
    named = {name for text in texts for name in re.findall(r'"(MESHCORE_[A-Z_]+)"', text)}
    assert {BOOK_VARIABLE, RECORDS_VARIABLE, OWN_WORDS} < named
    assert told == named
