"""What completing and judging specifications costs beside the bare arithmetic."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.arrays import FloatArray
from meshcore.messages import MessageLog
from meshcore.reading.columns import QuantityColumn
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.path import cloth_path
from meshcore.weave.judging.practicality import weave_rules
from meshcore.weave.judging.verdict import judge
from meshcore.weave.search.alternatives import find_alternatives, wanted
from meshcore.weave.specification.completing import complete

LINES = 1_000_000
REPEATS = 3
SEED = 20261101
#: A search of the grid should take less than this [s].
AIM_SEARCH = 0.100


def bare(count: FloatArray, wire: FloatArray) -> FloatArray:
    """Pitch, aperture, open area and plain path by the formulas alone."""
    pitch = 1.0 / count
    aperture = pitch - wire
    open_area = (aperture / pitch) ** 2
    angle = np.arcsin(2.0 * wire / np.sqrt(pitch**2 + wire**2)) - np.arctan(wire / pitch)
    straight = (pitch - 2.0 * wire * np.sin(angle)) / np.cos(angle)
    ratio: FloatArray = (straight + 2.0 * wire * angle) / pitch + 0.0 * open_area
    return ratio


def solve_and_judge(count: FloatArray, wire: FloatArray) -> FloatArray:
    """Complete, lay out and judge every line; return the path ratio."""
    lines = len(count)
    log = MessageLog(lines)
    blank = np.full(lines, np.nan)
    none, all_given = np.zeros(lines, dtype=np.bool_), np.ones(lines, dtype=np.bool_)
    empty = QuantityColumn(blank, blank, none, blank)
    readings = dict.fromkeys(("pitch", "aperture", "open_area"), empty)
    readings["mesh_count"] = QuantityColumn(count, blank, all_given, count)
    readings["wire_diameter"] = QuantityColumn(wire, blank, all_given, wire)
    specification = complete(readings, log)
    weave = np.zeros(lines, dtype=np.int64)
    path = cloth_path(weave, specification.wire_diameter_m, specification.pitch_m)
    registry = installed_registry()
    cloth = ClothColumns(
        weave=weave,
        pitch_m=specification.pitch_m,
        wire_diameter_m=specification.wire_diameter_m,
        aperture_m=specification.aperture_m,
        open_area=specification.open_area,
        path_ratio=path.path_ratio,
        thickness_m=path.thickness_m,
        alloy=np.full(lines, resolve(registry, "304")),
        alloys=registry.alloys,
        width_m=np.full(lines, 1.2),
    )
    judge(cloth, weave_rules(plugins.installed()), log)
    return path.path_ratio


def best(work: Callable[[], object]) -> float:
    """Least time of a few runs [s]."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main(lines: int = LINES) -> None:
    """Time both ways on the same lines, and one search for alternatives."""
    rng = np.random.default_rng(SEED)
    count = rng.uniform(400.0, 4000.0, lines)
    wire = rng.uniform(0.2, 0.45, lines) / count
    difference = np.abs(bare(count, wire) - solve_and_judge(count, wire)).max()
    if not difference <= 1e-12:
        raise SystemExit(f"the two ways differ by {difference}: no ratio is worth printing")
    whole, least = best(lambda: solve_and_judge(count, wire)), best(lambda: bare(count, wire))
    print(f"completing and judging {lines:,} specifications:")
    print(f"  {whole / lines * 1e6:.3f} µs a line, {whole / least:.1f} times the bare arithmetic")
    rules = weave_rules(plugins.installed())
    asked = wanted(aperture_m=1e-3, wire_diameter_m=1.5e-3)
    find_alternatives(asked, 0, rules)
    search = best(lambda: find_alternatives(asked, 0, rules))
    print(f"  one search for alternatives takes {search / AIM_SEARCH:.2f} of its 100 ms")


if __name__ == "__main__":
    main()
