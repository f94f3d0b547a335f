"""Change one token at a time and see whether the tests notice: the share killed, by room.

    python tests/mutants.py [--points 300] [--seconds 3600] [--room supply] [--seed 1]

First the quick tests run once under coverage, which tells which tests reach which line. Then each
point, drawn at random over the rooms, is changed in a copy of the tree, and the tests that reach
its line run until one fails. A change that no test notices is printed, to be looked at: either a
test is missing, or the change makes no difference.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from queue import SimpleQueue

from mutation.points import Point, mutated, worth_trying
from mutation.reach import Reach, measure

ROOT = Path(__file__).resolve().parent.parent
#: Files of no room's behaviour: how the program is started, and where its data lie.
LEFT_OUT = ("__main__.py", "demo.py")
#: Tests tried first, the most particular, and how many of the rest follow where these pass.
FIRST_TESTS, MORE_TESTS = 25, 200
#: Tests that read the source itself, and so reach every line of it.
READ_THE_SOURCE = ("tests/unit/test_frozen_facts.py",)
#: Computing time after which the first of them, or the rest, are caught in a loop [s].
LOOP_S, LONGER_LOOP_S = 60, 240
#: What pytest answers where all passed, and where one failed or a module could not be loaded.
PASSED, NOTICED = 0, (1, 2, 4)


@dataclass(frozen=True)
class Tree:
    """A copy of the tree, and the process that runs its tests."""

    folder: Path
    process: subprocess.Popen[str]
    times: count[int]

    def write(self, name: Path, source: str) -> None:
        """Write a file under a time of its own: what was compiled before is never taken for it."""
        (self.folder / name).write_text(source, "utf-8")
        moment = next(self.times)
        os.utime(self.folder / name, (moment, moment))

    def notices(self, tests: list[str], seconds: int) -> bool:
        """Whether any of some tests fails, or does not end."""
        asked, answers = self.process.stdin, self.process.stdout
        if not tests or asked is None or answers is None:
            return False
        asked.write(json.dumps({"tests": tests, "seconds": seconds}) + "\n")
        asked.flush()
        code = int(answers.readline())
        if code > 0 and code not in NOTICED:
            raise RuntimeError(f"pytest ended with {code} on {tests}")
        return code != PASSED


@dataclass(frozen=True)
class Verdict:
    """What became of one mutant."""

    point: Point
    fate: str
    seconds: float


def room_of(path: Path) -> str:
    """Room that a file belongs to, for the tally."""
    if path.parts[0] != "meshcore":
        return path.parts[0]
    return path.parts[1] if len(path.parts) > 2 else "meshcore"


def sources() -> list[Path]:
    """Files that are mutated, relative to the root."""
    listed = subprocess.run(
        ["git", "ls-files", "meshcore", "plugins", "apps"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.split()  # fmt: skip
    return [Path(p) for p in listed if p.endswith(".py") and Path(p).name not in LEFT_OUT]


def draw(points: dict[str, list[Point]], wanted: int, seed: int) -> list[Point]:
    """Draw points evenly over the rooms, in an order that any cut leaves even."""
    rng = random.Random(seed)
    for held in points.values():
        rng.shuffle(held)
    rounds = [p for n in range(wanted) for p in (held[n : n + 1] for held in points.values()) if p]
    return [p[0] for p in rounds][:wanted]


def copy_tree(target: Path) -> None:
    """Copy what git knows, and what it does not ignore, to a folder of its own."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, check=True,
    ).stdout.split(b"\0")  # fmt: skip
    for name in filter(None, listed):
        source = ROOT / name.decode()
        if source.is_file():
            place = target / name.decode()
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(source.read_bytes())


def environment(tree: Path) -> dict[str, str]:
    """Environment in which a tree's own modules are found first."""
    places = [tree, tree / "plugins", tree / "apps/estimator", tree / "tests"]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(map(str, places)), "CI": ""}


def warm_tree(folder: Path) -> Tree:
    """Copy the tree, and start the process that runs its tests."""
    copy_tree(folder)
    process = subprocess.Popen(
        [sys.executable, "-P", "-m", "mutation.warm"], cwd=folder, env=environment(folder),
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    return Tree(folder, process, count(1_000_000_000, 10))


def judge(point: Point, reach: Reach, trees: SimpleQueue[Tree]) -> Verdict:
    """Make one mutant in a free tree, run its tests, and put the tree right again."""
    began = time.monotonic()
    tests = reach.tests(point)
    first, more = tests[:FIRST_TESTS], tests[FIRST_TESTS : FIRST_TESTS + MORE_TESTS]
    tree = trees.get()
    original = (tree.folder / point.path).read_text("utf-8")
    try:
        tree.write(point.path, mutated(original, point))
        if not tests:
            fate = "reached by no test"
        elif tree.notices([*READ_THE_SOURCE, *first], LOOP_S) or tree.notices(more, LONGER_LOOP_S):
            fate = "killed"
        else:
            fate = "survived"
    finally:
        tree.write(point.path, original)
        trees.put(tree)
    return Verdict(point, fate, time.monotonic() - began)


def report(verdicts: list[Verdict]) -> float:
    """Print the share killed by room; return the least of them."""
    tally: dict[str, Counter[str]] = defaultdict(Counter)
    for verdict in verdicts:
        tally[room_of(verdict.point.path)][verdict.fate] += 1
    shares = {room: c["killed"] / c.total() for room, c in sorted(tally.items())}
    for room, share in shares.items():
        print(
            f"{room:12} {tally[room]['killed']:4} of {tally[room].total():4} killed  {share:6.1%}"
        )
    killed = sum(c["killed"] for c in tally.values())
    print(f"{'all':12} {killed:4} of {len(verdicts):4} killed  {killed / len(verdicts):6.1%}")
    return min(shares.values())


def main() -> int:
    """Run the mutants; exit 1 where a room falls below the share asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--points", type=int, default=300, help="how many mutants")
    parser.add_argument("--seconds", type=float, default=3600.0, help="stop drawing after so long")
    parser.add_argument("--room", action="append", help="only this room; may be repeated")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--least", type=float, default=0.85, help="share that each room must reach")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--reach", type=Path, help="keep, or use again, what tests reach what")
    chosen = parser.parse_args()
    points: dict[str, list[Point]] = defaultdict(list)
    for path in sources():
        if not chosen.room or room_of(path) in chosen.room:
            points[room_of(path)] += worth_trying(path, (ROOT / path).read_text("utf-8"))
    with tempfile.TemporaryDirectory() as held:
        trees: SimpleQueue[Tree] = SimpleQueue()
        for number in range(chosen.workers):
            trees.put(warm_tree(Path(held) / f"tree{number}"))
        tree = Path(held) / "tree0"
        scratch = (chosen.reach or Path(held) / "reach").resolve()
        reach = measure(tree, scratch, chosen.workers, environment(tree))
        print(f"{reach.count} tests reach the code; {sum(map(len, points.values()))} points.")
        verdicts: list[Verdict] = []
        deadline = time.monotonic() + chosen.seconds

        def work(point: Point) -> None:
            if time.monotonic() < deadline:
                verdict = judge(point, reach, trees)
                verdicts.append(verdict)
                if verdict.fate != "killed":
                    print(f"{verdict.fate}: {point}", flush=True)

        with ThreadPoolExecutor(chosen.workers) as pool:
            list(pool.map(work, draw(points, chosen.points, chosen.seed)))
        for _ in range(chosen.workers):
            trees.get().process.kill()
    return int(report(verdicts) < chosen.least)


if __name__ == "__main__":
    sys.exit(main())
