"""The check of a built site's links finds what is broken."""

from __future__ import annotations

from pathlib import Path

import pytest
from making.links import check


@pytest.fixture
def site(tmp_path: Path) -> Path:
    (tmp_path / "inner").mkdir()
    (tmp_path / "index.html").write_text(
        '<a href="inner/page.html#here">there</a><a href="https://example.example/">out</a>'
        '<script src="site.js"></script>'
    )
    (tmp_path / "site.js").write_text("")
    (tmp_path / "inner" / "page.html").write_text('<h1 id="here"><a href="../index.html">up</a>')
    return tmp_path


def test_a_sound_site_passes_and_links_out_are_listed(site: Path) -> None:
    found = check(site)
    assert found.broken == []
    assert found.outside == {"https://example.example/"}
    assert found.checked == 3


@pytest.mark.parametrize(
    ("html", "said"),
    [
        ('<a href="gone.html">', "no such file"),
        ('<a href="inner/page.html#gone">', "no such place"),
        ('<a href="#gone">', "no such place"),
        ('<img src="gone.png">', "no such file"),
        ('<script src="https://example.example/x.js">', "from elsewhere"),
        ('<link href="//example.example/x.css">', "from elsewhere"),
        ('<a href="../outside.html">', "out of the site"),
    ],
)
def test_what_is_broken_is_found(site: Path, html: str, said: str) -> None:
    (site.parent / "outside.html").write_text("")
    (site / "more.html").write_text(html)
    (line,) = check(site).broken
    assert line.startswith("more.html")
    assert said in line
