"""One run of the strip packer in a process of its own, so that it can be stopped.

Run as a file: the job comes as JSON on standard input, what was found goes as JSON lines to
standard output. Nothing of meshcore is imported, so that it starts at once.

The packer explores, parting the pieces on an ever narrower strip, and then compresses what it has
found. Each run takes the time that it is given; one that comes to its own end sooner is followed by
one from the next seed, and the narrowest strip of them all is kept. Where the time is infinite, one
run ends by its steps, which depend on the seed alone: the same on every machine.
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
#: Steps of a run that no clock ends, and the time that the packer is told it has [s].
_STEPS, _AMPLE_S = 300, 3600


def main() -> None:
    """Read a job, pack it, write the narrowest strip on which all pieces were parted."""
    import spyrrow  # noqa: PLC0415 - so that the module can be read without it

    job = json.loads(sys.stdin.read())
    items = [
        spyrrow.Item(str(n), [tuple(p) for p in item["corners"]], item["count"], item["turns"])
        for n, item in enumerate(job["items"])
    ]
    instance = spyrrow.StripPackingInstance("nest", job["height"], items)
    deadline = time.monotonic() + job["seconds"]
    best: tuple[Any, int, int] | None = None
    seed = job["seed"]
    while (left := deadline - time.monotonic()) > _LEAST_S or best is None:
        best = _run(spyrrow, instance, seed, max(left, _LEAST_S), deadline, best)
        seed += 1
        by_steps = math.isinf(left)
        enough = best is not None and best[0].width <= job["enough"]
        if by_steps or enough or time.monotonic() > deadline + _PATIENCE_S:
            break
    placed = best[0].placed_items if best else []
    _say({
        "pieces": [[int(p.id), *p.translation, p.rotation] for p in placed],
        "seed": best[1] if best else 0, "step": best[2] if best else 0,
    })  # fmt: skip
    # The packer cannot be asked to stop.
    os._exit(0)


def _run(
    spyrrow: Any,  # noqa: ANN401 - untyped package
    instance: Any,  # noqa: ANN401
    seed: int,
    seconds: float,
    deadline: float,
    best: tuple[Any, int, int] | None,
) -> tuple[Any, int, int] | None:
    """One run of both phases; return the best of it and what was best before."""
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
                return best
            if kind in feasible and (best is None or solution.width < best[0].width):
                best = (solution, seed, step)
                _say({"length": solution.width})
        if not alive or (time.monotonic() >= deadline and best is not None):
            return best
        time.sleep(_POLL)


def _say(line: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(line) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
