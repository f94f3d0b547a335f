"""What `estimate_table` costs beside bare arithmetic, and beside pint line by line.

All three price the same rolls from the same numbers of the demonstration book, and must come to
the same prices; only then is their time compared. The bare arithmetic stands for the least that
the work can cost in NumPy: no text, no units, no messages, no judging of what can be woven, no
record of what each cost rests on.
"""

from __future__ import annotations

import multiprocessing
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from multiprocessing.queues import SimpleQueue
from pathlib import Path

import numpy as np
import pandas as pd
from bare import ALLOYS, bare_estimate, book_numbers
from pint_by_line import pint_estimate

import meshcore as mc
from meshcore.arrays import FloatArray
from meshcore.costing.book.price_book import PriceBook
from meshcore_mill_costing.mill_work import ENDS_WASTE, LOOM_CHANGE, WARP_WASTE

LINES = 1_000_000
PINT_LINES = 1_000
AIM_BARE, AIM_OWN, AIM_PINT, AIM_TEXT = 10.0, 16.0, 300.0, 3.0
REPEATS = 3
SEED = 20261101
#: Inch counts and wires [in] of everyday square mesh, all of which can be woven.
COUNTS = np.array([4.0, 6.0, 8.0, 10.0, 14.0, 20.0, 30.0, 40.0, 60.0, 80.0])
WIRES_IN = np.array([0.047, 0.035, 0.028, 0.025, 0.020, 0.016, 0.013, 0.010, 0.0075, 0.0055])
#: Between these lie the sizes of rolls that share none with another.
OWN_WIDTHS_IN, OWN_LENGTHS_FT = (20.0, 72.0), (20.0, 150.0)
#: What the bare arithmetic leaves out of the book.
RUN_CHARGES = (LOOM_CHANGE, WARP_WASTE, ENDS_WASTE)
#: A last bit may tip a cost over half a cent, and so a price by one step, this seldom.
TIPPED = 1e-5
ONE_STEP = 0.0501


def make_lines(lines: int) -> pd.DataFrame:
    """Return rolls at random, as numbers with their units in the headings; each is an order."""
    rng = np.random.default_rng(SEED)
    cloth = rng.integers(0, len(COUNTS), lines)
    alloys = pd.Categorical(np.array(ALLOYS)[rng.integers(0, len(ALLOYS), lines)])
    return pd.DataFrame(
        {
            "order": np.arange(lines),
            "mesh_count [/ in]": COUNTS[cloth],
            "wire_diameter [mm]": WIRES_IN[cloth] * 25.4,
            "alloy": alloys,
            "form": pd.Categorical(np.full(lines, "roll")),
            "width [in]": rng.choice([36.0, 40.0, 48.0, 60.0, 72.0], lines),
            "length [ft]": rng.choice([41.0, 49.0, 60.0, 100.0, 149.0], lines),
            "quantity": rng.integers(1, 13, lines),
        }
    )


def with_own_sizes(table: pd.DataFrame) -> pd.DataFrame:
    """Return the same rolls, each of a width and length of its own: most have a note of theirs."""
    rng = np.random.default_rng(SEED)
    return table.assign(
        **{
            "width [in]": rng.uniform(*OWN_WIDTHS_IN, len(table)),
            "length [ft]": rng.uniform(*OWN_LENGTHS_FT, len(table)),
        }
    )


def as_texts(table: pd.DataFrame) -> pd.DataFrame:
    """Return the same lines as a list of texts, each size with its unit."""

    def written(heading: str, unit: str, per: float = 1.0) -> list[str]:
        return [f"{value / per:.10g}{unit}" for value in table[heading].tolist()]

    texts = {
        "order": table["order"].astype(str),
        "mesh_count": written("mesh_count [/ in]", " / in"),
        "wire_diameter": written("wire_diameter [mm]", " in", 25.4),
        "alloy": table["alloy"].astype(str),
        "form": table["form"].astype(str),
        "width": written("width [in]", '"'),
        "length": written("length [ft]", " ft"),
        "quantity": written("quantity", ""),
    }
    return pd.DataFrame(texts, dtype=object)


def check_texts(priced: pd.DataFrame, as_text: pd.DataFrame) -> None:
    """Stop unless the list comes to the same prices as text."""
    _check("price as text", as_text["price"].to_numpy(), priced["price"].to_numpy())


def check_same(priced: pd.DataFrame, bare: list[FloatArray], by_pint: FloatArray) -> None:
    """Stop unless all come to the same prices, but for a last bit that tips a rounding."""
    if not (priced["status"] == "ok").all():
        sys.exit(f"a line is not ok: {priced.loc[priced['status'] != 'ok', 'messages'].iloc[0]}")
    for column, expected in zip(("price", "price_min", "price_max"), bare, strict=True):
        _check(column, priced[column].to_numpy(), expected)
    _check("price by pint", priced["price"].to_numpy()[: len(by_pint)], by_pint)


def _check(column: str, found: FloatArray, expected: FloatArray) -> None:
    apart = np.abs(found - expected)
    tipped = np.count_nonzero(apart > 1e-6)
    if apart.max() > ONE_STEP or tipped > TIPPED * len(found):
        row = int(apart.argmax())
        sys.exit(f"{column}: {tipped} lines differ; line {row}: {found[row]} and {expected[row]}")


def priced_with() -> PriceBook:
    """Return the demonstration book, without what a run costs once besides its warp."""
    book = mc.demo_price_book()
    return replace(book, rates=tuple(rate for rate in book.rates if rate.key not in RUN_CHARGES))


def _priced(table: pd.DataFrame) -> pd.DataFrame:
    """Price a list at the demonstration book: no line is put to review for want of a book."""
    return mc.estimate_table(table, priced_with())


def timed(work: Callable[[], object]) -> float:
    """Return the least processor time of a few runs [s]: what else the machine did is not in it."""
    least = np.inf
    for _ in range(REPEATS):
        start = time.process_time()
        work()
        least = min(least, time.process_time() - start)
    return float(least)


def _high_water() -> float:
    """Most memory that this process has held so far [MB], as Linux tells it."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
    return float(line.split()[1]) / 1024.0


def _peak(what: str, lines: int, answer: SimpleQueue[float]) -> None:
    """Put the peak memory [MB] that one kind of pricing adds to a process of its own."""
    table, numbers = make_lines(lines), book_numbers(priced_with())
    mc.estimate_table(table.iloc[:10])
    before = _high_water()
    if what == "bare":
        bare_estimate(table, numbers)
    else:
        _priced(table)
    answer.put(_high_water() - before)


def peak_memory(what: str, lines: int) -> float:
    """Measure peak memory in a fresh process [MB]."""
    context = multiprocessing.get_context("spawn")
    answer = context.SimpleQueue()
    process = context.Process(target=_peak, args=(what, lines, answer))
    process.start()
    process.join()
    if process.exitcode:
        sys.exit(f"measuring the memory of {what} failed")
    return float(answer.get())


def main(lines: int = LINES) -> None:
    """Run the bench and print it."""
    table, numbers = make_lines(lines), book_numbers(priced_with())
    texts = as_texts(table)
    few = table.iloc[: min(PINT_LINES, lines)]
    priced = _priced(table)
    check_same(priced, bare_estimate(table, numbers), pint_estimate(few, numbers))
    check_texts(priced, _priced(texts))
    ours = timed(lambda: _priced(table)) / lines
    by_text = timed(lambda: _priced(texts)) / lines
    as_one = table.drop(columns="order")
    one_order = timed(lambda: _priced(as_one)) / lines
    own_sizes = with_own_sizes(table)
    by_own = timed(lambda: _priced(own_sizes)) / lines
    bare = timed(lambda: bare_estimate(table, numbers)) / lines
    by_pint = timed(lambda: pint_estimate(few, numbers)) / len(few)
    ours_mb, bare_mb = peak_memory("meshcore", lines), peak_memory("bare", lines)
    print(f"estimate_table, {lines:,} lines, prices the same in all three:")
    print(f"  estimate_table       {ours * 1e6:9.3f} µs a line   {ours_mb:7.0f} MB at the peak")
    print(f"  all as one order     {one_order * 1e6:9.3f} µs a line")
    print(f"  each its own sizes   {by_own * 1e6:9.3f} µs a line")
    print(f"  the same as text     {by_text * 1e6:9.3f} µs a line")
    print(f"  bare NumPy           {bare * 1e6:9.3f} µs a line   {bare_mb:7.0f} MB at the peak")
    print(f"  pint, line by line   {by_pint * 1e6:9.3f} µs a line   "
          f"(nominal price only, {len(few):,} lines)")  # fmt: skip
    print(f"  estimate_table takes {ours / bare:.1f} times the bare arithmetic's time "
          f"(aim: at most {AIM_BARE:.0f}), with sizes of its own for each line "
          f"{by_own / bare:.1f} times (aim: at most {AIM_OWN:.0f})")  # fmt: skip
    print(f"  text takes {by_text / ours:.1f} times the time of numbers "
          f"(aim: at most {AIM_TEXT:.0f})")  # fmt: skip
    print(f"  estimate_table is {by_pint / ours:,.0f} times as fast as pint line by line "
          f"(aim: at least {AIM_PINT:.0f})")  # fmt: skip


if __name__ == "__main__":
    main()
