"""A long list priced in parts, by one process and by two: time, memory, and the same prices."""

from __future__ import annotations

import resource
import tempfile
import time
from pathlib import Path

import numpy as np
import pandas as pd

from meshcore.costing.book.files import read_price_book
from meshcore.demo import demo_data
from meshcore.lists.pricing_in_parts import ROWS_OF_A_PART, ListPriced, Terms, price_in_parts
from meshcore.supply.policy import read_supply_policy

LINES = 1_000_000
#: Lines of one order, and the seed of what they ask for.
AN_ORDER, SEED = 20, 20261127
#: What the project asks of two processes [-].
ASKED = 1.6
_ALLOYS = ("304", "316L", "carbon steel", "copper")


def asked(lines: int) -> pd.DataFrame:
    """Draw rolls as people write them, each of its own width and length."""
    rng = np.random.default_rng(SEED)
    counts = rng.integers(4, 40, lines)
    return pd.DataFrame({
        "order": np.arange(lines) // AN_ORDER,
        "mesh count": pd.Series(counts).astype(str) + " / in",
        "wire": pd.Series(np.round(25.4 / counts * 0.25, 2)).astype(str) + " mm",
        "alloy": rng.choice(_ALLOYS, lines),
        "form": "roll",
        "width": pd.Series(rng.integers(600, 1500, lines)).astype(str) + " mm",
        "length": pd.Series(rng.integers(5, 31, lines)).astype(str) + " m",
        "quantity": rng.integers(1, 9, lines),
    })  # fmt: skip


def timed(
    source: Path, output: Path, terms: Terms, workers: int, rows: int
) -> tuple[float, ListPriced]:
    """Return the time that a number of processes take [s], and what the list comes to."""
    began = time.perf_counter()
    done = price_in_parts(source, output, terms, workers=workers, rows=rows)
    return time.perf_counter() - began, done


def main(lines: int | None = None) -> None:
    """Print the times and their ratio, and the memory of the largest process."""
    lines = lines or LINES
    rows = min(ROWS_OF_A_PART, max(lines // 8, 1))
    terms = Terms(
        read_price_book(demo_data() / "price_book.toml"),
        read_supply_policy(demo_data() / "supply_policy.toml"),
    )
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "asked.csv"
        asked(lines).to_csv(source, index=False)
        outputs = [Path(folder) / f"{workers}.csv" for workers in (1, 2)]
        (one, done), (two, _) = (
            timed(source, output, terms, workers, rows)
            for workers, output in enumerate(outputs, start=1)
        )
        if outputs[0].read_bytes() != outputs[1].read_bytes():
            raise ValueError("two processes wrote another list than one")
    largest = max(
        resource.getrusage(who).ru_maxrss
        for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    print(
        f"{lines:,} lines from csv to csv in parts: {one:.1f} s by one process, {two:.1f} s by "
        f"two, {one / two:.2f} times as fast of {ASKED} asked; {done.refused:,} refused; "
        f"{largest / 1024:.0f} MB in the largest process"
    )


if __name__ == "__main__":
    main()
