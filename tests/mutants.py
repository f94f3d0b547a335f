"""Change one token at a time and see whether the tests notice: the share killed, by room.

    python tests/mutants.py [--points 300] [--seconds 3600] [--room supply] [--seed 1]

First the quick tests run once under coverage, which tells which tests reach which line. Then each
point, drawn at random over the rooms, is changed in a copy of the tree, and the tests that reach
its line run until one fails. A change that no test notices is printed, to be looked at: either a
test is missing, or the change makes no difference.
"""

from __future__ import annotations

import argparse
import os
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue

from mutation.points import Point, mutated, points_of
from mutation.reach import Reach, measure

ROOT = Path(__file__).resolve().parent.parent
#: Files of no room's behaviour: how the program is started, and where its data lie.
LEFT_OUT = ("__main__.py", "demo.py")
#: A mutant that runs so much longer than its tests is caught in a loop [s].
TIME_LIMIT = 180
#: Tests tried first, the most particular; the rest follow only if these pass.
FIRST_TESTS = 25


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


def notices(tree: Path, tests: list[str]) -> bool:
    """Whether any of some tests fails in a tree."""
    if not tests:
        return False
    command = [sys.executable, "-P", "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider"]
    try:
        done = subprocess.run(
            [*command, *tests], cwd=tree, env=environment(tree), timeout=TIME_LIMIT,
            capture_output=True, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    return done.returncode != 0


def judge(point: Point, reach: Reach, trees: SimpleQueue[Path]) -> Verdict:
    """Make one mutant in a free tree, run its tests, and put the tree right again."""
    began = time.monotonic()
    tests = reach.tests(point)
    tree = trees.get()
    file = tree / point.path
    original = file.read_text("utf-8")
    try:
        file.write_text(mutated(original, point), "utf-8")
        if not tests:
            fate = "reached by no test"
        elif notices(tree, tests[:FIRST_TESTS]) or notices(tree, tests[FIRST_TESTS:]):
            fate = "killed"
        else:
            fate = "survived"
    finally:
        file.write_text(original, "utf-8")
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
            points[room_of(path)] += points_of(path, (ROOT / path).read_text("utf-8"))
    with tempfile.TemporaryDirectory() as held:
        trees: SimpleQueue[Path] = SimpleQueue()
        for number in range(chosen.workers):
            tree = Path(held) / f"tree{number}"
            copy_tree(tree)
            trees.put(tree)
        reach = measure(ROOT, chosen.reach or Path(held), chosen.workers, environment(ROOT))
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
    return int(report(verdicts) < chosen.least)


if __name__ == "__main__":
    sys.exit(main())
