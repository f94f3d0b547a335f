"""One estimate on the screen: figures, specification, price and verdict, section by section."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.summary import path_comparison
from meshcore.messages import Message
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import NONE, converted, fixed, percent, short, size
from meshcore_estimator.shared.parts import (
    LABELS,
    Cell,
    Markup,
    aside,
    figures,
    lines,
    message_list,
    soft,
    status_word,
    table,
    tag,
)

#: What is said of a price that the delivery tolerances leave as it is.
FIRM = "at all delivery tolerances"
#: Sizes of a cloth, of which any two make the others.
_SIZES = frozenset({"mesh_count", "pitch", "aperture", "wire_diameter", "open_area"})


def title(line: Line, name: str = "") -> str:
    """Return status and subject of an estimate in one line, as HTML."""
    subject = ", ".join(filter(None, (cloth(line), line.alloy.split(" · ")[0])))
    return (
        f'<div class="mc-title">{tag(status_word(line.status), line.status).html} '
        f"<span>{lines(name + subject).html}</span></div>"
    )


def cloth(line: Line) -> str:
    """Name the cloth by count, wire and weave."""
    count, wire = short(line["mesh_count_per_in"]), size(line["wire_diameter_mm"], "mm")
    if NONE in (count, wire):
        return "Incomplete specification"
    return f"{count} mesh × {wire} {line['weave']}"


def subject(line: Line) -> str:
    """Name what is asked in one line: cloth, alloy, form, sizes and quantity."""
    cloth = [size(line["mesh_count_per_in"], "/ in"), size(line["wire_diameter_mm"], "mm")]
    sizes = [line.asked(name) for name in ("width", "length", "dimensions")]
    supply = (line.asked("form"), line.asked("shape"), " × ".join(filter(None, sizes)))
    quantity = line.asked("quantity")
    return ", ".join(filter(None, [
        " × ".join(cloth), line.alloy.split(" · ", maxsplit=1)[0], " ".join(filter(None, supply)),
        f"{quantity} off" if quantity else "",
    ]))  # fmt: skip


def headline(line: Line) -> None:
    """Draw the four figures that people look for first."""
    digits, currency = minor_digits(str(line["currency"])), str(line["currency"])

    def amount(column: str, unit: str = currency) -> str:
        return money_text(float(line[column]), unit, digits).strip()

    each, area = short(_quantity(line)), float(line["mass_per_area_kg_m2"])
    least, most = fixed(line["mass_min_kg"], 1), fixed(line["mass_max_kg"], 1, "kg")
    is_firm = line["price_min"] == line["price_max"]
    prices = FIRM if is_firm else f"{amount('price_min', '')} to {amount('price_max')}"
    cells = (
        ("Price", amount("price"), NONE if line.status == "refused" else prices),
        ("Price each", amount("unit_price"), NONE if each == NONE else f"of {each}"),
        ("Mass delivered", fixed(line["mass_kg"], 1, "kg"), _between(least, most)),
        ("Mass per area", fixed(area, 4, "kg/m²"), _lb_ft2(area)),
    )
    st.html(figures(cells))


def _between(low: str, high: str) -> str:
    return NONE if NONE in (low, high) else f"{low} to {high}"


def _known(rows: Iterable[tuple[Cell, ...]]) -> list[tuple[Cell, ...]]:
    """Leave out rows of which nothing is known."""
    return [row for row in rows if not set(row[1:]) <= {NONE, ""}]


def _quantity(line: Line) -> float:
    return float(line.estimates.orders.quantity[line.number])


def messages(line: Line, in_form: Collection[str] = ()) -> None:
    """Draw what there is to say of the line; nothing where there is nothing.

    Parameters
    ----------
    line
        The line.
    in_form
        Fields whose refusals and reviews stand below them: here they are only named.
    """
    beside = [m for m in line.messages if m.field in in_form and m.severity != "note"]
    if beside:
        beside = gravest(line, beside)
        named = ", ".join(dict.fromkeys(LABELS.get(m.field, m.field) for m in beside))
        grave = any(m.severity == "refused" for m in beside)
        st.html(aside(f"Look at {named} in the form.", "refused" if grave else "review"))
    if rest := [m for m in line.messages if m.field not in in_form or m.severity == "note"]:
        st.html(message_list(rest))


def gravest(line: Line, messages: Sequence[Message]) -> list[Message]:
    """Leave out what says again what a refusal has said.

    That is a doubt of a refused field, and what is said of a size that nobody wrote, where one that
    somebody wrote is refused: it only follows from that.
    """
    refused = {m.field for m in messages if m.severity == "refused"}
    follows = {name for name in _SIZES if not line.asked(name)}
    if not refused & (_SIZES - follows):
        follows = set()
    return [m for m in messages if m.field not in follows
            and (m.severity == "refused" or m.field not in refused)]  # fmt: skip


def completed(line: Line) -> dict[str, str]:
    """Return the value of each part of the specification, metric and inch, where it is known."""
    values = {
        "mesh_count": f"{size(line['mesh_count_per_in'], '/ in')}",
        "open_area": fixed(line["open_area_pct"], 1, "%"),
        **{
            field: _both(float(line[f"{field}_mm"]))
            for field in ("pitch", "aperture", "wire_diameter")
        },
    }
    known = {field: text for field, text in values.items() if NONE not in text}
    return known | ({"weave": f"{line['weave']}, by the sizes"} if "aperture" in known else {})


def _both(millimetres: float) -> str:
    inches = converted(millimetres, "mm", "inch")
    return f"{size(millimetres, 'mm')} ({size(inches, 'in')})"


def specification(line: Line) -> None:
    """Draw the completed specification, metric and inch side by side."""
    st.header("Specification", anchor=False)
    per_cm = converted(float(line["mesh_count_per_in"]), "1/inch", "1/cm")
    rows: list[tuple[Cell, ...]] = [
        (_named(line, "mesh_count"), size(per_cm, "/ cm"), size(line["mesh_count_per_in"], "/ in")),
        *(
            (
                _named(line, field),
                size(line[f"{field}_mm"], "mm"),
                size(converted(line[f"{field}_mm"], "mm", "inch"), "in"),
            )
            for field in ("wire_diameter", "aperture", "pitch")
        ),
        (
            "Thickness",
            size(line["thickness_mm"], "mm", 3),
            size(converted(line["thickness_mm"], "mm", "inch"), "in", 3),
        ),
        (_named(line, "open_area"), fixed(line["open_area_pct"], 1, "%"), ""),
        ("Weave", str(line["weave"]), ""),
        ("Alloy", line.alloy or NONE, ""),
        (
            "Density",
            fixed(line["density_kg_m3"], 0, "kg/m³"),
            size(converted(line["density_kg_m3"], "kg/m**3", "lb/inch**3"), "lb/in³"),
        ),
    ]
    st.html(table(("", "metric", "inch"), _known(rows), numeric=(1, 2)))


def _named(line: Line, field: str) -> Cell:
    label = LABELS[field]
    asked = line.asked(field)
    return Markup(f"{lines(label).html} {soft('as asked').html}") if asked else label


def mass_and_supply(line: Line) -> None:
    """Draw mass by both path rules, and the cloth delivered and consumed."""
    rows = _known(_mass_rows(line))
    if rows:
        st.header("Mass and cloth", anchor=False)
        st.html(table(("", "metric", "inch"), rows, numeric=(1, 2)))


def _mass_rows(line: Line) -> list[tuple[Cell, ...]]:
    compared = path_comparison(line.estimates)
    arc, flat, off = (float(column[line.number]) for column in compared)
    pounds = converted(float(line["mass_kg"]), "kg", "lb")
    low, high = (converted(float(line[f"mass_{end}_kg"]), "kg", "lb") for end in ("min", "max"))
    supply = line.estimates.supply
    rolls, part = (float(c[line.number]) for c in (supply.roll_count, supply.part_roll_count))
    return [
        ("Mass per area, arc path", fixed(arc, 4, "kg/m²"), _lb_ft2(arc)),
        (
            lines("Mass per area, flat 3 % rule", soft(f"{percent(off, 2, True)} against the arc")),
            fixed(flat, 4, "kg/m²"),
            _lb_ft2(flat),
        ),
        ("Wire per length of cloth", fixed(line["path_ratio"], 4), ""),
        ("Mass delivered", fixed(line["mass_kg"], 1, "kg"), fixed(pounds, 1, "lb")),
        (
            soft("at the delivery tolerances"),
            _between(fixed(line["mass_min_kg"], 1), fixed(line["mass_max_kg"], 1, "kg")),
            _between(fixed(low, 1), fixed(high, 1, "lb")),
        ),
        ("Area delivered", fixed(line["net_area_m2"], 3, "m²"), _ft2(line["net_area_m2"])),
        (
            lines("Cloth consumed", soft(f"yield {fixed(line['yield_pct'], 1, '%')}")),
            fixed(line["gross_area_m2"], 3, "m²"),
            _ft2(line["gross_area_m2"]),
        ),
        (
            lines("Stock width", soft(_rolls(rolls, part))),
            size(converted(supply.stock_width_m[line.number], "m", "mm"), "mm", 5),
            size(converted(supply.stock_width_m[line.number], "m", "inch"), "in"),
        ),
        (
            "Length used",
            size(float(supply.run_length_m[line.number]), "m", 5),
            size(converted(supply.run_length_m[line.number], "m", "foot"), "ft"),
        ),
    ]


def _lb_ft2(value: float) -> str:
    return fixed(converted(value, "kg/m**2", "lb/ft**2"), 4, "lb/ft²")


def _ft2(value: float) -> str:
    return fixed(converted(value, "m**2", "ft**2"), 1, "ft²")


def _rolls(rolls: float, part: float) -> str:
    if not rolls > 0:
        return ""
    text = f"{short(rolls)} roll{'' if rolls == 1 else 's'}"
    return f"{text}, {short(part)} of part length" if part > 0 else text
