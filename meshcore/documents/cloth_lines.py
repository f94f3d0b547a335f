"""Lines of a document from a priced list: the cloth in trade sizes, and its price."""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import cache
from importlib import resources

import numpy as np

from meshcore.costing.money import from_minor, to_minor
from meshcore.documents.buyers_words import cells_of, counted_by, own_text, thinks_in_inches
from meshcore.documents.facts import ClothLine, PriceBreak
from meshcore.documents.open_points import LineDoubts, line_doubts
from meshcore.enquiry import FORMS, PIECE, WELDED
from meshcore.estimates.reasons import quantity_curve
from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message
from meshcore.reading.texts import is_blank, read_text
from meshcore.supply.shapes.texts import read_shape
from meshcore.weave.cloth import WEAVES

#: Columns that say what is asked for, in the order of reading.
_ASKED = ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave", "alloy", "form",
          "shape", "dimensions", "width", "length", "services", "note")  # fmt: skip


def asked_text(estimates: EstimateSet, row: int) -> str:
    """Return what a line asks for, as typed."""
    texts = [cells_of(estimates, name)[row].strip() for name in _ASKED]
    return " · ".join(text for text in texts if not is_blank(text))


def labels_of(estimates: EstimateSet) -> list[str]:
    """Return what each line is called: its own line text, or its place; no two alike."""
    own = cells_of(estimates, "line")
    labels: list[str] = []
    for row, text in enumerate(own):
        name = str(row + 1) if is_blank(text) else text.strip()
        tries = (name, *(f"{name}-{n}" for n in range(2, len(own) + 2)))
        labels.append(next(one for one in tries if one not in labels))
    return labels


def cloth_lines(
    estimates: EstimateSet,
    rows: Sequence[int],
    breaks: Sequence[int] = (),
    role: str = "asked",
    confirmed: Collection[str] = (),
) -> list[ClothLine]:
    """Return lines of a priced list that have a price.

    Parameters
    ----------
    estimates
        The priced list.
    rows
        Row numbers, none of them refused.
    breaks
        Quantities whose prices are told too.
    role
        As in `ClothLine`.
    confirmed
        Labels of lines whose doubts whoever quotes has settled.
    """
    cells = {name: cells_of(estimates, name) for name in (*_ASKED, "quantity")}
    labels = labels_of(estimates)
    references, wishes = (own_text(estimates, what) for what in ("reference", "wanted_by"))
    doubts = line_doubts(estimates)
    lines: list[ClothLine] = []
    for row in rows:
        line = _line(estimates, row, labels[row], cells, breaks, role)
        doubt = doubts.get(row, LineDoubts())
        lines.append(
            replace(
                line, services=tuple(s for s in line.services if s not in doubt.left_out),
                reference=references[row], wanted_by=wishes[row],
                not_included=doubt.not_included,
                to_confirm=() if labels[row] in confirmed else doubt.to_confirm,
            )
        )  # fmt: skip
    return lines


def _line(
    estimates: EstimateSet,
    row: int,
    label: str,
    cells: Mapping[str, Sequence[str]],
    breaks: Sequence[int],
    role: str,
) -> ClothLine:
    orders, cloth, ledger = estimates.orders, estimates.orders.cloth, estimates.ledger
    alloy = cloth.alloys[int(cloth.alloy[row])]
    form = int(orders.form[row])
    quantity = round(float(orders.quantity[row]))
    price = int(ledger.price_minor[row])
    unit = to_minor(from_minor(np.array([float(price)]), ledger.digits) / quantity, ledger.digits)
    policy = estimates.policy
    tolerance = (policy.rolls, policy.strips, policy.pieces)[form]
    own = {name: texts[row].strip() for name, texts in cells.items()}
    width, length = _sizes(estimates, row, own)
    texts = [own[name] for name in _ASKED if not is_blank(own[name])]
    return ClothLine(
        label=label,
        asked=" · ".join(texts),
        pitch_m=float(cloth.pitch_m[row]),
        wire_m=float(cloth.wire_diameter_m[row]),
        aperture_m=float(cloth.aperture_m[row]),
        open_area=float(cloth.open_area[row]),
        weave=WEAVES[int(cloth.weave[row])],
        alloy=alloy.designation,
        uns=alloy.uns,
        en=alloy.en,
        family=alloy.family,
        form=FORMS[form],
        width_m=width,
        length_m=length,
        sizes_text=_piece_text(own) if form == PIECE else "",
        inches_first=thinks_in_inches(estimates, own),
        quantity=quantity,
        unit_minor=int(unit[0]),
        amount_minor=price,
        net_mass_kg=float(orders.net_mass_kg[row]),
        packages=max(1, round(float(orders.roll_count[row]))),
        under=(tolerance.length_under, tolerance.width_under),
        over=(tolerance.length_over, tolerance.width_over),
        services=tuple(name for name, lines in orders.services.items() if lines[row]),
        tariff=tariff_heading(alloy.family, int(cloth.weave[row]) == WELDED),
        breaks=tuple(
            one
            for one in _breaks(estimates, row, breaks)
            # What the line itself says need not be said again; in an order with others it may cost
            # another price than by itself.
            if (one.quantity, one.unit_minor) != (quantity, int(unit[0]))
        ),
        role=role,
        counted_by=counted_by(own),
        shape=own["shape"] if form == PIECE else "",
        dimensions=own["dimensions"] if form == PIECE else "",
    )


def _breaks(estimates: EstimateSet, row: int, quantities: Sequence[int]) -> tuple[PriceBreak, ...]:
    if not quantities:
        return ()
    curve = quantity_curve(estimates, row, quantities)
    digits = estimates.ledger.digits
    pairs = zip(curve["quantity"], curve["unit_price"], strict=True)
    return tuple(
        PriceBreak(int(n), int(to_minor(np.array([price]), digits)[0]))
        for n, price in pairs
        if np.isfinite(price)
    )


def _sizes(estimates: EstimateSet, row: int, own: Mapping[str, str]) -> tuple[float, float]:
    """Width and length of one roll or strip; the box around one piece [m]."""
    orders = estimates.orders
    each_m2 = float(orders.net_area_m2[row] / orders.quantity[row])
    if orders.form[row] != PIECE:
        width = float(orders.cloth.width_m[row])
        return width, each_m2 / width
    shape = read_shape(own["shape"], own["dimensions"])
    if isinstance(shape, Message):
        # Sides in columns of their own: what is typed there was read when the list was priced.
        width = _read_m(own["width"], "width")
        return (width, each_m2 / width) if width > 0 else (0.0, 0.0)
    first, second = shape.size_m
    return float(first), float(second)


def _read_m(text: str, field: str) -> float:
    read = read_text(text, "length", field)
    return 0.0 if isinstance(read, Message) else read.value


def _piece_text(own: Mapping[str, str]) -> str:
    sizes = own["dimensions"] or " × ".join(t for t in (own["width"], own["length"]) if t)
    return " ".join(text for text in (own["shape"], sizes) if text)


@cache
def _headings() -> tuple[Mapping[str, str], Mapping[str, str]]:
    file = resources.files("meshcore.documents").joinpath("customs.toml")
    woven: dict[str, str] = {}
    welded: dict[str, str] = {}
    for heading in tomllib.loads(file.read_text("utf-8"))["heading"]:
        for family in heading["families"]:
            woven[family], welded[family] = heading["woven"], heading["welded"]
    return woven, welded


def tariff_heading(family: str, is_welded: bool) -> str:
    """Return the customs tariff heading of cloth, to be checked; empty where none is known.

    Examples
    --------
    >>> tariff_heading("austenitic stainless steel", False), tariff_heading("tin", False)
    ('7314.14', '')
    """
    return _headings()[is_welded].get(family, "")
