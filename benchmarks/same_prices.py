"""Whether the working tree prices lines that are orders of their own as an earlier commit does.

    python benchmarks/same_prices.py COMMIT

The demonstration list and 10,000 random lines of all forms, each line an order of its own, are
priced by both, each in a process of its own on the same file. Every roll must cost what it cost,
to the cent, and no strip or piece may cost more; how many fell is printed. Not compared are the
ranges, which are now what a bill would come to, and what is said of a line.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import pandas as pd

ROOT = Path(__file__).resolve().parent.parent
LINES = 10_000
SEED = 20261125
PRICE = """
import sys
import pandas as pd
import meshcore as mc
from meshcore.plugins import installed
assert mc.__file__.startswith(sys.argv[1]), mc.__file__
for given, priced in zip(sys.argv[2::2], sys.argv[3::2]):
    table = mc.estimate_table(mc.read_list(given))
    table.drop(columns="messages").to_parquet(priced)
assert not installed().faults(), installed().faults()
"""


def random_lines() -> pd.DataFrame:
    """Return lines as people write them: every form, alloy, weave, service and several units."""
    rng = np.random.default_rng(SEED)

    def some(*choices: str) -> np.ndarray:
        return rng.choice(np.array(choices, dtype=object), LINES)

    form = some("roll", "roll", "strip", "piece")
    shape = np.where(form == "piece", some("rectangle", "disc", "ring", "triangle"), "")
    sizes = {
        "rectangle": [f"{w} x {h} mm" for w, h in rng.integers(60, 900, (LINES, 2))],
        "disc": [f"diameter {d} mm" for d in rng.integers(40, 900, LINES)],
        "ring": [f"outer {d} mm, inner {d // 2} mm" for d in rng.integers(80, 900, LINES)],
        "triangle": [
            f"side a {a} mm, side b {a} mm, side c {c} mm"
            for a, c in zip(
                rng.integers(400, 900, LINES), rng.integers(60, 700, LINES), strict=True
            )
        ],
    }
    strip_width = [f"{w} mm" for w in rng.integers(20, 600, LINES)]
    return pd.DataFrame(
        {
            "line": np.arange(1, LINES + 1),
            "order": np.arange(LINES),
            "mesh_count": some("2 / in", "4 mesh", "10 / in", "12x12", "20 / in", "8 / cm", "60"),
            "wire_diameter": some(
                "0.025 in", "1.6 mm", "0.5 mm", "16 SWG", "0,3 mm", "200 µm", "0.0075 in", "30 AWG"
            ),
            "weave": some("", "", "plain", "twill", "double crimp", "lock crimp", "welded"),
            "alloy": some("304", "316L", "carbon steel", "brass", "alloy 625", "2205", "1.4401"),
            "form": form,
            "width": np.where(form == "roll", some("48 in", "1 m", "36 in", "1220 mm"),
                              np.where(form == "strip", strip_width, "")),
            "length": np.where(form == "piece", "", some("100 ft", "30 m", "full roll", "7.5 m")),
            "shape": shape,
            "dimensions": [sizes[s][n] if s else "" for n, s in enumerate(shape)],
            "quantity": rng.integers(1, 60, LINES),
            "services": some("", "", "", "weld", "anneal", "degrease", "weld, anneal"),
        }
    )  # fmt: skip


def priced_by(tree: Path, given: list[Path], folder: Path) -> list[pd.DataFrame]:
    """Price files with the library of one tree, in a process of its own."""
    outputs = [folder / f"{file.stem}.parquet" for file in given]
    pairs = [str(p) for pair in zip(given, outputs, strict=True) for p in pair]
    sources = os.pathsep.join(str(tree / part) for part in ("", "plugins", "apps/estimator"))
    subprocess.run(
        [sys.executable, "-P", "-c", PRICE, str(tree), *pairs],
        check=True,
        env={**os.environ, "PYTHONPATH": sources},
    )
    return [pd.read_parquet(path).reset_index(drop=True) for path in outputs]


def apart(source: Path, held: Path) -> Path:
    """Write a list again with each line as an order of its own."""
    lines = pd.read_csv(source, dtype=str, keep_default_na=False)
    lines.assign(order=np.arange(len(lines))).to_csv(held, index=False)
    return held


def compare(was: pd.DataFrame, is_now: pd.DataFrame) -> str:
    """Return what became of the prices of a list.

    Raises
    ------
    AssertionError
        If a line lost or gained its price, a roll costs otherwise, or anything costs more.
    """
    is_priced = was["price"].notna()
    pd.testing.assert_series_equal(is_priced, is_now["price"].notna())
    uncut = is_priced & was["form"].str.strip().str.casefold().str.contains("roll")
    for name in ("cost", "price", "unit_price"):
        pd.testing.assert_series_equal(
            was.loc[uncut, name], is_now.loc[uncut, name], check_exact=True
        )
    dearer = is_now["price"] > was["price"]
    assert not dearer.any(), is_now[dearer]
    fell = (is_now["price"] < was["price"]).sum()
    return (
        f"{is_priced.sum():,} lines priced by both; {uncut.sum():,} rolls equal; {fell:,} cheaper"
    )


def main() -> int:
    """Compare the working tree with the commit named on the command line."""
    commit = sys.argv[1]
    with tempfile.TemporaryDirectory() as held:
        folder = Path(held)
        lines = folder / "random.csv"
        random_lines().to_csv(lines, index=False)
        given = [apart(ROOT / "demo_data" / "enquiries.csv", folder / "demo.csv"), lines]
        (folder / "then").mkdir()
        (folder / "now").mkdir()
        tree = folder / "tree"
        subprocess.run(
            ["git", "-C", str(ROOT), "worktree", "add", "--quiet", "--detach", str(tree), commit],
            check=True,
        )
        try:
            then = priced_by(tree, given, folder / "then")
        finally:
            subprocess.run(
                ["git", "-C", str(ROOT), "worktree", "remove", "--force", str(tree)], check=True
            )
        now = priced_by(ROOT, given, folder / "now")
    for file, before, after in zip(given, then, now, strict=True):
        print(f"{file.stem}: {compare(before, after)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
