"""One run of the strip packer in a process of its own, so that it can be stopped.

Run as a file: the job comes as JSON on standard input, what was found goes as JSON lines to
standard output. Nothing of meshcore is imported, so that it starts at once.

The packer shrinks the strip step by step and tries to part the pieces on it. It takes its time
limit from the clock; but the steps themselves depend on the seed alone, with one thread. So the
run ends at the first strip on which the pieces could not be parted, which is the same on every
machine, and the clock is only a limit to that.
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


def main() -> None:
    """Read a job, pack it, write the narrowest strip on which all pieces were parted."""
    import spyrrow  # noqa: PLC0415 - so that the module can be read without it

    job = json.loads(sys.stdin.read())
    items = [
        spyrrow.Item(str(n), [tuple(p) for p in item["corners"]], item["count"], item["turns"])
        for n, item in enumerate(job["items"])
    ]
    instance = spyrrow.StripPackingInstance("nest", job["height"], items)
    config = spyrrow.StripPackingConfig(
        early_termination=True,
        total_computation_time=None,
        exploration_time=math.ceil(job["seconds"]) + 1,
        compression_time=1,
        num_workers=1,
        seed=job["seed"],
    )
    news = spyrrow.ProgressQueue()
    packer = threading.Thread(target=instance.solve, args=(config, news), daemon=True)
    deadline = time.monotonic() + job["seconds"]
    packer.start()
    best, ended = None, False
    while not ended and time.monotonic() < deadline:
        alive = packer.is_alive()
        for kind, solution in news.drain():
            ended = ended or kind == spyrrow.ReportType.ExplInfeas
            if kind == spyrrow.ReportType.ExplFeas and not ended:
                best = solution
                _say({"length": solution.width})
        ended = ended or not alive
        time.sleep(_POLL)
    pieces = [[int(p.id), *p.translation, p.rotation] for p in (best.placed_items if best else [])]
    _say({"pieces": pieces, "ended": ended})
    # The packer cannot be asked to stop.
    os._exit(0)


def _say(line: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(line) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
