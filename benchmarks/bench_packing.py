"""Nests of published irregular sets and of practical orders, against the strip packer alone.

The sets are those of the ESICUP collection as they stand, under the MIT licence, in
github.com/JeroenGar/sparrow (data/input), kept in ``packing_sets``; see the note there. Both sides
have the same time, one worker and one seed, one after the other. Where a C compiler is at hand,
time is that of the processor (``processor_clock.c``), so that a busy machine changes nothing; else
it is that of the clock.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np

from meshcore.supply.nesting import packer, search
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import nest
from meshcore.supply.shapes.outlines import make_shape, straight
from meshcore.supply.shapes.texts import read_shape

SETS = Path(__file__).parent / "packing_sets"
SECONDS = 20.0
SEED = 1
#: Longest strip that is asked for: none of the sets comes near [m].
ENDLESS_M = 1e6
#: Best densities published for the sets, as a share of the strip [-]: A. Elkeran, European Journal
#: of Operational Research 231, 2013 (from memory).
BEST = {
    "albano": 0.8958, "dagli": 0.8951, "fu": 0.9241, "jakobs1": 0.8910, "jakobs2": 0.8773,
    "mao": 0.8544, "marques": 0.9059, "shapes0": 0.6879, "shapes1": 0.7673, "shirts": 0.8896,
    "swim": 0.7594, "trousers": 0.9100,
}  # fmt: skip
#: Orders as they come, on 1.2 m cloth: pieces as written, and how many.
PRACTICAL: dict[str, tuple[tuple[str, int], ...]] = {
    "discs": (("disc: diameter 200 mm", 37),),
    "triangles": (("right triangle: base 600 mm, height 450 mm", 24),),
    "trapezoids": (("trapezoid: base 300 mm, top 180 mm, height 220 mm", 40),),
    "rectangles": (("350 x 220 mm", 40), ("410 x 300 mm", 12)),
    "discs of three": (("disc: diameter 260 mm", 14), ("disc: diameter 150 mm", 20),
                       ("disc: diameter 90 mm", 30)),
    "rings": (("ring: outer 300 mm, inner 200 mm", 20),),
    "sectors": (("sector: radius 300 mm, angle 120°", 18),),
    "segments": (("ring segment: outer radius 250 mm, inner radius 150 mm, angle 120°", 20),),
    "hexagons": (("regular polygon: sides 6, across corners 250 mm", 30),),
    "mixed": (("disc: diameter 260 mm", 14), ("right triangle: base 600 mm, height 450 mm", 12),
              ("350 x 220 mm", 20)),
    "cones": (("sector: radius 400 mm, angle 200°", 6), ("disc: diameter 180 mm", 12)),
    "parallelograms": (("parallelogram: base 300 mm, side 200 mm, angle 60°", 36),),
}  # fmt: skip
WIDTH_M, SPACING_M, SET_WIDTH_M = 1.2, 0.002, 12.0


def read_set(name: str) -> tuple[NestOrder, NestTerms]:
    """Read a set as an order of pieces on wide cloth."""
    data = json.loads((SETS / f"{name}.json").read_text("utf-8"))
    # So wide that what pieces are kept apart for the packer's rounding is nothing beside them.
    scale = SET_WIDTH_M / data["strip_height"]
    shapes, turns = [], (0.0,)
    for item in data["items"]:
        points = [(x * scale, y * scale) for x, y in item["shape"]["data"]]
        points = points[:-1] if points[0] == points[-1] else points
        shapes.append(make_shape(name, straight(points)))
        turns = tuple(item.get("allowed_orientations") or (0.0,))
    # Every piece of a set has the same turns.
    quarters = tuple(sorted({round(turn / 90.0) % 4 for turn in turns}))
    quantity = np.array([item["demand"] for item in data["items"]])
    terms = NestTerms((SET_WIDTH_M,), 0.0, 0.0, ENDLESS_M, quarters)
    return NestOrder(tuple(shapes), quantity), terms


def by_processor_time(folder: str) -> bool:
    """Give the packer, here and in the plans, time of the processor; tell whether that can be."""
    compiler = shutil.which("cc")
    if compiler is None or not sys.platform.startswith("linux"):
        return False
    clock = Path(folder) / "processor_clock.so"
    source = Path(__file__).parent / "processor_clock.c"
    subprocess.run([compiler, "-O2", "-shared", "-fPIC", "-o", clock, source], check=True)
    os.environ["LD_PRELOAD"] = str(clock)
    vars(search)["time"] = SimpleNamespace(monotonic=processor_s)
    # How long the clock on the wall goes meanwhile does not matter.
    packer._GRACE_S = 3600.0
    return True


def processor_s() -> float:
    """Time that this process and those it has ended have computed [s]."""
    return math.fsum(os.times()[:4])


def job_of(order: NestOrder, terms: NestTerms, seconds: float) -> dict[str, Any]:
    """Return what the packer is given by itself."""
    items = []
    for n, (shape, count) in enumerate(zip(order.shapes, order.quantity.tolist(), strict=True)):
        arc = 1e-3 * max(shape.size_m)
        points = shape.outline.points(arc, side="outside")
        items.append((str(n), points, count, [90.0 * q for q in terms.turns]))
    return {
        "items": items, "width": terms.widths_m[0] - 2 * terms.edge_trim_m,
        "seconds": math.ceil(seconds), "apart": terms.spacing_m or None,
    }  # fmt: skip


def pack_alone() -> None:
    """Pack the job on standard input as the packer does by itself, and print its length."""
    import spyrrow  # noqa: PLC0415 - in a process of its own, with its own clock

    job = json.loads(sys.stdin.read())
    items = [
        spyrrow.Item(name, [tuple(point) for point in points], count, turns)
        for name, points, count, turns in job["items"]
    ]
    config = spyrrow.StripPackingConfig(
        early_termination=True, total_computation_time=job["seconds"], num_workers=1, seed=SEED,
        min_items_separation=job["apart"],
    )  # fmt: skip
    print(spyrrow.StripPackingInstance("set", job["width"], items).solve(config).width)


def alone(order: NestOrder, terms: NestTerms, seconds: float) -> float:
    """Length that the packer finds by itself [m]."""
    command = [sys.executable, __file__, "--alone"]
    job = json.dumps(job_of(order, terms, seconds))
    return float(
        subprocess.run(command, input=job, capture_output=True, text=True, check=True).stdout
    )


def compared(name: str, order: NestOrder, terms: NestTerms, seconds: float) -> tuple[float, float]:
    """Ratio of our length to the packer's, and our length."""
    began = processor_s()
    theirs = alone(order, terms, seconds)
    between = processor_s()
    plan = nest(order, terms, seconds, SEED)
    took = processor_s() - between
    if not isinstance(plan, NestPlan):
        raise SystemExit("; ".join(str(m) for m in plan))
    ratio = plan.length_m / theirs
    print(f"  {name:16s} {plan.length_m:12.4f}  packer {theirs:12.4f}  ratio {ratio:.4f}  "
          f"{took:5.1f} s and {between - began:5.1f} s: {plan.method}", flush=True)  # fmt: skip
    return ratio, plan.length_m


def main(lines: int | None = None, seconds: float = SECONDS) -> None:
    """Compare on every set and order; with few lines asked for, on one of each and for a second."""
    names, orders = sorted(BEST), list(PRACTICAL)
    if lines is not None:
        names, orders, seconds = names[:1], orders[:1], 1.0
    with tempfile.TemporaryDirectory() as folder:
        clock = "of the processor" if by_processor_time(folder) else "by the clock"
        print(f"nests against the strip packer alone, {seconds:g} s {clock} each, published sets:")
        _compare(names, orders, seconds)
        os.environ.pop("LD_PRELOAD", None)


def _compare(names: list[str], orders: list[str], seconds: float) -> None:
    ratios, above = [], []
    for name in names:
        order, terms = read_set(name)
        ratio, length = compared(name, order, terms, seconds)
        ratios.append(ratio)
        area = sum(
            shape.area_m2 * n
            for shape, n in zip(order.shapes, order.quantity.tolist(), strict=True)
        )
        above.append(length * terms.widths_m[0] * BEST[name] / area - 1.0)
    print(f"  worst ratio {max(ratios):.4f}, median {statistics.median(ratios):.4f}; "
          f"{statistics.median(above):.1%} above the best published on the median")  # fmt: skip
    print(f"practical orders on {WIDTH_M:g} m cloth:")
    terms = NestTerms((WIDTH_M,), 0.0, SPACING_M, ENDLESS_M)
    ratios = []
    for name in orders:
        shapes: list[Any] = [read_shape("", text) for text, _ in PRACTICAL[name]]
        order = NestOrder(tuple(shapes), np.array([count for _, count in PRACTICAL[name]]))
        ratios.append(compared(name, order, terms, seconds)[0])
    print(f"  worst ratio {max(ratios):.4f}, median {statistics.median(ratios):.4f}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=SECONDS)
    parser.add_argument("--alone", action="store_true", help="pack what comes on standard input")
    chosen = parser.parse_args()
    if chosen.alone:
        pack_alone()
    else:
        main(seconds=chosen.seconds)
