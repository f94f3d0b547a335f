"""What the cloth looks like, how far its sizes may be off, and what its wires bear."""

from __future__ import annotations

import numpy as np
import streamlit as st

from meshcore.weave.cloth import take_cloth
from meshcore.weave.drawing.sheet import draw_cloth
from meshcore.weave.geometry.details import ClothDetails, cloth_details
from meshcore.weave.geometry.strength import CAUTION
from meshcore.weave.geometry.tolerances import APERTURE_STANDARDS
from meshcore_estimator.shared import charts, model_view, result
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import NONE, converted, percent, short, size
from meshcore_estimator.shared.parts import Cell, aside, lines, soft, table


def shape(line: Line, key: str) -> None:
    """Draw the cloth to scale, in plan and section or as a model; say why where it has no shape.

    Parameters
    ----------
    line
        The line.
    key
        Of the choice between the two.
    """
    cloth = line.estimates.orders.cloth
    weave, wire, pitch = (
        column[line.number] for column in (cloth.weave, cloth.wire_diameter_m, cloth.pitch_m)
    )
    if not np.isfinite(cloth.path_ratio[line.number]):
        if np.isfinite(wire) and np.isfinite(pitch):
            st.html(aside("No drawing: wires as heavy as these would pass through one another, "
                          "so the cloth has no shape to draw."))  # fmt: skip
        return
    sizes = (int(weave), float(wire), float(pitch))
    flat, solid = st.tabs(["Drawing", "Model"], key=key, on_change="rerun")
    if solid.open:
        with solid:
            model_view.draw(*sizes, f"Model of the cloth: {result.cloth(line)}", f"{key}_of")
        return
    with flat:
        picture = draw_cloth(*sizes, theme=charts.theme())
        st.image(picture, width="stretch", alt="Plan and section of the cloth, to scale")


def tolerances(line: Line) -> None:
    """Draw the tolerances of the sizes, what they do, and the breaking load with its caution."""
    row = np.array([line.number])
    details = cloth_details(take_cloth(line.estimates.orders.cloth, row))
    rows = [*_tolerance_rows(details), _load_row(details)]
    known = [row for row in rows if NONE not in row[1]]
    if not known:
        st.html(aside("Sizes have to be known first."))
        return
    st.html(table(("", "metric", "inch"), known, numeric=(1, 2)))
    if said := _not_covered(details, int(line.estimates.orders.cloth.weave[line.number])):
        st.html(aside(said))
    if rows[-1] in known:
        st.html(aside(CAUTION, "review"))


def _not_covered(details: ClothDetails, weave: int) -> str:
    """Say which tolerances are those of a standard that is not known here."""
    said = []
    if np.isnan(details.aperture_tolerance_m[0]):
        said.append(f"Aperture: not covered here, {APERTURE_STANDARDS[weave]} has its tolerance.")
    if np.isnan(details.wire_tolerance_m[0]):
        said.append("Wire: finer or heavier than EN 10218-2 is for; agree it with who draws it.")
    return " ".join(said)


_Row = tuple[Cell, str, str]


def _tolerance_rows(details: ClothDetails) -> list[_Row]:
    return [
        _way("Aperture, industrial cloth", "on the average; customary bands, and ISO 9044 "
             "governs where it is ordered", details.aperture_tolerance_m[0]),
        _way("Aperture, test-sieve cloth", "on the average; ISO 3310-1:2016, from memory",
             details.sieve_average_m[0]),
        _way("Any one of its apertures", "over nominal at most; the same standard",
             details.sieve_single_m[0], "+"),
        _way("Wire diameter", "EN 10218-2 class T4, from memory", details.wire_tolerance_m[0]),
        _ends("Open area", "at the industrial aperture and the wire tolerance",
              details.open_area_low[0], details.open_area_high[0]),
        _ends("Mass per area, of nominal", "at those tolerances",
              details.mass_share_low[0], details.mass_share_high[0]),
    ]  # fmt: skip


def _way(name: str, origin: str, metres: float, sign: str = "±") -> _Row:
    millimetres, inches = (converted(float(metres), "m", unit) for unit in ("mm", "inch"))
    return (
        lines(name, soft(origin)),
        f"{sign} {size(millimetres, 'mm', 2)}",
        f"{sign} {size(inches, 'in', 2)}",
    )


def _ends(name: str, origin: str, low: float, high: float) -> _Row:
    least = percent(float(low)).removesuffix(" %")
    return lines(name, soft(origin)), f"{least} to {percent(float(high))}", ""


def _load_row(details: ClothDetails) -> _Row:
    loads = [
        float(end[0]) for end in (details.breaking_load_low_n_m, details.breaking_load_high_n_m)
    ]
    metric, inch = (
        f"{' to '.join(short(converted(load, 'N/m', unit), 3) for load in loads)} {shown}"
        for unit, shown in (("kN/m", "kN/m"), ("lbf/inch", "lbf/in"))
    )
    return (
        lines("Breaking load per width", soft("of annealed wire, pulled along warp or shute")),
        metric,
        inch,
    )
