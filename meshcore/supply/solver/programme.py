"""Linear and integer programmes, solved by HiGHS: least cost where rows reach their least."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from meshcore.arrays import BoolArray, FloatArray

if TYPE_CHECKING:
    from highspy._core import _Highs

#: Gap at which HiGHS takes an integer programme as solved, unless told otherwise [-].
_USUAL_GAP = 1e-4
#: Nodes of an integer programme that no time is set for: small ones are proven in fewer (measured).
_MOST_NODES = 200


@dataclass(frozen=True, slots=True)
class LinearAnswer:
    """Solution of a linear programme.

    Parameters
    ----------
    cost
        Least cost.
    values
        Value of each variable.
    worths
        What one more of each row's least would cost.
    """

    cost: float
    values: FloatArray
    worths: FloatArray


@dataclass(frozen=True, slots=True)
class WholeAnswer:
    """Solution of an integer programme.

    Parameters
    ----------
    values
        Value of each variable; whole numbers come within the solver's rounding.
    proven
        Whether none is cheaper, within the gap asked for.
    bound
        No answer costs less.
    """

    values: FloatArray
    proven: bool
    bound: float


def solve_linear(costs: ArrayLike, rows: ArrayLike, least: ArrayLike) -> LinearAnswer:
    """Find the cheapest variables, none below zero, with which each row reaches its least.

    Parameters
    ----------
    costs
        Cost of one of each variable.
    rows
        One row a demand, one column a variable.
    least
        Least of each row.

    Raises
    ------
    ArithmeticError
        If no variables reach it.

    Examples
    --------
    >>> answer = solve_linear([1.0, 3.0], [[1.0, 2.0]], [4.0])
    >>> answer.cost, answer.values.tolist(), answer.worths.tolist()
    (4.0, [4.0, 0.0], [1.0])
    """
    from highspy import HighsModelStatus  # noqa: PLC0415 - heavy

    solver = _solver(costs, rows, least, np.zeros(np.shape(costs), dtype=np.bool_))
    _run(solver)
    status = solver.getModelStatus()
    if status != HighsModelStatus.kOptimal:
        said = solver.modelStatusToString(status)
        raise ArithmeticError(f"the linear programme of the patterns failed: {said}")
    solution = solver.getSolution()
    worths = np.maximum(np.asarray(solution.row_dual, dtype=np.float64), 0.0)
    values = np.asarray(solution.col_value, dtype=np.float64)
    return LinearAnswer(float(solver.getInfo().objective_function_value), values, worths)


def solve_in_whole_numbers(
    costs: ArrayLike,
    rows: ArrayLike,
    least: ArrayLike,
    seconds: float,
    gap: float = _USUAL_GAP,
    whole: BoolArray | None = None,
    target: float = -math.inf,
) -> WholeAnswer | None:
    """Find the cheapest whole numbers, none below zero, with which each row reaches its least.

    Parameters
    ----------
    costs, rows, least
        As of a linear programme.
    seconds
        Time budget [s]; infinite to stop by the nodes looked at instead, so that no clock has a
        say.
    gap
        Share of the cost within which an answer is as good as the best [-].
    whole
        Which variables must be whole; all unless given.
    target
        Cost that is known to be the least there can be: an answer that comes to it ends the search.

    Returns
    -------
    The best that was found; None where nothing was.

    Examples
    --------
    >>> answer = solve_in_whole_numbers([2.0, 3.0], [[2.0, 3.0]], [4.0], seconds=10.0)
    >>> answer.values.astype(int).tolist(), answer.proven
    ([2, 0], True)
    """
    from highspy import HighsModelStatus, SolutionStatus  # noqa: PLC0415 - heavy

    integral = np.ones(np.shape(costs), dtype=np.bool_) if whole is None else whole
    solver = _solver(costs, rows, least, integral)
    if math.isinf(seconds):
        solver.setOptionValue("mip_max_nodes", _MOST_NODES)
    else:
        solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", gap)
    if math.isfinite(target):
        solver.setOptionValue("objective_target", target)
    _run(solver)
    if solver.getInfo().primal_solution_status != SolutionStatus.kSolutionStatusFeasible:
        return None
    values = np.asarray(solver.getSolution().col_value, dtype=np.float64)
    proven = solver.getModelStatus() == HighsModelStatus.kOptimal
    return WholeAnswer(values, proven, float(solver.getInfo().mip_dual_bound))


def _solver(costs: ArrayLike, rows: ArrayLike, least: ArrayLike, whole: BoolArray) -> _Highs:
    """Return a silent solver that holds a programme; the same one gives the same answer."""
    from highspy import HighsLp, HighsVarType, MatrixFormat, kHighsInf  # noqa: PLC0415 - heavy
    from highspy._core import _Highs  # noqa: PLC0415

    entries = np.asarray(rows, dtype=np.float64)
    demands, variables = entries.shape
    column, row = np.nonzero(entries.T)
    programme = HighsLp()
    programme.num_col_, programme.num_row_ = variables, demands
    programme.col_cost_ = np.asarray(costs, dtype=np.float64)
    programme.col_lower_ = np.zeros(variables)
    programme.col_upper_ = np.full(variables, kHighsInf)
    programme.row_lower_ = np.asarray(least, dtype=np.float64)
    programme.row_upper_ = np.full(demands, kHighsInf)
    programme.a_matrix_.format_ = MatrixFormat.kColwise
    programme.a_matrix_.start_ = np.searchsorted(column, np.arange(variables + 1))
    programme.a_matrix_.index_ = row
    programme.a_matrix_.value_ = entries.T[column, row]
    if whole.any():
        kinds = (HighsVarType.kContinuous, HighsVarType.kInteger)
        programme.integrality_ = [kinds[is_whole] for is_whole in whole.tolist()]
    # The class beneath ``highspy.Highs``: that one prints a line as it is made (1.16.0), before it
    # can be told to be silent.
    solver = _Highs()
    solver.setOptionValue("output_flag", False)
    # One thread, and the solver's own random choices always alike.
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("parallel", "off")
    solver.setOptionValue("random_seed", 0)
    solver.passModel(programme)
    return solver


def _run(solver: _Highs) -> None:
    """Solve on one thread, or as the program that we are part of has set HiGHS up."""
    from highspy import HighsStatus  # noqa: PLC0415 - heavy

    if solver.run() == HighsStatus.kError:
        # The first solver of a thread fixes its number of threads; any other number is an error.
        solver.setOptionValue("threads", 0)
        solver.run()
