"""Price of an order that is cut from one cloth, planned and not, in all and line by line."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import streamlit as st

from meshcore.costing.money import money_text
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.summary import ListTotals, list_totals
from meshcore.messages import Message
from meshcore.supply.cutting import CuttingPlan
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.slitting.plan import SlitPlan
from meshcore_estimator.cutting import cloth as cutting_cloth
from meshcore_estimator.cutting import drawings as cutting_drawings
from meshcore_estimator.shared import breakdown, result
from meshcore_estimator.shared.line import Line, asked
from meshcore_estimator.shared.numbers import NONE, converted, fixed, percent, short, size
from meshcore_estimator.shared.parts import (
    Cell,
    Markup,
    figures,
    lines,
    message_list,
    soft,
    status_word,
    table,
    tag,
)

SHARP = (
    "Cut edges are sharp, and corners of cut pieces more so: wear gloves, and say who will handle "
    "them, so that edges can be bound or deburred. The plan knows sizes only; look at grain, "
    "flatness and the cutter's own limits before cutting."
)


_NO_PRICE = "no price"


def title(estimates: EstimateSet, cloth: Line) -> str:
    """Return the worst status and the cloth in one line, as HTML."""
    totals = list_totals(estimates)
    worst = "refused" if totals.refused else "review" if totals.review else "ok"
    words = status_word(worst)
    if totals.refused and totals.refused < totals.lines:
        words = f"{totals.refused} of {totals.lines} lines refused"
    alloy = cloth.alloy.split(" · ")[0]
    subject = ", ".join(filter(None, (result.cloth(cloth), alloy)))
    return (
        f'<div class="mc-title">{tag(words, worst).html} <span>{lines(subject).html}</span></div>'
    )


def headline(whole: EstimateSet, planned: EstimateSet | None) -> None:
    """Draw the price with and without the plan, and how good the plan is."""
    without = list_totals(whole)
    if planned is None:
        st.html(figures((
            ("Price without planning", _price(without), _range(without)),
            ("Price with the plan", NONE, "not planned yet"),
            ("Mass delivered", _mass(without, "kg"), ""),
        )))  # fmt: skip
        return
    totals = list_totals(planned)
    cells = [
        (
            "Price of the lines priced" if totals.refused else "Price of the order",
            _price(totals),
            _range(totals),
        ),
        ("Without planning", _price(without), "each line in whole rows"),
    ]
    cells += [cell for plan in planned.plans for cell in _plan_figures(plan)]
    st.html(figures(cells))


def bar(estimates: EstimateSet, is_planned: bool) -> str:
    """Return what stays in sight on a narrow screen, as HTML."""
    totals = list_totals(estimates)
    kind = tag("planned", "ok") if is_planned else tag("not planned", "plain")
    return f'<div class="mc-bar"><b>{_price(totals)}</b>{kind.html}</div>'


def _price(totals: ListTotals) -> str:
    return money_text(totals.price, totals.currency, totals.digits) if _any(totals) else _NO_PRICE


def _mass(totals: ListTotals, unit: str = "") -> str:
    return fixed(totals.mass_kg, 1, unit) if _any(totals) else NONE


def _any(totals: ListTotals) -> bool:
    """Whether any line has a price."""
    return totals.refused < totals.lines


def _range(totals: ListTotals) -> str:
    if not _any(totals):
        return NONE
    if totals.price_min == totals.price_max:
        return result.FIRM
    most = money_text(totals.price_max, totals.currency, totals.digits)
    return f"{_money(totals.price_min, totals)} to {most}"


def _plan_figures(plan: CuttingPlan) -> Iterable[tuple[str, str, str]]:
    match plan.layout:
        case SlitPlan() as slit:
            yield "Cloth bought", fixed(slit.area_m2, 2, "m²"), _rolls(slit)
            yield "Yield", percent(slit.yield_share), "of it is ordered"
            area = fixed(slit.bound, 2, "m²")
            bound = f"the least is what {area} of the narrowest cloth cost"
            yield "Above the least possible", percent(slit.gap), bound
        case NestPlan() as nest:
            length = fixed(nest.length_m, 3, "m")
            width = size(converted(nest.width_m, "m", "mm"), "mm")
            yield "Cloth bought", fixed(nest.area_m2, 3, "m²"), f"{length} of {width}"
            per_metre = f"{short(nest.count_per_metre, 3)} pieces per metre"
            yield "Yield", percent(nest.yield_share), per_metre
            bound = f"this width needs {fixed(nest.bound_m, 3, 'm')} at the least"
            yield "Above the least possible", percent(nest.gap), bound


def _rolls(plan: SlitPlan) -> str:
    rolls = f"{plan.roll_count} {'roll' if plan.roll_count == 1 else 'rolls'}"
    if not plan.part_roll_count:
        return rolls
    which = "" if plan.part_roll_count == plan.roll_count else f", {plan.part_roll_count}"
    return f"{rolls}{which} of part length"


def by_line(whole: EstimateSet, planned: EstimateSet | None) -> None:
    """Draw what each line costs, with the plan and without."""
    st.header("Prices line by line", anchor=False)
    shown = whole if planned is None else planned
    totals, without = list_totals(shown), list_totals(whole)
    table_now, table_whole = shown.table, whole.table
    rows: list[tuple[Cell, ...]] = []
    for number in range(len(shown)):
        line, before = Line(shown, table_now, number), Line(whole, table_whole, number)
        rows.append((
            line.name,
            what(shown, number),
            asked(shown, number, "quantity"),
            _money(line["price"], totals),
            _money(line["unit_price"], totals),
            _money(before["price"], totals),
            fixed(line["net_area_m2"], 2),
            fixed(line["gross_area_m2"], 2),
            fixed(line["mass_kg"], 1),
        ))  # fmt: skip
    currency = f"[{totals.currency}]"
    headings: tuple[str, ...]
    foot: tuple[str, ...]
    headings = ("Line", "What", "Quantity", f"Price {currency}", f"Each {currency}",
                f"Whole rows {currency}", "Delivered [m²]", "Cloth [m²]", "Mass [kg]")  # fmt: skip
    foot = ("Order", "", "", _price(totals).removesuffix(f" {totals.currency}"), "",
            _price(without).removesuffix(f" {totals.currency}"), "", "", _mass(totals))  # fmt: skip
    if planned is None:
        rows = [row[:5] + row[6:] for row in rows]
        headings, foot = headings[:5] + headings[6:], foot[:5] + foot[6:]
    numeric = range(2, len(headings))
    st.html(table(headings, rows, numeric=numeric, foot=(foot,), wide=True))


def cost_items(estimates: EstimateSet) -> None:
    """Draw the cost items of one line, which the user chooses."""
    listed = estimates.table
    priced = [Line(estimates, listed, n) for n in np.flatnonzero(~estimates.log.refused()).tolist()]
    if not priced:
        return
    names = {line.number: f"Line {line.name}: {what(estimates, line.number)}" for line in priced}
    with st.expander("Cost items", icon=":material/receipt_long:", key="cutting_items"):
        chosen: int = st.selectbox(
            "Of which line", list(names), format_func=names.__getitem__, key="cutting_items_of",
            label_visibility="collapsed",
        )  # fmt: skip
        breakdown.cost_items(Line(estimates, listed, chosen))


def what(estimates: EstimateSet, number: int) -> str:
    """Name a strip or a piece as it was asked for."""
    sizes = [asked(estimates, number, name) for name in ("width", "length")]
    if any(sizes):
        return " × ".join(text or "?" for text in sizes)
    shape, dimensions = (asked(estimates, number, name) for name in ("shape", "dimensions"))
    if shape == cutting_drawings.SHAPE:
        return f"drawing {cutting_drawings.piece_name(dimensions)}"
    return ": ".join(filter(None, (shape, dimensions)))


def _money(amount: float, totals: ListTotals) -> str:
    return money_text(float(amount), "", totals.digits).strip()


def said(estimates: EstimateSet, grave: bool) -> str:
    """Return what is said of the lines, but not of their cloth, as HTML; the same thing once.

    Parameters
    ----------
    estimates
        The priced order.
    grave
        Whether to return refusals and reviews; or else the notes.
    """
    names: dict[Message, list[str]] = {}
    for number, messages in estimates.log.by_line().items():
        for message in messages:
            if message.field not in cutting_cloth.FIELDS and (message.severity != "note") == grave:
                name = asked(estimates, number, "line")
                names.setdefault(message, []).append(name)
    rows = [
        (_which(of, len(estimates)), Markup(message_list([_readable(message)])) if grave
         else message.text[:1].upper() + message.text[1:])
        for message, of in names.items()
    ]  # fmt: skip
    return table((), rows) if rows else ""


def _which(names: list[str], count: int) -> Cell:
    return soft("all lines" if len(names) == count > 1 else f"line {', '.join(names)}")


def _readable(message: Message) -> Message:
    read, text = map(cutting_drawings.without_folder, (message.read, message.text))
    return Message(message.field, read, text, message.severity, code=message.code)
