"""A quotation as plain data, as it is filed, and back."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from datetime import date
from typing import Any

from meshcore.documents.facts import (
    AskedPaper,
    AskedService,
    ClothLine,
    Doubt,
    OpenQuestion,
    Party,
    PriceBreak,
    Quotation,
    UnpricedLine,
)
from meshcore.documents.terms import Tax, Terms


def to_data(facts: Quotation) -> dict[str, Any]:
    """Return a quotation as plain data, as it is filed."""
    held = dataclasses.asdict(facts)
    ready = None if facts.ready is None else facts.ready.isoformat()
    days = {"day": facts.day.isoformat(), "valid_until": facts.valid_until.isoformat()}
    return held | days | {"ready": ready}


def line_from(held: Mapping[str, Any]) -> ClothLine:
    """Return a line from its plain data."""
    given = dict(held)
    for name in ("under", "over"):
        low, high = given[name]
        given[name] = (float(low), float(high))
    given["services"] = tuple(given["services"])
    # What was filed before these were told has none of them.
    given["not_included"] = tuple(given.get("not_included", ()))
    given["to_confirm"] = tuple(Doubt(**one) for one in given.get("to_confirm", ()))
    given["breaks"] = tuple(PriceBreak(**one) for one in given["breaks"])
    return ClothLine(**given)


def terms_from(held: Mapping[str, Any]) -> Terms:
    """Return terms from their plain data."""
    given = dict(held)
    given["taxes"] = tuple(Tax(one["name"], one["rate_pct"]) for one in given["taxes"])
    given["lines"], given["contact"] = tuple(given["lines"]), tuple(given["contact"])
    return Terms(**given)


def _service_from(held: Mapping[str, Any]) -> AskedService:
    given = dict(held)
    given["labels"], given["unknown"] = tuple(given["labels"]), tuple(given["unknown"])
    given["assumed"] = tuple((field, value, unit) for field, value, unit in given["assumed"])
    return AskedService(**given)


def from_data(held: Mapping[str, Any]) -> Quotation:
    """Return a quotation from its plain data."""
    given = dict(held)
    for name in ("day", "valid_until"):
        given[name] = date.fromisoformat(given[name])
    if given.get("ready") is not None:
        given["ready"] = date.fromisoformat(given["ready"])
    given["to"] = Party(tuple(given["to"]["lines"]), given["to"]["person"])
    for name in ("lines", "offers"):
        given[name] = tuple(line_from(one) for one in given[name])
    given["unpriced"] = tuple(UnpricedLine(**one) for one in given["unpriced"])
    given["questions"] = tuple(OpenQuestion(**one) for one in given["questions"])
    given["papers"] = tuple(
        AskedPaper(**{**one, "labels": tuple(one["labels"])}) for one in given.get("papers", ())
    )
    given["stands"] = tuple(_service_from(one) for one in given.get("stands", ()))
    given["terms"] = terms_from(given["terms"])
    return Quotation(**given)
