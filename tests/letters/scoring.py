"""Judge what was read of a letter against its truth, field by field: right, asked or wrong.

Asked is what the letter states and the reading leaves open; wrong is another value, or a value
where the letter gives none or must be asked about.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from scipy.optimize import linear_sum_assignment

import meshcore as mc

NUMBERS = {
    "mesh_count_per_in": "mesh_count_per_in", "pitch_mm": "pitch_mm", "aperture_mm": "aperture_mm",
    "wire_mm": "wire_diameter_mm", "open_area_pct": "open_area_pct", "width_mm": "width_mm",
    "length_mm": "length_mm", "quantity": "quantity",
}  # fmt: skip
WORDS = ("weave", "alloy", "form", "shape")
UNCLEAR = {
    "wire": "wire_mm", "mesh_count": "mesh_count_per_in", "pitch": "pitch_mm",
    "aperture": "aperture_mm", "open_area": "open_area_pct", "width": "width_mm",
    "length": "length_mm", "sizes": "sizes_mm",
}  # fmt: skip
#: A size is right within this share: the truths are rounded.
SLACK = 0.006


@dataclass
class Score:
    """Verdicts by tier, and lines lost and too many."""

    verdicts: dict[str, Counter[str]] = field(default_factory=dict)
    lines: int = 0
    lost: int = 0
    extra: int = 0
    wrong: list[str] = field(default_factory=list)

    def share(self, verdict: str, tier: str = "") -> float:
        """Share of one verdict among all fields, of one tier or of all."""
        tiers = [tier] if tier else list(self.verdicts)
        counts: Counter[str] = sum((self.verdicts[t] for t in tiers), Counter())
        return counts[verdict] / counts.total()

    def below(self, bars: Mapping[str, float]) -> dict[str, float]:
        """Tiers of which a smaller share is right than they must keep, with that share."""
        right = {tier: self.share("right", tier) for tier in bars}
        return {tier: share for tier, share in right.items() if share < bars[tier]}


def given(value: Any) -> bool:
    """Whether a field holds anything."""
    if isinstance(value, list):
        return bool(value)
    return value is not None and value == value and value != ""  # noqa: PLR0124


def near(a: float, b: float) -> bool:
    """Whether two sizes are one."""
    return abs(a - b) <= SLACK * abs(b)


def judge(truth: dict[str, Any], read: dict[str, Any]) -> list[tuple[str, str]]:
    """Field and verdict of one line."""
    unclear = {UNCLEAR.get(name, name) for name in truth.get("unclear", [])}
    out = []
    for name in (*NUMBERS, *WORDS, "sizes_mm"):
        want, got = truth.get(name), read.get(NUMBERS.get(name, name))
        if name == "length_mm" and truth.get("length_text"):
            out.append((name, "wrong" if given(got) else "right"))
        elif not given(want):
            counts = name in unclear or name in NUMBERS or name in ("alloy", "sizes_mm")
            if given(got) and counts:
                out.append((name, "wrong"))
            elif not given(got) and name in unclear:
                out.append((name, "right"))
        elif not given(got):
            out.append((name, "right" if name in unclear else "asked"))
        else:
            out.append((name, "right" if _same(name, want, got) else "wrong"))
    return out


def _same(name: str, want: Any, got: Any) -> bool:
    if name in NUMBERS:
        return near(float(got), float(want))
    if name == "sizes_mm":
        pairs = list(zip(sorted(want), sorted(got), strict=False))
        return len(want) == len(got) and all(near(float(b), float(a)) for a, b in pairs)
    a, b = (re.sub(r"\s+", " ", str(x).casefold()) for x in (want, got))
    return a in b or b in a


def rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    """Rows of a table as dictionaries."""
    return [{str(name): cell for name, cell in row.items()} for row in table.to_dict("records")]


def score_folder(folder: Path) -> Score:
    """Score every letter of a folder that has its truth beside it."""
    return score([(path.with_suffix(".txt"), path) for path in sorted(folder.glob("*.json"))])


def score(letters: list[tuple[Path, Path]]) -> Score:
    """Score letters with their truths, each line with the one that fits it best."""
    total = Score()
    for path, truth_path in letters:
        truth = json.loads(truth_path.read_text("utf-8"))
        meant, read = truth["lines"], rows(mc.read_letter(path).values)
        tally = total.verdicts.setdefault(truth["tier"], Counter())
        found = [[judge(line, row) for row in read] for line in meant]
        worth = np.zeros((len(meant), len(read)))
        for i, row in enumerate(found):
            for j, verdicts in enumerate(row):
                kinds = [kind for _, kind in verdicts]
                worth[i, j] = kinds.count("right") - kinds.count("wrong")
        pairs = list(zip(*linear_sum_assignment(-worth), strict=True)) if meant and read else []
        for i, j in ((int(a), int(b)) for a, b in pairs):
            tally.update(kind for _, kind in found[i][j])
            total.wrong += [
                f"{path.name} line {i + 1} {name}" for name, kind in found[i][j] if kind == "wrong"
            ]
        for i in set(range(len(meant))) - {i for i, _ in pairs}:
            tally.update(kind for _, kind in judge(meant[i], {}))
        total.lines += len(meant)
        total.lost += len(meant) - len(pairs)
        total.extra += len(read) - len(pairs)
    return total
