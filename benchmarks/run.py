"""Run every bench of this folder: ``python benchmarks/run.py [--lines N]``."""

from __future__ import annotations

import argparse
import importlib
import inspect
from pathlib import Path


def main() -> None:
    """Run the benches in the order of their names."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, help="fewer lines, for a quick look")
    chosen = parser.parse_args()
    for file in sorted(Path(__file__).parent.glob("bench_*.py")):
        bench = importlib.import_module(file.stem).main
        takes_lines = chosen.lines and "lines" in inspect.signature(bench).parameters
        bench(**({"lines": chosen.lines} if takes_lines else {}))


if __name__ == "__main__":
    main()
