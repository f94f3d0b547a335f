"""The page for importing programs runs as it stands, and its web handler answers."""

from __future__ import annotations

import asyncio
import json
import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from fenced import fenced

import meshcore as mc

httpx = pytest.importorskip("httpx") if os.environ.get("CI") != "true" else __import__("httpx")


@pytest.fixture(scope="module")
def page(project_root: Path) -> Path:
    return project_root / "docs" / "from-a-program.md"


@pytest.fixture(scope="module")
def names(page: Path) -> dict[str, Any]:
    """What the page's Python leaves behind, run from top to bottom."""
    if os.environ.get("CI") != "true":
        pytest.importorskip("fastapi")
    held: dict[str, Any] = {}
    for number, code in enumerate(fenced(page, "python")):
        exec(compile(code, f"{page.name}:{number}", "exec"), held)
    return held


def posted(names: dict[str, Any], body: object) -> Any:
    async def post() -> Any:
        way = httpx.ASGITransport(app=names["app"])
        async with httpx.AsyncClient(transport=way, base_url="http://mill.example") as client:
            return await client.post("/estimates", json=body)

    # A thread of its own: the browser tests of the same process keep an event loop in this one.
    with ThreadPoolExecutor(1) as elsewhere:
        return elsewhere.submit(lambda: asyncio.run(post())).result()


def test_the_page_says_what_it_prints(
    names: dict[str, Any], capsys: pytest.CaptureFixture[str], page: Path
) -> None:
    exec(fenced(page, "python")[0], {})
    printed = capsys.readouterr().out
    assert "EUR" in printed
    assert "['wire.gauge_ambiguous']" in printed
    assert "2 refused (2, " in printed
    assert names["held"]["lines"][1]["price"] is None


def test_the_handler_is_of_five_lines(page: Path) -> None:
    [handler] = [code for code in fenced(page, "python") if "FastAPI()" in code]
    assert len([line for line in handler.splitlines() if line.strip()]) == 5


def test_the_handler_prices_the_body_of_the_page(names: dict[str, Any], page: Path) -> None:
    [body] = map(json.loads, fenced(page, "json"))
    answer = posted(names, body)
    assert answer.status_code == 200
    strip = mc.Strip("2 in", "100 ft")
    asked = mc.Enquiry(
        mesh_count="10 / in", wire_diameter="0.025 in", alloy="304", form=strip, quantity=40
    )
    assert answer.json() == mc.estimate(asked).to_dict()
    assert answer.json()["price"] > 0


def test_a_line_that_cannot_be_priced_is_answered(names: dict[str, Any]) -> None:
    answer = posted(names, {"mesh_count": "10 / in", "wire_diameter": "16 ga", "alloy": "304"})
    assert answer.status_code == 200
    assert answer.json()["status"] == "refused"
    assert {m["code"] for m in answer.json()["messages"]} >= {
        "wire.gauge_ambiguous",
        "form.missing",
    }


@pytest.mark.parametrize(
    "wrong",
    [
        {"wire_diametre": "0.025 in"},
        {"form": {"width": "48 in", "length": "100 ft"}},
        {"form": {"kind": "roll", "width": "48 in", "lenght": "100 ft"}},
        {"form": {"kind": "coil", "width": "48 in"}},
    ],
)
def test_a_body_that_would_be_misread_is_refused(
    names: dict[str, Any], wrong: dict[str, object]
) -> None:
    body = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}
    assert posted(names, body | wrong).status_code == 422
