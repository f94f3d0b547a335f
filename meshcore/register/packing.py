"""An estimate as it is filed, with the price book, policy and versions that it was priced with."""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import numpy as np

from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook
from meshcore.documents.cloth_lines import labels_of
from meshcore.reading.columns import cell_texts
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.words import line_words
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import SupplyPolicy, policy_from_values
from meshcore.weave.geometry.path import PathModel

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet


@dataclass(frozen=True, slots=True)
class SavedEstimate:
    """An estimate as it was saved.

    Parameters
    ----------
    id, title, note, saved_at
        What it is filed under, and when (UTC).
    enquiries
        The enquiry list, cells as text; it prices again with ``estimate_table(enquiries,
        price_book=book)``.
    priced
        The list with its priced columns, as they were then.
    items
        Cost items of all lines, as they were then.
    book
        The price book that it was priced with.
    policy, path_model, cutting
        The supply policy, the path rule and the cutting effort of the day.
    versions
        Distribution → version, of the library and of each plugin's; empty where it was not kept.
    """

    id: int
    title: str
    note: str
    saved_at: datetime
    enquiries: pd.DataFrame
    priced: pd.DataFrame
    items: pd.DataFrame
    book: PriceBook
    policy: SupplyPolicy
    path_model: PathModel
    cutting: CuttingEffort | None
    versions: dict[str, str]


def packed(
    estimates: EstimateSet, title: str, note: str = ""
) -> tuple[Head, dict[str, Any], list[FoundLine]]:
    """Return an estimate as it is filed: under what, what, and the lines it is found by."""
    ledger = estimates.ledger
    now = datetime.now(UTC)
    refused = estimates.log.refused()
    body = {
        "title": title,
        "note": note,
        "saved_at": now.isoformat(timespec="seconds"),
        "lines": len(estimates),
        "refused": int(refused.sum()),
        "book_name": estimates.book.name,
        "book_date": estimates.book.date.isoformat(),
        "book_toml": to_toml(estimates.book),
        "policy_json": json.dumps(dataclasses.asdict(estimates.policy), default=str),
        "settings_json": json.dumps(
            {
                "path_model": estimates.path_model,
                "cutting": dataclasses.asdict(estimates.cutting) if estimates.cutting else None,
                "versions": dict(estimates.versions),
            }
        ),
        "enquiries": _packed(estimates.enquiries),
        "priced": _packed(estimates.table),
        "items": _packed(estimates.cost_items()),
    }
    head = Head(
        day=now.date().isoformat(),
        title=title,
        currency=ledger.currency,
        digits=ledger.digits,
        total_minor=int(ledger.price_minor[estimates.totalled].sum()),
    )
    return head, body, found_lines(estimates)


def found_lines(estimates: EstimateSet) -> list[FoundLine]:
    """Return lines of an estimate with the words by which they are found."""
    cloth = estimates.orders.cloth
    own = [cell_texts(estimates.enquiries.iloc[:, n]) for n in range(estimates.enquiries.shape[1])]
    found: list[FoundLine] = []
    labels = labels_of(estimates)
    for row in range(len(estimates)):
        texts = [str(column[row]) for column in own if str(column[row]).strip()]
        place = int(cloth.alloy[row])
        alloy = cloth.alloys[place] if place >= 0 else None
        names = (alloy.designation, alloy.uns, alloy.en, *alloy.aliases) if alloy else ()
        sizes = [
            float(column[row])
            for column in (cloth.wire_diameter_m, cloth.aperture_m, cloth.width_m)
            if np.isfinite(column[row]) and column[row] > 0
        ]
        pitches = [float(cloth.pitch_m[row])] if np.isfinite(cloth.pitch_m[row]) else []
        words = line_words((*texts, *names), sizes, pitches)
        found.append(FoundLine(labels[row], " · ".join(texts), words))
    return found


def estimate_from(body: dict[str, Any], number: int = 0) -> SavedEstimate:
    """Return an estimate from what was filed of it."""
    settings = json.loads(body["settings_json"])
    cutting = settings["cutting"]
    return SavedEstimate(
        id=number,
        title=body["title"],
        note=body["note"],
        saved_at=datetime.fromisoformat(body["saved_at"]),
        enquiries=_unpacked(body["enquiries"]),
        priced=_unpacked(body["priced"]),
        items=_unpacked(body["items"]),
        book=from_toml(body["book_toml"], f"of estimate {number}" if number else "on file"),
        policy=policy_from_values(json.loads(body["policy_json"])),
        path_model=settings["path_model"],
        cutting=CuttingEffort(**cutting) if cutting else None,
        versions=settings.get("versions", {}),
    )


def _packed(frame: pd.DataFrame) -> str:
    """Frame as JSON, column by column; cells other than numbers as the text that they read as."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    columns = [frame.iloc[:, place] for place in range(frame.shape[1])]
    cells = [
        column.tolist() if pd.api.types.is_numeric_dtype(column.dtype) else list(cell_texts(column))
        for column in columns
    ]
    return json.dumps({"columns": [str(name) for name in frame.columns], "cells": cells})


def _unpacked(text: str) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    held = json.loads(text)
    frame = pd.DataFrame(dict(enumerate(held["cells"])))
    frame.columns = held["columns"]
    return frame
