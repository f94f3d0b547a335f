"""No page tells a visitor where on the server's disk a file lies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from streamlit.testing.v1 import AppTest

from meshcore.demo import DEMO_VARIABLE
from meshcore.register.connecting import REGISTER_VARIABLE

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def _quotations_page() -> None:
    from meshcore_estimator.quotations import page  # noqa: PLC0415 - run as a script of its own

    page.page()


def test_a_register_that_is_not_there_yet_is_told_by_its_name(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "mill.sqlite"))
    page = AppTest.from_function(_quotations_page, default_timeout=60).run()
    assert not page.exception
    told = " ".join([*(e.value for e in page.html), *(e.value for e in page.caption)])
    assert "Nothing is on file in mill.sqlite yet" in told
    assert str(tmp_path) not in told
