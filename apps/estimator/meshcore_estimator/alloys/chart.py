"""Price against corrosion margin as a picture: verdicts, the Pareto front, and every name."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Hashable, Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from meshcore.alloys.methods.verdicts import VERDICTS
from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.money import minor_digits, money_text
from meshcore.weave.drawing.svg import Sheet, new_sheet
from meshcore_estimator.alloys.chart_ticks import margin_ticks, price_ticks
from meshcore_estimator.alloys.label_placement import Placed, place_labels
from meshcore_estimator.alloys.marks import RADIUS, class_of, shape
from meshcore_estimator.shared.numbers import short

#: Widths that the picture is drawn for [px]; ``page.css`` shows the one that fits.
WIDTHS = (940, 620, 350)
#: Height [px]: the least, by how much it grows where names find no room, and the most.
_LEAST_HEIGHT, _GROWTH, _MOST_HEIGHT = 420, 160, 900
#: Room around the plot [px]: prices on the left, margins below.
_LEFT, _RIGHT, _TOP, _BOTTOM = 62.0, 8.0, 30.0, 44.0
#: Size of names and of the words of the axes [px].
_NAME, _WORDS = 12.5, 12.0
#: Width and height of a name: a share of its size for each letter (the page's typeface has 0.5 on
#: average; a browser test holds the drawn names to it), and more for bold ones.
_LETTER, _LINE, _BOLD = 0.56, 1.15, 1.06
#: Room beyond the outermost points: steps of margin, and a share of the range of prices.
_MARGIN_ROOM, _PRICE_ROOM = 0.5, 0.06
#: Ring around the cheapest that meets, and room kept free around every mark [px].
_RING, _CLEAR = RADIUS + 3.0, RADIUS + 2.0


@dataclass(frozen=True, slots=True)
class Picture:
    """The picture at one width.

    Parameters
    ----------
    svg
        As SVG text that takes the ink of its page.
    placed
        Where the names stand, for the rows drawn.
    unnamed
        Alloys drawn for whose name there was no room: the page says who they are.
    """

    svg: str
    placed: Placed
    unnamed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Axes:
    """From margins and prices to places on the sheet; prices go up by ratio."""

    width: float
    height: float
    margins: tuple[float, float]
    log_prices: tuple[float, float]

    def x(self, margin: FloatArray) -> FloatArray:
        low, high = self.margins
        return _LEFT + (margin - low) / (high - low) * (self.width - _LEFT - _RIGHT)

    def y(self, price: FloatArray) -> FloatArray:
        low, high = self.log_prices
        share = (np.log(price) - low) / (high - low)
        return self.height - _BOTTOM - share * (self.height - _TOP - _BOTTOM)


def methods(table: pd.DataFrame) -> list[str]:
    """Methods that gave margins to alloys with a price, that of the most alloys first."""
    found: list[str] = table["margin_method"][_both(table)].value_counts().index.tolist()
    return found


def can_be_drawn(table: pd.DataFrame, method: str = "") -> BoolArray:
    """Alloys that have both a price and a corrosion margin, by one method.

    Parameters
    ----------
    table
        From `meshcore.compare_alloys`.
    method
        Method of the margins, since those of two do not compare; that of the most alloys where
        it is not among `methods`.
    """
    known = methods(table)
    drawn = method if method in known else next(iter(known), "")
    both: BoolArray = _both(table) & (table["margin_method"] == drawn).to_numpy(dtype=np.bool_)
    return both


def _both(table: pd.DataFrame) -> BoolArray:
    margin = table["corrosion_margin"].to_numpy(dtype=np.float64)
    both: BoolArray = table["price"].notna().to_numpy(dtype=np.bool_) & np.isfinite(margin)
    return both


def pictures(table: pd.DataFrame, shown: BoolArray, method: str = "") -> list[Picture]:
    """Draw the picture at each of ``WIDTHS``.

    Parameters
    ----------
    table
        From `meshcore.compare_alloys`, with at least one alloy that `can_be_drawn`.
    shown
        Rows to draw; axes and front are those of the whole table, so that they stay put.
    method
        As for `can_be_drawn`.
    """
    return [picture(table, shown, width, method) for width in WIDTHS]


def picture(table: pd.DataFrame, shown: BoolArray, width: int, method: str = "") -> Picture:
    """Draw the picture at one width, as high as its names need."""
    drawn = can_be_drawn(table, method)
    whole = table[drawn]
    rows = table[drawn & shown]
    axes, placed = _fit(whole, rows, width)
    unnamed = tuple(map(str, rows["alloy"][~placed.is_placed]))
    sheet = new_sheet(axes.width, axes.height, _TITLE, _description(rows, whole), "inherit")
    _draw_axes(sheet, axes, whole)
    _draw_front(sheet, axes, whole)
    _draw_points(sheet, axes, rows, placed)
    return Picture(sheet.write(), placed, unnamed)


_TITLE = "Price of the order against corrosion margin"


def _description(rows: pd.DataFrame, whole: pd.DataFrame) -> str:
    front = ", ".join(whole["alloy"][whole["on_front"]])
    return f"{len(rows)} alloys with a price and a margin. On the front: {front or 'none'}."


def _fit(whole: pd.DataFrame, rows: pd.DataFrame, width: int) -> tuple[_Axes, Placed]:
    sizes = np.column_stack(
        [
            [
                len(name) * _LETTER * _NAME * (_BOLD if bold else 1.0)
                for name, bold in zip(rows["alloy"], rows["on_front"], strict=True)
            ],
            np.full(len(rows), _NAME * _LINE),
        ]
    ).reshape(-1, 2)
    gravity = rows["verdict"].map({v: float(n) for n, v in enumerate(VERDICTS, start=2)})
    rank = np.where(rows["cheapest_that_meets"], 0.0, np.where(rows["on_front"], 1.0, gravity))
    for height in range(_LEAST_HEIGHT, _MOST_HEIGHT + 1, _GROWTH):
        axes = _axes(whole, width, height)
        points = np.column_stack([axes.x(_margins(rows)), axes.y(_prices(rows))])
        room = (_LEFT + 2.0, 4.0, width - 1.0, height - _BOTTOM - 2.0)
        placed = place_labels(points, sizes, room, _CLEAR, rank)
        if placed.is_placed.all():
            break
    return axes, placed


def _axes(whole: pd.DataFrame, width: int, height: int) -> _Axes:
    margin, log_price = _margins(whole), np.log(_prices(whole))
    spread = max(float(np.ptp(log_price)), np.log(1.5))
    return _Axes(
        width=float(width),
        height=float(height),
        margins=(
            min(float(margin.min()), 0.0) - _MARGIN_ROOM,
            max(float(margin.max()), 0.0) + _MARGIN_ROOM,
        ),
        log_prices=(
            float(log_price.min()) - _PRICE_ROOM * spread,
            float(log_price.max()) + _PRICE_ROOM * spread,
        ),
    )


def _margins(rows: pd.DataFrame) -> FloatArray:
    return rows["corrosion_margin"].to_numpy(dtype=np.float64)


def _prices(rows: pd.DataFrame) -> FloatArray:
    return rows["price"].to_numpy(dtype=np.float64)


def _draw_axes(sheet: Sheet, axes: _Axes, whole: pd.DataFrame) -> None:
    base, right = axes.height - _BOTTOM, axes.width - _RIGHT
    low, high = (float(np.exp(p)) for p in axes.log_prices)
    for price in price_ticks(low, high):
        y = float(axes.y(np.array(price)))
        sheet.line(_LEFT, y, right, y, **_of("mc-grid"))
        _words(sheet, _LEFT - 8, y + 4, short(price, 6), "end")
    for margin in margin_ticks(*axes.margins):
        x = float(axes.x(np.array(margin)))
        sheet.line(x, _TOP, x, base, **_of("mc-zero" if margin == 0.0 else "mc-grid"))
        _words(sheet, x, base + 17, f"{margin:+.0f}".replace("-", "−") if margin else "0", "middle")
    currency = str(whole["currency"].iloc[0])
    _words(sheet, 2, 14, f"Price of the order [{currency}], log scale", "start")
    _words(sheet, right, axes.height - 6, "Corrosion margin [steps], 0 only just meets", "end")


def _draw_front(sheet: Sheet, axes: _Axes, whole: pd.DataFrame) -> None:
    """Draw what each margin costs at the least: up at a margin reached, then on to the next."""
    front = whole[whole["on_front"]].sort_values(["corrosion_margin", "price"])
    if len(front) < 2:  # noqa: PLR2004 - a line needs two points
        return
    x, y = axes.x(_margins(front)), axes.y(_prices(front))
    corners_x, corners_y = np.repeat(x, 2)[:-1], np.repeat(y, 2)[1:]
    sheet.curve(corners_x, corners_y, False, **_of("mc-front"))


def _draw_points(sheet: Sheet, axes: _Axes, rows: pd.DataFrame, placed: Placed) -> None:
    x, y = axes.x(_margins(rows)), axes.y(_prices(rows))
    for leader in placed.leaders[~np.isnan(placed.leaders[:, 0])]:
        x1, y1, x2, y2 = (float(v) for v in leader)
        sheet.line(x1, y1, x2, y2, **_of("mc-leader"))
    for number, row in enumerate(rows.to_dict("records")):
        verdict = str(row["verdict"])
        group = sheet.group(**{"class": "mc-point", "data-alloy": str(row["alloy"])})
        ET.SubElement(group.here, "title").text = _said(row)
        if row["cheapest_that_meets"]:
            group.circle(float(x[number]), float(y[number]), _RING, **_of("mc-ring"))
        place = f"translate({x[number]:.2f},{y[number]:.2f})"
        sheet_mark = group.group(**{"class": class_of(verdict), "transform": place})
        ET.SubElement(sheet_mark.here, "path", {**shape(verdict), "class": "mc-dot"})
        if placed.is_placed[number]:
            _draw_name(group, placed.boxes[number], float(x[number]), row)


def _draw_name(
    group: Sheet, box: FloatArray, point_x: float, row: Mapping[Hashable, object]
) -> None:
    """Write a name into its box, close to its point: the box is wider than most names."""
    left, top, right, bottom = (float(edge) for edge in box)
    anchor, x = (
        ("start", left) if left > point_x else
        ("end", right) if right < point_x else
        ("middle", (left + right) / 2)
    )  # fmt: skip
    group.text(
        x,
        (top + bottom) / 2 + _NAME * 0.35,
        str(row["alloy"]),
        **{
            "text-anchor": anchor,
            "font-size": str(_NAME),
            "class": "mc-name mc-front-name" if row["on_front"] else "mc-name",
        },
    )


def _said(row: Mapping[Hashable, object]) -> str:
    currency = str(row["currency"])
    price = money_text(float(str(row["price"])), currency, minor_digits(currency))
    margin = f"{float(str(row['corrosion_margin'])):+.1f}".replace("-", "−")
    return f"{row['alloy']}: {row['verdict']}, {price}, margin {margin}. {row['reason']}"


def _words(sheet: Sheet, x: float, y: float, words: str, anchor: str) -> None:
    sheet.text(x, y, words, **{
        "text-anchor": anchor, "font-size": str(_WORDS), "class": "mc-axis",
    })  # fmt: skip


def _of(name: str) -> dict[str, str]:
    return {"class": name}
