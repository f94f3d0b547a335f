"""The solver is silent and leaves standard output alone; it answers beside other solvers."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from meshcore.supply.solver.cutting_stock import _Search
from meshcore.supply.solver.programme import solve_in_whole_numbers, solve_linear
from meshcore.supply.solver.whole_numbers import Cutting

#: Plans strips with part rolls at a charge, which takes integer programmes, while a thread writes
#: to the file descriptor of standard output, as a server's threads do. Both tell in the end, by
#: standard error, what they saw.
PROGRAM = """
import os, sys, threading
import numpy as np
from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting import rolls as runs_and_rolls
from meshcore.supply.slitting.plan import SlitStock, SlitTerms, StripOrder
from meshcore.supply.slitting.planning import slit
from meshcore.supply.solver import programme

solved = 0
solve = programme.solve_in_whole_numbers

def counted(*args, **kwargs):
    global solved
    solved += 1
    return solve(*args, **kwargs)

for module in list(sys.modules.values()):
    if getattr(module, "solve_in_whole_numbers", None) is solve:
        module.solve_in_whole_numbers = counted

stop, written, outputs = threading.Event(), 0, set()

def talk():
    global written
    while not stop.is_set() or not written:
        seen = os.fstat(1)
        outputs.add((seen.st_dev, seen.st_ino))
        os.write(1, b"a line of another thread\\n")
        written += 1

thread = threading.Thread(target=talk)
thread.start()
rolls = RollTerms(30.0, (15.0,), (0.0, 30.0), metre_cost=1.2, part_charge=2.0)
terms = SlitTerms((SlitStock(1.2, rolls),), edge_trim_m=0.005, kerf_m=0.0, join=False)
order = StripOrder(np.array([0.31, 0.27, 0.45]), np.array([7.0, 7.0, 7.0]), np.array([7, 5, 9]))
slit(order, terms, seconds=1.0)
stop.set()
thread.join()
print(written, len(outputs), solved, file=sys.stderr)
"""


def test_what_other_threads_write_is_not_lost_and_nothing_is_added() -> None:
    # A reader that takes away what is written, or the thread would wait for room in the pipe.
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        stdin=subprocess.DEVNULL, capture_output=True, text=True, check=True,
    )  # fmt: skip
    written, outputs, solved = map(int, done.stderr.split())
    assert solved > 0
    assert outputs == 1
    assert done.stdout.splitlines() == ["a line of another thread"] * written


BESIDE = """
import highspy
from meshcore.supply.solver.cutting_stock import _Search
from meshcore.supply.solver.programme import solve_in_whole_numbers, solve_linear

theirs = highspy.Highs()
theirs.setOptionValue("threads", 2)
theirs.addVariable(lb=0, ub=5, obj=-1, type=highspy.HighsVarType.kInteger)
theirs.run()
assert solve_linear([1.0, 3.0], [[1.0, 2.0]], [4.0]).cost == 4.0
assert solve_in_whole_numbers([2.0, 3.0], [[2.0, 3.0]], [4.0], 60.0).proven
"""


def test_a_program_that_solves_on_more_threads_is_no_hindrance() -> None:
    subprocess.run([sys.executable, "-c", BESIDE], stdin=subprocess.DEVNULL, check=True)


def test_rows_that_cannot_be_met_are_said() -> None:
    with pytest.raises(ArithmeticError, match="Infeasible"):
        solve_linear([1.0], [[0.0]], [1.0])
    assert solve_in_whole_numbers([1.0], [[0.0]], [1.0], 60.0) is None


@pytest.mark.parametrize("seed", range(10))
def test_answers_against_scipy(seed: int) -> None:
    """Scipy brings a HiGHS of its own, another version of it: costs agree, and so do the worths
    where the optimum is one corner, as it almost surely is of random numbers.
    """
    from scipy.optimize import LinearConstraint, linprog, milp  # noqa: PLC0415

    rng = np.random.default_rng(seed)
    costs, rows = rng.uniform(1.0, 3.0, 30), rng.integers(0, 5, (8, 30)).astype(float)
    least = rng.uniform(5.0, 40.0, 8)
    linear, theirs = solve_linear(costs, rows, least), linprog(costs, A_ub=-rows, b_ub=-least)
    assert linear.cost == pytest.approx(theirs.fun, rel=1e-9)
    assert linear.values == pytest.approx(theirs.x, abs=1e-7)
    assert linear.worths == pytest.approx(-theirs.ineqlin.marginals, abs=1e-7)
    some_whole = np.arange(30) % 3 > 0
    for whole in (None, some_whole):
        found = solve_in_whole_numbers(costs, rows, least, 60.0, gap=0.0, whole=whole)
        kinds = np.ones(30, dtype=np.int64) if whole is None else whole.astype(np.int64)
        best = milp(
            costs, integrality=kinds, constraints=LinearConstraint(rows, lb=least),
            options={"mip_rel_gap": 0.0},
        )  # fmt: skip
        assert found is not None
        assert found.proven
        assert costs @ found.values == pytest.approx(best.fun, rel=1e-6)
        assert rows @ found.values == pytest.approx(np.maximum(rows @ found.values, least))
        if whole is not None:
            assert found.values[whole] == pytest.approx(np.rint(found.values[whole]), abs=1e-6)


def test_a_search_keeps_the_cheapest_plan_that_it_is_offered() -> None:
    search = _Search([], lambda _worths, _demand: (), 0.0, np.random.default_rng(0))
    kept = []
    for cost in (10.0, 12.0, 10.0 * (1 + 1e-12), 9.5, 19.0):
        search.offer(Cutting((), (), cost))
        kept.append(search.best.cost)
    search.offer(None)
    assert kept == [10.0, 10.0, 10.0, 9.5, 9.5]
    assert search.best.cost == 9.5
