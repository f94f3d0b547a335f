"""Cloth of the series, written in any two to four sizes as people round them, is that cloth.

Standing: `data/common_square_mesh.csv` (recalled from ASTM E2016, from memory), the pairs of
ISO 3310-1 as the PyPI package `fluids` carries them, and apertures of ISO 565 with wires of R20
(ISO 3, from memory). How people round is common practice, no source: wires and apertures to 0.01
or 0.001 mm, fine ones to the micrometre, inches as the tables print them, counts whole or, of
metric cloth, to one place, open areas to 1 or 0.1 %.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product
from pathlib import Path

import numpy as np
import pandas as pd
from fluids.particle_size_distribution import ISO_3310_1_sieve_list

from meshcore.messages import MessageLog
from meshcore.reading.columns import read_column
from meshcore.reading.sizes.gauges import R20
from meshcore.units import Kind
from meshcore.weave.specification.completing import complete
from meshcore.weave.specification.off import WORTH_A_LOOK
from meshcore.weave.specification.series import SERIES, cloths
from meshcore.weave.specification.stated import WHOLE_COUNT_LEEWAY
from meshcore.weave.specification.telling import OPEN_AS_EXACT

KINDS: dict[str, Kind] = {
    "mesh_count": "count",
    "pitch": "length",
    "aperture": "length",
    "wire_diameter": "length",
    "open_area": "share",
}
LEAST_COMPARED_M = 0.99e-3
#: Of metric cloth a whole count is told apart from its own only by two other sizes.
WHOLE_COUNT = " mesh"


def market() -> Iterator[tuple[float, float, dict[str, list[str]]]]:
    """Wire and pitch [mm] of the market grade, with the texts of each size."""
    table = pd.read_csv(Path(__file__).parent / "data" / "common_square_mesh.csv", dtype=str)
    for count, wire_in, aperture_in, area in table.itertuples(index=False):
        pitch, wire = 25.4 / float(count), 25.4 * float(wire_in)
        yield (
            wire,
            pitch,
            {
                "mesh_count": [f"{count} / in", f"{count} mesh"],
                "pitch": [f"{pitch:.3f} mm", f"{pitch / 25.4:.4f} in"],
                "aperture": [f"{aperture_in} in", *metric(pitch - wire)],
                "wire_diameter": [f"{wire_in} in", *metric(wire)],
                "open_area": [f"{area} %", f"{(1 - wire / pitch) ** 2 * 100:.0f} %"],
            },
        )


def metric(size: float) -> list[str]:
    """Write a size [mm] as people round it."""
    if size < 0.2:
        return [f"{size:.4f} mm", f"{size * 1e3:.0f} µm"]
    return [f"{size:.3f} mm", f"{size:.2f} mm"]


def iso() -> Iterator[tuple[float, float, dict[str, list[str]]]]:
    """Wire and pitch [mm] of test-sieve cloth and of R20 pairs that are woven."""
    for aperture, wire in sorted({*sieve_cloth(), *r20_pairs()}):
        pitch = aperture + wire
        area = (aperture / pitch) ** 2 * 100
        yield (
            wire,
            pitch,
            {
                "mesh_count": [
                    f"{25.4 / pitch:.{2 if pitch > 2.54 else 1}f} / in",
                    f"{25.4 / pitch:.0f}{WHOLE_COUNT}",
                ],
                "pitch": [f"{pitch:.{4 if pitch < 0.2 else 3}f} mm"],
                "aperture": [f"{aperture:g} mm", f"{aperture * 1e3:g} µm"],
                "wire_diameter": [f"{wire:g} mm", f"{wire * 1e3:g} µm"],
                "open_area": [f"{area:.1f} %", f"{area:.0f} %"],
            },
        )


def sieve_cloth() -> list[tuple[float, float]]:
    """Aperture and preferred wire [mm]; 1 mm and above, below which the package rounds."""
    return [
        (round(s.opening * 1e3, 5), round((s.d_wire or 0.0) * 1e3, 5))
        for s in ISO_3310_1_sieve_list
        if s.opening > LEAST_COMPARED_M
    ]


def r20_pairs() -> list[tuple[float, float]]:
    """Apertures and wires of R20 [mm] from 63 µm to 9 mm whose wire is a fifth to half a pitch."""
    sizes = [round(size * 10.0**decade, 6) for decade in (-2, -1, 0) for size in R20]
    return [
        (a, d)
        for a, d in product(sizes, sizes)
        if 0.2 < d / (a + d) < 0.45 and a >= 0.063 and d >= 0.04
    ]


Case = tuple[float, float, dict[str, str]]


def cases(source: Iterator[tuple[float, float, dict[str, list[str]]]]) -> list[Case]:
    """Every way to write every cloth in two, three or four sizes that fix it."""
    found: list[Case] = []
    for wire, pitch, texts in source:
        for number in (2, 3, 4):
            for fields in combinations(texts, number):
                if fields == ("mesh_count", "pitch"):
                    continue
                ways = product(*(texts[f] for f in fields))
                found += [(wire, pitch, dict(zip(fields, way, strict=True))) for way in ways]
    return found


def is_meant(case: Case) -> bool:
    """Whether the texts say which cloth it is.

    A whole count of metric cloth needs aperture and wire beside it, and stands for a count within
    3 %: 14.5 per inch is not sold as 15 mesh.
    """
    _, pitch, texts = case
    count = texts.get("mesh_count", "")
    if not count.endswith(WHOLE_COUNT):
        return True
    own = 25.4 / pitch
    near = abs(float(count.removesuffix(WHOLE_COUNT)) / own - 1.0) <= WHOLE_COUNT_LEEWAY
    return near and {"aperture", "wire_diameter"} <= texts.keys()


#: How far wire and mass of the cloth found may be from the one written [-]: what rounding to the
#: customary digits may move, and no review is due for.
SAME_WIRE, SAME_MASS = WORTH_A_LOOK * 1.05, OPEN_AS_EXACT / 2.0
#: Share of all ways to write them by which the very cloth is found, to 1e-6.
VERY_CLOTH = 0.55


def check(written: list[Case], least: int) -> None:
    """Every case is ok, and is the cloth that was written."""
    log = MessageLog(len(written))
    read = {
        field: read_column([texts.get(field, "") for *_, texts in written], kind, field, log)
        for field, kind in KINDS.items()
    }
    done = complete(read, log)
    assert len(written) >= least
    said = log.by_line()
    off = np.flatnonzero(log.status() != "ok").tolist()
    assert [(written[n], [str(m) for m in said[n]]) for n in off[:5]] == []
    wire, pitch = (np.array([case[n] for case in written]) * 1e-3 for n in (0, 1))
    wire_off = np.abs(done.wire_diameter_m / wire - 1.0)
    mass_off = np.abs(done.wire_diameter_m**2 / done.pitch_m / (wire**2 / pitch) - 1.0)
    wrong = np.flatnonzero(~((wire_off <= SAME_WIRE) & (mass_off <= SAME_MASS))).tolist()
    assert [(written[n], wire_off[n], mass_off[n]) for n in wrong[:5]] == []
    assert ((wire_off < 1e-6) & (mass_off < 1e-6)).mean() >= VERY_CLOTH


def test_market_grade_in_any_two_to_four_sizes_is_that_cloth() -> None:
    check(cases(market()), 8_000)


def test_metric_standard_cloth_in_any_two_to_four_sizes_is_that_cloth() -> None:
    check([case for case in cases(iso()) if is_meant(case)], 40_000)


def test_the_sieve_series_is_that_of_the_published_table() -> None:
    """All of `fluids`' table: its wires agree with those remembered, below 1 mm too."""
    known = cloths(0)
    code = next(n for n, s in enumerate(SERIES) if s.file == "iso_3310_1.csv")
    mine = known.series == code
    ours = {
        (round((p - d) * 1e6, 1), round(d * 1e6, 1))
        for p, d in zip(known.pitch[mine], known.wire_diameter[mine], strict=True)
    }
    theirs = {
        (round(s.opening * 1e6, 1), round((s.d_wire or 0.0) * 1e6, 1))
        for s in ISO_3310_1_sieve_list
    }
    assert ours == theirs
    assert len(ours) == 99
