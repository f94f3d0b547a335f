"""Forty requests as buyers make them, and what a practitioner would offer among the first three.

Every expectation is common practice, no source, unless its line names one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import meshcore as mc
from meshcore.demo import demo_price_book, demo_supply_policy

#: Requests of the forty that must be met.
LEAST_MET = 36


@dataclass(frozen=True)
class Request:
    """What a buyer says, and the aperture, wire [mm] and weaves that a practitioner offers."""

    use: str
    figures: dict[str, str]
    aperture: tuple[float, float]
    wire: tuple[float, float]
    weaves: tuple[str, ...]


CRIMPED = ("double crimp", "intermediate crimp")
FINE = ("plain", "twilled")
REQUESTS = (
    Request("screening", {"cut_size": "6 mm"}, (6.7, 7.5), (1.6, 2.8), CRIMPED),
    Request("screening", {"cut_size": "10 mm"}, (11.2, 12.5), (2.5, 4.0), CRIMPED),
    Request("screening", {"cut_size": "20 mm", "duty": "heavy"}, (22.4, 26.5), (8, 12.5), CRIMPED),
    Request("screening", {"cut_size": "25 mm"}, (28, 31.5), (6.3, 10), CRIMPED),
    Request("screening", {"cut_size": "50 mm", "duty": "heavy"}, (56, 63), (16, 25), CRIMPED),
    Request("screening", {"cut_size": "2 mm"}, (2.24, 2.6), (0.7, 1.25), (*CRIMPED, "plain")),
    Request("screening", {"cut_size": "1 mm"}, (1.12, 1.25), (0.35, 0.63), (*CRIMPED, "plain")),
    Request("screening", {"cut_size": "0.5 mm"}, (0.56, 0.63), (0.2, 0.315), FINE),
    Request("screening", {"cut_size": "40 mm", "duty": "light"}, (45, 50), (6.3, 12.5), CRIMPED),
    Request("screening", {"cut_size": "4 mm", "feed": "damp"}, (4.5, 5.6), (1.0, 1.8), CRIMPED),
    Request("filtration", {"particle": "0.1 mm"}, (0.09, 0.1), (0.04, 0.07), FINE),
    Request("filtration", {"particle": "25 µm"}, (0.02, 0.025), (0.018, 0.03), FINE),
    Request("filtration", {"particle": "40 µm"}, (0.036, 0.04), (0.025, 0.036), FINE),
    Request("filtration", {"particle": "75 µm"}, (0.07, 0.075), (0.045, 0.056), FINE),
    Request("filtration", {"particle": "150 µm"}, (0.14, 0.15), (0.07, 0.11), FINE),
    Request("filtration", {"particle": "0.5 mm"}, (0.45, 0.5), (0.2, 0.35), FINE),
    Request("filtration", {"particle": "1 mm"}, (0.9, 1.0), (0.3, 0.6), FINE),
    Request("filtration", {"particle": "3 mm"}, (2.5, 3.0), (0.7, 1.25), FINE),
    Request("insects", {"insect": "mosquitoes"}, (1.0, 1.3), (0.2, 0.35), ("plain",)),
    Request("insects", {"insect": "flies"}, (1.3, 1.7), (0.25, 0.45), ("plain",)),
    Request("insects", {"insect": "bees"}, (2.5, 3.5), (0.5, 0.9), ("plain",)),
    Request("insects", {"insect": "mice"}, (5.0, 6.0), (0.6, 1.3), ("plain", "welded")),
    Request("insects", {"insect": "thrips"}, (0.15, 0.19), (0.05, 0.1), ("plain",)),
    Request("ventilation", {"keep_out": "6 mm"}, (5.0, 6.0), (0.7, 1.3), ("plain", "welded")),
    Request("ventilation", {"keep_out": "12.5 mm"}, (10, 12.5), (1.0, 2.0), ("plain", "welded")),
    Request("ventilation", {"keep_out": "20 mm"}, (16, 20), (1.2, 2.5),
            ("plain", "welded", *CRIMPED)),
    Request("ventilation", {"keep_out": "3 mm"}, (2.5, 3.0), (0.5, 0.9), ("plain",)),
    # ISO 13857, table 4 (from memory): 30 mm at 120 mm, 10 at 25, 8 at 15, 120 at 850.
    Request("guarding", {"distance": "120 mm"}, (20, 28.6), (2.0, 4.0), ("welded", *CRIMPED)),
    Request("guarding", {"distance": "25 mm"}, (8.0, 9.5), (2.0, 3.2),
            ("welded", "plain", *CRIMPED)),
    Request("guarding", {"distance": "15 mm"}, (5.6, 7.6), (2.0, 2.5),
            ("welded", "plain", *CRIMPED)),
    Request("guarding", {"distance": "850 mm"}, (50, 115), (3.0, 8.0), ("welded", *CRIMPED)),
    # ISO 3310-1, apertures with their preferred wires (from memory).
    Request("test sieving", {"aperture": "150 µm"}, (0.15, 0.15), (0.1, 0.1), ("plain",)),
    Request("test sieving", {"aperture": "75 µm"}, (0.075, 0.075), (0.05, 0.05), ("plain",)),
    Request("test sieving", {"aperture": "4.75 mm"}, (4.75, 4.75), (1.6, 1.6), ("plain",)),
    Request("test sieving", {"aperture": "2 mm"}, (2.0, 2.0), (0.9, 0.9), ("plain",)),
    Request("support", {"fine_aperture": "0.15 mm"}, (1.0, 2.0), (0.4, 0.7), ("plain",)),
    Request("support", {"fine_aperture": "40 µm"}, (0.25, 0.56), (0.12, 0.3), ("plain",)),
    Request("conveying", {"item": "25 mm"}, (10, 16), (2.0, 4.0), ("plain", *CRIMPED)),
    Request("reinforcement", {"section": "131 mm²/m", "grain": "8 mm"}, (25, 60), (2.0, 3.6),
            ("welded",)),
    Request("shielding", {"frequency": "1 GHz", "attenuation": "40 dB"}, (0.8, 1.3), (0.15, 0.35),
            ("plain",)),
)  # fmt: skip


def met(request: Request) -> bool:
    found = mc.specify(
        request.use,
        request.figures,
        price_book=demo_price_book(),
        supply_policy=demo_supply_policy(),
        count=3,
    )
    assert not found.messages, [str(m) for m in found.messages]
    return any(_suits(request, one.cells) for one in found.offers)


def _suits(request: Request, cells: Mapping[str, str]) -> bool:
    line = mc.estimate(
        mc.Enquiry(
            mesh_count=cells["mesh_count"] or None,
            aperture=cells["aperture"] or None,
            wire_diameter=cells["wire_diameter"],
            weave=cells["weave"],
        )
    ).row
    dust = 1e-6
    return (
        request.aperture[0] * (1 - dust) <= line["aperture_mm"] <= request.aperture[1] * (1 + dust)
        and request.wire[0] * (1 - dust) <= line["wire_diameter_mm"] <= request.wire[1] * (1 + dust)
        and cells["weave"] in request.weaves
    )


def test_forty_requests_as_buyers_make_them() -> None:
    assert len(REQUESTS) == 40
    missed = [(one.use, one.figures) for one in REQUESTS if not met(one)]
    assert len(REQUESTS) - len(missed) >= LEAST_MET, missed
