"""The handbook of uses: what an example shows it computes, and each figure is the library's."""

from __future__ import annotations

import doctest
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from fenced import fenced
from uses import generate

DOCS = Path(__file__).parents[2] / "docs"
PAGES = sorted((DOCS / "uses").glob("*.md"))


@pytest.mark.parametrize(
    "page", [DOCS / "uses.md", DOCS / "weaves.md", *PAGES], ids=lambda page: page.stem
)
def test_what_an_example_shows_it_computes(page: Path) -> None:
    examples = "\n".join(fenced(page, "pycon"))
    assert ">>>" in examples
    test = doctest.DocTestParser().get_doctest(examples, {}, page.name, str(page), 0)
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    said: list[str] = []
    assert runner.run(test, out=said.append).failed == 0, "".join(said)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_page_has_figure_formula_range_source_and_caution(page: Path) -> None:
    text = page.read_text("utf-8")
    assert f"({page.stem}.svg)" in text
    for part in ("**Formula.**", "**Range.**", "**Source.**", "**Caution.**"):
        assert part in text


@pytest.mark.parametrize("name", generate.FIGURES)
def test_every_figure_is_as_the_library_draws_it(name: str) -> None:
    kept = (DOCS / "uses" / name).read_text("utf-8")
    assert kept == generate.FIGURES[name]()
    ET.fromstring(kept)


def test_every_page_has_its_figure() -> None:
    assert {page.stem for page in PAGES} == {Path(name).stem for name in generate.FIGURES}
