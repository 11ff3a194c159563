"""Findings come the worst first, and each once."""

from __future__ import annotations

from batchwright.app.order import worst_first
from batchwright.base.fault import Place
from batchwright.base.finding import Finding, Grade


def finding(what: str, grade: Grade, line: int) -> Finding:
    return Finding(code="trial", grade=grade, what=what, mend="", place=Place("a.piece.yaml", line, 1))


def test_failing_ones_come_first_then_by_line_and_doubles_go() -> None:
    note, near, late, early = (
        finding("note", Grade.NOTE, 1),
        finding("near", Grade.NEAR, 2),
        finding("late", Grade.FAILS, 9),
        finding("early", Grade.FAILS, 3),
    )
    assert worst_first((note, late, near, early, late)) == (early, late, near, note)
