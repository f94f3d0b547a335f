"""All that a page tells a person, and the figures that are nobody's business but the mill's."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pypdf
from streamlit.testing.v1 import AppTest

from meshcore.estimates.results import EstimateSet

#: A number as pages and files write it, with as many digits as tell it from a size or a count.
_NUMBER = re.compile(r"\d[\d,   ]*(?:\.\d+)?")
_MANY = 5


def numbers(text: str) -> set[str]:
    """Numbers of five digits and more in a text, however their thousands are parted."""
    bare = (re.sub(r"[,   ]", "", one) for one in _NUMBER.findall(text))
    return {one.rstrip("0").rstrip(".") if "." in one else one for one in bare
            if sum(c.isdigit() for c in one) >= _MANY}  # fmt: skip


def cost_figures(estimates: EstimateSet) -> set[str]:
    """Costs, amounts of items and rates of a list that are no price and no size of it."""
    items = estimates.cost_items()
    told = [*items["amount"], *items["rate"], *estimates.ledger.cost[estimates.ledger.priced]]
    of_costs = {text for n in told for text in numbers(f"{n:.2f} {n:.5g} {n!r}")}
    plain = estimates.table.drop(columns=["cost", "messages"])
    prices = [*plain["price"], *plain["price_min"], *plain["price_max"], *plain["unit_price"],
              *estimates.ledger.before_tax]  # fmt: skip
    everybodys = {text for n in prices for text in numbers(f"{n:.2f} {n:.5g} {n!r}")}
    return of_costs - everybodys - numbers(plain.to_csv())


@dataclass
class Shown:
    """What a walk through the app came by: texts, files and what its pages hold."""

    texts: list[str] = field(default_factory=list)
    files: dict[str, bytes] = field(default_factory=dict)

    def all_numbers(self) -> set[str]:
        held = "\n".join([*self.texts, *map(file_text, self.files.values())])
        return numbers(held)


def page_texts(app: AppTest) -> Iterator[str]:
    """Every element of a page as it is sent to the browser, with tables as text."""
    for element in _elements(app._tree):
        yield str(getattr(element, "proto", ""))
        value = getattr(element, "value", None) if element.type == "arrow_data_frame" else None
        if value is not None:
            yield value.to_csv()


def _elements(block: Any) -> Iterator[Any]:
    for child in block.children.values():
        if hasattr(child, "children"):
            yield from _elements(child)
        else:
            yield child


def file_text(content: bytes) -> str:
    """All text of a file that was taken away."""
    if content.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            return "\n".join(packed.read(name).decode("utf-8", "replace")
                             for name in packed.namelist())  # fmt: skip
    if content.startswith(b"%PDF"):
        return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages)
    return content.decode("utf-8", "replace")


def taken(data: object) -> bytes:
    """The bytes that a download button gives."""
    made: Any = data() if callable(data) else data
    if isinstance(made, str):
        return made.encode()
    return bytes(made.read() if hasattr(made, "read") else made)


def estimates_held(state: object, depth: int = 6) -> Iterator[EstimateSet]:
    """Every priced list that hangs on something that a server holds for a person."""
    if isinstance(state, EstimateSet):
        yield state
        return
    if depth == 0 or isinstance(state, (str, bytes, int, float, np.ndarray)):
        return
    if isinstance(state, dict):
        inner: list[object] = list(state.values())
    elif isinstance(state, (list, tuple, set, frozenset)):
        inner = list(state)
    else:
        fields_ = getattr(type(state), "__dataclass_fields__", None)
        inner = [getattr(state, name, None) for name in fields_ or ()]
    for one in inner:
        yield from estimates_held(one, depth - 1)
