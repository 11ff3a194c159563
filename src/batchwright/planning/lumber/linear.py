"""Linear programs, whole-number ones too: the one door to the solver library."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
_STDOUT = 1
_NEAR = 0.003
"""A whole x this near to the bound is good enough to end with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """Least `costs @ x` with `rows @ x >= least` and `0 <= x <= most`."""

    costs: Floats
    rows: Floats
    """Shape (rows, columns)."""
    least: Floats
    most: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The best x, what one more of each row's need would cost, and a proven lower bound on the least cost."""

    values: Floats
    worths: Floats
    bound: float


class LinearError(Exception):
    """The solver library did not come to an answer."""


def minimise(program: Program) -> Answer:
    """The optimum of a linear program."""
    solver = _solver()
    _run(solver, program, whole=False)
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise LinearError(f"linear program: {solver.getModelStatus()}")
    solution = solver.getSolution()
    return Answer(
        values=np.array(solution.col_value),
        worths=np.maximum(np.array(solution.row_dual), 0.0),
        bound=float(solver.getInfo().objective_function_value),
    )


def bound_whole(program: Program, nodes: int) -> float | None:
    """A proven lower bound on the least cost where every x is whole, of the linear program where no nodes are to be
    looked at; None where no x will do."""
    solver = _solver()
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("mip_rel_gap", 0.0)
    _run(solver, program, whole=nodes > 0)
    status, info = solver.getModelStatus(), solver.getInfo()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status == highspy.HighsModelStatus.kOptimal and nodes == 0:
        return float(info.objective_function_value)
    if status not in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kSolutionLimit):
        raise LinearError(f"whole-number program: {status}")
    return float(info.mip_dual_bound)


def choose_whole(program: Program, first: Floats, nodes: int) -> Floats:
    """A good whole x, `first` or better; not always the best. The same x for the same program, first x and nodes."""
    solver = _solver()
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("mip_rel_gap", _NEAR)
    solver.setOptionValue("random_seed", 1)
    _pass(solver, program, whole=True)
    start = highspy.HighsSolution()
    start.col_value = list(first)
    solver.setSolution(start)
    _go(solver)
    found = np.round(np.array(solver.getSolution().col_value))
    if len(found) == len(first) and np.all(program.rows @ found >= program.least - 1e-6):
        return found if program.costs @ found < program.costs @ first else first
    return first


def _solver() -> highspy.Highs:
    with _hushed():
        solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    return solver


def _run(solver: highspy.Highs, program: Program, whole: bool) -> None:
    _pass(solver, program, whole)
    _go(solver)


def _go(solver: highspy.Highs) -> None:
    if solver.run() == highspy.HighsStatus.kError:
        raise LinearError("the solver refused the program")


def _pass(solver: highspy.Highs, program: Program, whole: bool) -> None:
    model = highspy.HighsLp()
    rows, columns = program.rows.shape
    model.num_col_, model.num_row_ = columns, rows
    model.col_cost_ = program.costs
    model.col_lower_, model.col_upper_ = np.zeros(columns), program.most
    model.row_lower_, model.row_upper_ = program.least, np.full(rows, highspy.kHighsInf)
    by_column = program.rows.T
    filled = by_column != 0.0
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum(filled.sum(axis=1))]).astype(np.int32)
    model.a_matrix_.index_ = np.nonzero(filled)[1].astype(np.int32)
    model.a_matrix_.value_ = by_column[filled]
    if whole:
        model.integrality_ = [highspy.HighsVarType.kInteger] * columns
    if solver.passModel(model) == highspy.HighsStatus.kError:
        raise LinearError("the solver refused the program")


@contextmanager
def _hushed() -> Iterator[None]:
    """Keeps the library's greeting, which it writes past Python, out of what the user reads."""
    try:
        kept = os.dup(_STDOUT)
    except OSError:  # there is no standard output to keep clean
        yield
        return
    reading, writing = os.pipe()
    try:
        os.dup2(writing, _STDOUT)
        yield
    finally:
        os.dup2(kept, _STDOUT)
        for each in (kept, reading, writing):
            with suppress(OSError):
                os.close(each)
