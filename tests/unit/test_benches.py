"""The benches run, and the three ways of pricing in them come to the same prices.

The arithmetic in `benchmarks/` was written apart from the library, so their agreement on rolls of
every stocked and some odd widths and lengths is a check of both.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def test_benches_agree_and_print_their_ratios(project_root: Path) -> None:
    done = subprocess.run(
        [sys.executable, str(project_root / "benchmarks" / "run.py"), "--lines", "100"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "times the bare arithmetic's time" in done.stdout
    assert "times as fast as pint line by line" in done.stdout
