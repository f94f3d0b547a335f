"""The mill's terms, sixty priced lines, and quotations made of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import pandas as pd
import pytest

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.facts import Quotation
from meshcore.documents.quotation import quotation
from meshcore.documents.terms import Terms, read_terms


@pytest.fixture(scope="session")
def terms() -> Terms:
    return read_terms(demo_data() / "terms.toml")


@pytest.fixture(scope="session")
def estimates() -> mc.EstimateSet:
    table = mc.read_list(demo_data() / "enquiries.csv").head(60)
    return mc.estimate_list(
        table, supply_policy=mc.read_supply_policy(demo_data() / "supply_policy.toml")
    )


def made(
    estimates: mc.EstimateSet, terms: Terms, language: str = "en", **more: object
) -> Quotation:
    given: dict[str, object] = {
        "to": ["Corrie Top Observatory", "The Dome"], "reference": "CTO/2026/51",
        "number": "Q2026-000017", "day": date(2026, 11, 25), "language": language,
    }  # fmt: skip
    return quotation(estimates, terms, **given | more)  # type: ignore[arg-type]


def quoted_line(
    terms: Terms, cells: Mapping[str, str] | None = None, book: mc.PriceBook | None = None
) -> Quotation:
    line = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft", "quantity": "2"}  # fmt: skip
    estimates = mc.estimate_list(pd.DataFrame([line | dict(cells or {})]), book)
    return quotation(estimates, terms, number="1", day=date(2026, 11, 25))
