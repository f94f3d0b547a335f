"""What judging all alloys costs: one service, and ten thousand at once."""

from __future__ import annotations

import time

import numpy as np

import meshcore as mc
from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.comparison.surroundings import ENVIRONMENTS, KINDS
from meshcore.alloys.records.registry import installed_registry

SERVICES = 10_000
SEED = 20261101
#: One comparison, prices included, should take less than this [s].
AIM_ONE = 0.050
REPEATS = 5


def random_services(count: int, kinds: tuple[str, ...] = ("air",)) -> list[mc.Conditions]:
    """Return services at random over the surroundings of some kinds, and temperatures."""
    rng = np.random.default_rng(SEED)
    environments = [name for name, place in ENVIRONMENTS.items() if place.kind in kinds]
    return [
        mc.Conditions(
            environment=environments[rng.integers(len(environments))],
            years_wanted=float(rng.integers(1, 50)),
            temperature_c=float(rng.integers(20, 1000)),
            weld=bool(rng.integers(2)),
        )
        for _ in range(count)
    ]


def main() -> None:
    """Time the judging of many services, and one whole comparison."""
    facts = alloy_facts(installed_registry().alloys)
    columns = condition_columns(random_services(SERVICES))
    wire = np.full(SERVICES, 0.9e-3)
    many = min(_timed(lambda: judge_alloys(facts, columns, wire)) for _ in range(REPEATS))
    one_service = condition_columns(random_services(1))
    one = min(_timed(lambda: judge_alloys(facts, one_service, wire[:1])) for _ in range(REPEATS))
    mixed = condition_columns(random_services(SERVICES, KINDS))
    all_kinds = min(_timed(lambda: judge_alloys(facts, mixed, wire)) for _ in range(REPEATS))
    alloys = len(installed_registry().alloys)
    print(f"judging {alloys} alloys for {SERVICES:,} services at once:")
    print(f"  {many / SERVICES * 1e6:.1f} µs a service, "
          f"{one / (many / SERVICES):.0f} times cheaper than one service alone")  # fmt: skip
    print(f"  {all_kinds / many:.2f} times as much over waters, chemicals, gases and ground too")
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.035 in", form=mc.Roll("48 in"))
    service = mc.Conditions(environment="coastal", years_wanted=15)
    whole = min(_timed(lambda: mc.compare_alloys(mesh, service)) for _ in range(REPEATS))
    print(f"  one comparison with prices takes {whole / AIM_ONE:.2f} of its 50 ms")
    doubtful = mc.Conditions(environment="process water", h2s="not known", oxidisers="not known")
    unknown = min(_timed(lambda: mc.compare_alloys(mesh, doubtful)) for _ in range(REPEATS))
    print(f"  with two fields that nobody knows, {unknown / AIM_ONE:.2f}")


def _timed(work: object) -> float:
    assert callable(work)
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
