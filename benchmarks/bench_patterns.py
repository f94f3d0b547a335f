"""What each module of own nesting ways gains over the others and over the strip packer.

Every order is laid without a search in all ways, then with each module put out of use, and by the
packer. A module gains on an order what the rest takes more without it: among the own ways alone, as
lists are planned, and with the packer's nest beside them. A module that gains on none goes.
"""

from __future__ import annotations

import argparse
import math
import time
from typing import TYPE_CHECKING, Any

import numpy as np
from bench_packing import PRACTICAL, SPACING_M, WIDTH_M

from meshcore.supply.nesting import candidates
from meshcore.supply.nesting.candidates import stocks_for
from meshcore.supply.nesting.packer import pack
from meshcore.supply.nesting.plan import NestOrder, NestTerms
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

SECONDS = 2.0
RANDOM_ORDERS = 24
SEED = 20261126
#: Gain that counts [-]: less is rounding.
COUNTS = 1e-6


def orders(random_orders: int) -> Iterator[tuple[str, NestOrder]]:
    """Yield the practical orders, and random ones of one to five shapes."""
    for name, wanted in PRACTICAL.items():
        yield name, _order([text for text, _ in wanted], [n for _, n in wanted])
    rng = np.random.default_rng(SEED)
    for number in range(random_orders):
        kinds = int(rng.integers(1, 6))
        texts = [_text(rng) for _ in range(kinds)]
        yield f"random {number + 1}", _order(texts, rng.integers(1, 40, kinds).tolist())


def _text(rng: np.random.Generator) -> str:
    a, b = sorted(rng.integers(60, 600, 2).tolist())
    return (
        f"{a} x {b} mm",
        f"disc: diameter {a} mm",
        f"right triangle: base {a} mm, height {b} mm",
        f"trapezoid: base {b + 20} mm, top {b // 2 + 10} mm, height {a} mm",
    )[int(rng.integers(4))]


def _order(texts: list[str], counts: list[int]) -> NestOrder:
    wanted: dict[Shape, int] = {}
    for text, count in zip(texts, counts, strict=True):
        shape = read_shape("", text)
        if not isinstance(shape, Shape):
            raise SystemExit(str(shape))
        wanted[shape] = wanted.get(shape, 0) + count
    return NestOrder(tuple(wanted), np.array(list(wanted.values()), dtype=np.int64))


#: The modules of own ways, and what of them is put out of use to see what the rest does without.
MODULES: dict[str, tuple[str, Callable[..., Any]]] = {
    "rows pushed into each other": ("interlocked", lambda *_: []),
    "discs in staggered rows": ("staggered_discs", lambda *_: None),
    "rectangles both ways": ("mixed_rectangles", lambda *_: []),
    "last rows turned": ("_last_rows_turned", lambda *_: iter(())),
    "columns of boxes": ("_shelved", lambda *_: iter(())),
}


def shortest(order: NestOrder, terms: NestTerms) -> float:
    """Length of the shortest nest without a search; infinite where there is none."""
    stocks = stocks_for(order, terms)
    plans = [
        plan.length_m
        for thorough in (False, True)
        for plan in candidates.plans_without_search(order, terms, stocks[0], thorough=thorough)
    ]
    return min(plans, default=math.inf)


def main(lines: int | None = None, seconds: float = SECONDS, count: int = RANDOM_ORDERS) -> None:
    """Print for each module on how many orders it gains, and by how much."""
    if lines is not None:
        count, seconds = 0, 0.0
    terms = NestTerms((WIDTH_M,), 0.0, SPACING_M, 30.0)
    gains: dict[str, list[tuple[float, float]]] = {module: [] for module in MODULES}
    took, total, packed = 0.0, 0, 0
    for _, order in orders(count):
        began = time.process_time()
        best = shortest(order, terms)
        took += time.process_time() - began
        found = _packed(order, terms, seconds)
        total, packed = total + 1, packed + (found < best)
        for module, (name, nothing) in MODULES.items():
            kept = getattr(candidates, name)
            setattr(candidates, name, nothing)
            without = shortest(order, terms)
            setattr(candidates, name, kept)
            gains[module].append(
                (without / best - 1.0, min(without, found) / min(best, found) - 1.0)
            )
    print(
        f"{total} orders, {took / total * 1e3:.0f} ms each in all own ways; the packer, "
        f"{seconds:g} s each, has the shortest nest of {packed}"
    )
    for module, shares in gains.items():
        alone, beside = (_told([pair[n] for pair in shares]) for n in range(2))
        print(f"  {module:28s} {alone} without the packer, {beside} beside it")


def _packed(order: NestOrder, terms: NestTerms, seconds: float) -> float:
    if not seconds:
        return math.inf
    stocks = stocks_for(order, terms)
    usable, spacing = stocks[0].usable_m, terms.spacing_m
    found = pack(order, stocks[0].postures, usable, 0.0, spacing, seconds, 1, lambda _: None)
    return found.part.length_m + spacing if found else math.inf


def _told(shares: list[float]) -> str:
    counting = [share for share in shares if share > COUNTS]
    mean = sum(counting) / len(counting) if counting else 0.0
    return f"gains on {len(counting):3d} ({mean:6.2%})"


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--orders", type=int, default=RANDOM_ORDERS)
    parser.add_argument("--seconds", type=float, default=SECONDS)
    given = parser.parse_args()
    main(None, given.seconds, given.orders)
