"""How near nests come to their bounds, against the time that they are given."""

from __future__ import annotations

import time

import numpy as np

from meshcore.supply.nesting.plan import NestOrder, NestPlan, nest_terms
from meshcore.supply.nesting.planning import nest, quick_nest
from meshcore.supply.policy import default_supply_policy
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape

#: Lines of a list that are planned by closed forms.
LINES = 300
#: Time budgets of a search [s].
BUDGETS = (1.0, 4.0, 16.0)
SEED = 20261101
TRAPEZOID = "trapezoid: base 300 mm, top 180 mm, height 220 mm"
TRIANGLE = "triangle: side a 300 mm, side b 400 mm, side c 500 mm"
DISC = "disc: diameter 200 mm"
SEGMENT = "ring segment: outer radius 250 mm, inner radius 150 mm, angle 120°"
ORDERS = {
    "37 discs": ((DISC, 37),),
    "5 triangles": ((TRIANGLE, 5),),
    "20 trapezoids": ((TRAPEZOID, 20),),
    "10 of three shapes": ((TRAPEZOID, 4), (DISC, 4), (TRIANGLE, 2)),
    "24 of four shapes": ((TRAPEZOID, 6), (DISC, 6), (TRIANGLE, 6), (SEGMENT, 6)),
    "96 of four shapes": ((TRAPEZOID, 24), (DISC, 24), (TRIANGLE, 24), (SEGMENT, 24)),
}


def order_of(lines: tuple[tuple[str, int], ...]) -> NestOrder:
    """Order of shapes as they are written."""
    shapes = []
    for text, _ in lines:
        shape = read_shape("", text)
        if not isinstance(shape, Shape):
            raise SystemExit(f"{text}: {shape}")
        shapes.append(shape)
    return NestOrder(tuple(shapes), np.array([count for _, count in lines]))


def planned(order: NestOrder, seconds: float | None) -> tuple[NestPlan, float]:
    """Plan, and the time that it took [s]; no seconds for the closed forms alone."""
    terms = nest_terms(default_supply_policy())
    start = time.perf_counter()
    plan = quick_nest(order, terms) if seconds is None else nest(order, terms, seconds)
    took = time.perf_counter() - start
    if not isinstance(plan, NestPlan):
        raise SystemExit("; ".join(str(m) for m in plan))
    return plan, took


def quality() -> None:
    """Area of cloth and its gap to the bound, for each order and time."""
    print("nests: area of cloth, gap to the bound, and time:")
    for name, lines in ORDERS.items():
        for seconds in (None, *BUDGETS):
            plan, took = planned(order_of(lines), seconds)
            print(
                f"  {name:20s} {plan.area_m2:8.4f} m²  gap {plan.gap:6.1%}  {took:7.3f} s: "
                f"{plan.method}"
            )


def quick_lines(lines: int) -> None:
    """Time of the closed forms for a list, by kind of shape."""
    rng = np.random.default_rng(SEED)
    sizes = np.round(rng.uniform(60.0, 500.0, (lines, 2)), 1)
    texts = {
        "discs": [f"disc: diameter {a} mm" for a, _ in sizes],
        "rectangles": [f"{a} x {b} mm" for a, b in sizes],
        "trapezoids": [f"trapezoid: base {a + b} mm, top {b} mm, height {a} mm" for a, b in sizes],
    }
    print(f"closed forms for {lines} lines of pieces, each on four stock widths:")
    for name, cells in texts.items():
        orders = [order_of(((text, 50),)) for text in cells]
        start = time.perf_counter()
        for order in orders:
            planned(order, None)
        print(f"  {name:12s} {(time.perf_counter() - start) / lines * 1e3:.2f} ms a line")


def main(lines: int = LINES) -> None:
    """Time the closed forms, then show what more time brings."""
    quick_lines(lines)
    if lines == LINES:
        quality()


if __name__ == "__main__":
    main()
