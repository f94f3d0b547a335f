"""What the cloth of a quotation must stand: as stated, and as taken where nothing was."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pandas as pd

from meshcore.alloys.comparison.assumptions import FIELD_WORDS
from meshcore.documents.cloth_lines import labels_of
from meshcore.documents.facts import AskedService
from meshcore.documents.wording import Words
from meshcore.enquiry import MUST_STAND
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.stated_services import StatedService, stated_services
from meshcore.messages import writable
from meshcore.reading.columns import cell_texts

#: Most places of a number as it is printed.
_PLACES = 2


def services_of(estimates: EstimateSet) -> tuple[StatedService | None, ...]:
    """Return what each line must stand; None where nothing is stated."""
    cells = estimates.orders.own.get(MUST_STAND)
    if cells is None:
        return (None,) * len(estimates)
    return stated_services(writable(text) for text in cell_texts(pd.Series(cells)))


def services_asked(estimates: EstimateSet, rows: Sequence[int]) -> tuple[AskedService, ...]:
    """List what lines must stand, lines with one service together."""
    labels = labels_of(estimates)
    together: dict[str, list[str]] = {}
    known: dict[str, StatedService] = {}
    stated = services_of(estimates)
    for row in rows:
        if (one := stated[row]) is not None:
            together.setdefault(one.text, []).append(labels[row])
            known[one.text] = one
    return tuple(_asked(known[text], lines) for text, lines in together.items())


def _asked(one: StatedService, labels: Sequence[str]) -> AskedService:
    return AskedService(
        labels=tuple(labels),
        text=" ".join(one.text.split()),
        assumed=tuple((field, value, FIELD_WORDS[field][1]) for field, value in one.assumed),
        unknown=one.unknown,
        is_read=one.service is not None,
    )


def service_texts(say: Words, stands: Iterable[AskedService]) -> list[str]:
    """Write each service for who asked: what was stated, what was taken, and what is to be told."""
    texts = []
    for one in stands:
        parts = [say.say("texts", "service_stated", text=say.quoted(one.text))]
        if not one.is_read:
            parts.append(say.say("texts", "service_unread"))
        if one.assumed:
            taken = "; ".join(_value(say, *held) for held in one.assumed)
            parts.append(say.say("texts", "service_assumed", list=taken))
        if one.unknown:
            asked = ", ".join(say.among("service", field) for field in one.unknown)
            parts.append(say.say("texts", "service_unknown", list=asked))
        key = say.of_lines("open", one.labels)
        texts.append(say.say("texts", key, line=", ".join(one.labels), text=" ".join(parts)))
    return [*texts, say.say("texts", "service_caution")] if texts else []


def _value(say: Words, field: str, value: float | str, unit: str) -> str:
    told = (
        say.among("service_values", value)
        if isinstance(value, str)
        else say.number(value, _PLACES, trim=True)
    )
    # Years are named by the field already.
    unit = "" if field == "years_wanted" else unit
    return f"{say.among('service', field)} {told} {unit}".strip()
