"""Runs of the strip packer in a process of its own, so that they can be stopped.

Run as a file: the job comes as JSON on standard input, each shorter nest goes as a JSON line to
standard output. Nothing of meshcore is imported, so that it starts at once.

The packer explores, parting the pieces on an ever narrower strip, and then compresses what it has
found. The first run is what the packer would do alone with the same seed and all of the time; one
that comes to its own end sooner is followed by one from the next seed. Where the time is infinite,
one run ends by its steps, which depend on the seed alone: the same on every machine.
"""

from __future__ import annotations

import json
import math
import os
import sys
import threading
import time
from typing import Any

#: How often the packer is asked for news [s].
_POLL = 0.01
#: Share of a run that is given to compression [-]: as the packer itself shares a budget.
_COMPRESSION_SHARE = 0.2
#: Time below which no further run is begun, and by how much the first nest may be late [s].
_LEAST_S, _PATIENCE_S = 1.0, 4.0
#: What a run may take beyond its time to come to its end, as a share of it and at most [s]: the
#: packer looks at the clock between two attempts only.
_BEYOND_SHARE, _BEYOND_S = 0.25, 1.0
#: Steps of a run that no clock ends, and the time that the packer is told it has [s].
_STEPS, _AMPLE_S = 300, 3600


def main() -> None:
    """Read a job and pack it, writing each narrower strip on which all pieces were parted."""
    import spyrrow  # noqa: PLC0415 - so that the module can be read without it

    job = json.loads(sys.stdin.read())
    items = [
        spyrrow.Item(str(n), [tuple(p) for p in item["corners"]], item["count"], item["turns"])
        for n, item in enumerate(job["items"])
    ]
    instance = spyrrow.StripPackingInstance("nest", job["height"], items)
    deadline = time.monotonic() + job["seconds"]
    width, seed = math.inf, job["seed"]
    while (left := deadline - time.monotonic()) > _LEAST_S or math.isinf(width):
        width = _run(spyrrow, instance, seed, max(left, _LEAST_S), width)
        seed += 1
        by_steps, enough = math.isinf(left), width <= job["enough"]
        if by_steps or enough or time.monotonic() > deadline + _PATIENCE_S:
            break
    # The packer cannot be asked to stop.
    os._exit(0)


def _run(
    spyrrow: Any,  # noqa: ANN401 - untyped package
    instance: Any,  # noqa: ANN401
    seed: int,
    seconds: float,
    width: float,
) -> float:
    """One run of both phases; return the least width of it and of those before."""
    # The packer takes whole seconds; the clock below cuts the last one short.
    by_steps = math.isinf(seconds)
    compression = 1 if by_steps else max(1, round(seconds * _COMPRESSION_SHARE))
    exploration = _AMPLE_S if by_steps else max(1, math.ceil(seconds) - compression)
    config = spyrrow.StripPackingConfig(
        early_termination=True,
        total_computation_time=None,
        exploration_time=exploration,
        compression_time=compression,
        num_workers=1,
        seed=seed,
    )
    news = spyrrow.ProgressQueue()
    packer = threading.Thread(target=instance.solve, args=(config, news), daemon=True)
    end = time.monotonic() + seconds + min(seconds * _BEYOND_SHARE, _BEYOND_S)
    packer.start()
    step = 0
    exploring = (
        spyrrow.ReportType.ExplFeas,
        spyrrow.ReportType.ExplInfeas,
        spyrrow.ReportType.ExplImproving,
    )
    feasible = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas)
    while True:
        alive = packer.is_alive()
        for kind, solution in news.drain():
            step += 1
            if by_steps and (step > _STEPS or kind not in exploring):
                # Compression goes by the clock: it has no part in a run that does not.
                return width
            if kind in feasible and solution.width < width:
                width = solution.width
                pieces = [[int(p.id), *p.translation, p.rotation] for p in solution.placed_items]
                _say({"length": width, "pieces": pieces, "seed": seed, "step": step})
        if not alive or (time.monotonic() >= end and math.isfinite(width)):
            return width
        time.sleep(_POLL)


def _say(line: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(line) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
