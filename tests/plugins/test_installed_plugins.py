"""Strangers' plugins, installed by pip into an environment of their own, beside the project.

One is well behaved; the others raise at import, raise in their rules, return nonsense, leave the
program or do not end. Each
fault is named, and what the rest of the program computes stays as it was.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from environments import Environment, build_wheel, make_environment

pytestmark = pytest.mark.install

DISTRIBUTIONS = Path(__file__).parent / "distributions"
PLUGINS = ("fellside-extras", "fails-at-import", "raises-in-rule", "returns-nonsense",
           "leaves-and-lingers")  # fmt: skip
NEW_ALLOY = "fellside 18-9"
#: 10 ft of 48 in cloth at 4.20 EUR/m², the rate in BOOK_EXTRAS: 1.2192 m · 3.048 m · 4.20.
RINSE_CHARGE = 15.61
CLOTH = ("--mesh-count", "10/in", "--wire", "0.025 in", "--roll", "48 in x 10 ft")
#: What a mill adds to its book for the good plugin; the rates are invented.
BOOK_EXTRAS = """
[[rates]]
key = "wire.metal"
alloy = "fellside 18-9"
amount = 5.5
currency = "EUR"
unit = "kg"
date = 2026-10-01
note = "invented for the tests"

[[rates]]
key = "fellside.rinse"
amount = 4.20
currency = "EUR"
unit = "m2"
date = 2026-10-01
note = "invented for the tests"
"""
#: Each fault that the bad plugins must be named with: plugin, and a word of what it did.
LOAD_AND_HOOK_FAULTS = (
    ("fails_at_import", "the library this plugin was built on is gone"),
    ("returns_nonsense", "meshcore_alloys"),
    ("returns_nonsense", "meshcore_services"),
)
RULE_FAULTS = (
    ("raises_in_rule", "the loom was set to no picks at all"),
    ("raises_in_rule", "no such loom"),
    ("returns_nonsense", "rule that chats"),
    ("returns_nonsense", "rule of three lines"),
    ("returns_nonsense", "weave rule that shrugs"),
    ("leaves_and_lingers", "SystemExit: 3"),
    ("leaves_and_lingers", "rule that lingers"),
    ("leaves_and_lingers", "cannot set WRITEABLE flag"),
    ("leaves_and_lingers", "rule of words"),
)


@pytest.fixture(scope="module")
def wheels(tmp_path_factory: pytest.TempPathFactory, wheel: Path) -> list[Path]:
    """Wheels of the project and of each plugin, the project's first."""
    sources = [DISTRIBUTIONS / name for name in PLUGINS]
    return [wheel, *(build_wheel(each, tmp_path_factory.mktemp("wheel")) for each in sources)]


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory, wheels: list[Path]) -> Environment:
    """An environment with the project alone."""
    return make_environment(tmp_path_factory.mktemp("bare") / "env", wheels[:1])


@pytest.fixture(scope="module")
def crowded(tmp_path_factory: pytest.TempPathFactory, wheels: list[Path]) -> Environment:
    """An environment with the project and all the plugins, good and bad."""
    return make_environment(tmp_path_factory.mktemp("crowded") / "env", wheels)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory, project_root: Path) -> Path:
    """The demonstration book with rates for the good plugin."""
    path = tmp_path_factory.mktemp("book") / "book.toml"
    demo = (project_root / "demo_data" / "price_book.toml").read_text(encoding="utf-8")
    path.write_text(demo + BOOK_EXTRAS, encoding="utf-8")
    return path


def _assert_named(text: str, faults: tuple[tuple[str, str], ...]) -> None:
    lines = text.splitlines()
    for plugin, what in faults:
        assert any(plugin in line and what in line for line in lines), (plugin, what, text)


def _prices(env: Environment, book: Path, enquiries: Path, suffix: str) -> pd.DataFrame:
    output = env.folder / f"priced{suffix}"
    env.output("-m", "meshcore", "price", str(enquiries), "-o", str(output), "--book", str(book))
    return pd.read_csv(output, dtype=str, keep_default_na=False)


def test_plugins_command_lists_the_good_and_names_the_bad(crowded: Environment) -> None:
    listed = crowded.output("-m", "meshcore", "plugins")
    assert "fellside_extras  (fellside-extras 1.0.0)" in listed
    assert NEW_ALLOY in listed
    assert "fellside rinse" in listed
    _assert_named(listed, LOAD_AND_HOOK_FAULTS)


def test_bundled_plugins_are_the_same_with_or_without_strangers(
    bare: Environment, crowded: Environment
) -> None:
    script = """
import json
from meshcore.plugins import installed
bundled = [r for r in installed().records if r.distribution == "wirecloth-meshcore"]
print(json.dumps({r.name: r.hooks for r in bundled}))
"""
    alone = bare.evaluate(script)
    assert "alloys-stainless" in alone
    assert crowded.evaluate(script) == alone


def test_estimate_command_prices_the_new_alloy_by_the_new_rule(
    crowded: Environment, book: Path
) -> None:
    printed = crowded.output(
        "-m", "meshcore", "estimate", *CLOTH, "--alloy", "FS-189", "--book", str(book)
    )
    (rinse,) = [line for line in printed.splitlines() if "fellside rinse" in line]
    assert rinse.endswith(f"{RINSE_CHARGE:.2f}")
    _assert_named(printed, RULE_FAULTS)


def test_without_the_plugin_the_alloy_is_refused(bare: Environment, book: Path) -> None:
    printed = bare.output(
        "-m", "meshcore", "estimate", *CLOTH, "--alloy", NEW_ALLOY, "--book", str(book)
    )
    assert f'alloy: read "{NEW_ALLOY}"' in printed
    assert "fellside rinse" not in printed


def test_python_finds_the_new_alloy_and_rule(crowded: Environment, book: Path) -> None:
    script = f"""
import json
import meshcore as mc
found = mc.estimate(
    mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy={NEW_ALLOY!r},
               form=mc.Roll(width="48 in", length="10 ft")),
    price_book=mc.read_price_book({str(book)!r}),
)
items = found.cost_items
print(json.dumps({{
    "density": found.density.to("kg/m**3").magnitude,
    "rinse": items.loc[items["label"] == "fellside rinse", "amount"].tolist(),
    "total": items["amount"].sum(), "price": found.price,
    "faults": [str(f) for f in found.estimates.faults],
}}))
"""
    got: dict[str, Any] = crowded.evaluate(script)
    assert got["density"] == 7900.0
    assert got["rinse"] == [RINSE_CHARGE]
    assert got["total"] == pytest.approx(got["price"], abs=1e-9)
    _assert_named("\n".join(got["faults"]), (*LOAD_AND_HOOK_FAULTS, *RULE_FAULTS))


def test_other_alloys_cost_the_same_among_bad_plugins(
    bare: Environment, crowded: Environment, book: Path, project_root: Path
) -> None:
    enquiries = project_root / "demo_data" / "enquiries.csv"
    alone = _prices(bare, book, enquiries, ".csv")
    among = _prices(crowded, book, enquiries, ".csv")
    assert (alone["price"] != "").sum() > 30
    assert not alone["messages"].str.contains("set aside").any()
    said = ["status", "messages"]
    pd.testing.assert_frame_equal(among.drop(columns=said), alone.drop(columns=said))
    refused = alone["status"] == "refused"
    assert (among.loc[refused, "status"] == "refused").all()
    assert not (among.loc[~refused, "status"] == "refused").any()


def test_each_priced_line_says_whose_cost_is_not_in_it(
    crowded: Environment, book: Path, project_root: Path
) -> None:
    among = _prices(crowded, book, project_root / "demo_data" / "enquiries.csv", ".csv")
    priced = among[among["status"] != "refused"]
    assert (priced["status"] == "review").all()
    for plugin in ("raises_in_rule", "returns_nonsense", "leaves_and_lingers"):
        assert priced["messages"].str.contains(plugin).all()


def test_app_offers_the_new_alloy_and_shows_its_cost(crowded: Environment, book: Path) -> None:
    script = f"""
import json, os
from pathlib import Path
os.environ.update(MESHCORE_ESTIMATOR_DEMO="1", MESHCORE_PRICE_BOOK={str(book)!r})
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash
import meshcore_estimator
script = Path(meshcore_estimator.__file__).parent / "app.py"
app = AppTest.from_file(str(script), default_timeout=120)
app._page_hash = calc_hash("enquiry")
app.run()
(alloys,) = [box for box in app.selectbox if box.label == "Alloy"]
alloys.select({NEW_ALLOY!r})
app.run()
print(json.dumps({{
    "offered": [option for option in alloys.options if option.startswith({NEW_ALLOY!r})],
    "exceptions": [error.message for error in app.exception],
    "shown": " ".join(element.proto.body for element in app.get("html")),
}}))
"""
    got: dict[str, Any] = crowded.evaluate(script)
    assert len(got["offered"]) == 1
    assert got["exceptions"] == []
    assert "fellside rinse" in got["shown"]
    assert "the loom was set to no picks at all" in got["shown"]
