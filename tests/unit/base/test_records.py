"""Faults, findings, traces and sources: how they print, sort and travel."""

from __future__ import annotations

import json

from batchwright.base.fault import NOWHERE, Fault, Level, Place, has_errors, in_file_order
from batchwright.base.finding import Finding, Grade
from batchwright.base.source import Mark, Source
from batchwright.base.trace import MISSING, By, Trace


def _fault(line: int, level: Level = Level.ERROR) -> Fault:
    place = Place("stool.piece.yaml", line, 3)
    return Fault(code="size-too-small", place=place, what="'leg' is 3 mm.", mend="make it 20 mm", level=level)


def test_fault_prints_place_first_then_why_and_mend() -> None:
    lines = str(_fault(4)).splitlines()
    assert lines == ["stool.piece.yaml:4:3: error[size-too-small] 'leg' is 3 mm.", "    mend: make it 20 mm"]
    why = Fault(code="a", place=Place("f"), what="w.", why="because.", mend="m", level=Level.WARNING)
    assert str(why).splitlines() == ["f: warning[a] w.", "    why:  because.", "    mend: m"]


def test_faults_come_in_file_order_and_each_once() -> None:
    assert [fault.place.line for fault in in_file_order([_fault(9), _fault(2), _fault(9)])] == [2, 9]


def test_only_errors_stop_the_paper() -> None:
    assert has_errors((_fault(1),))
    assert not has_errors((_fault(1, Level.WARNING),))
    assert not has_errors(())


def test_fault_and_finding_are_plain_values_in_json() -> None:
    fault = json.loads(json.dumps(_fault(4).as_json()))
    assert (fault["file"], fault["line"], fault["column"], fault["level"]) == ("stool.piece.yaml", 4, 3, "error")
    finding = Finding(code="wall-thin", grade=Grade.FAILS, what="3 mm.", mend="m", about=("leg",), utilisation=1.5)
    plain = json.loads(json.dumps(finding.as_json()))
    assert (plain["grade"], plain["about"], plain["utilisation"], plain["line"]) == ("fails", ["leg"], 1.5, 0)


def test_finding_prints_its_place_only_if_it_has_one() -> None:
    assert str(Finding(code="c", grade=Grade.NOTE, what="w.", mend="")) == "note[c] w."
    placed = Finding(code="c", grade=Grade.NEAR, what="w.", why="y.", mend="m", place=Place("f", 1, 2))
    assert str(placed).splitlines() == ["f:1:2: near the limit[c] w.", "    why:  y.", "    mend: m"]
    assert str(NOWHERE) == ""


def test_trace_and_source_say_who_decided() -> None:
    trace = Trace(by=By.RULE, rule="JR01", why="a third of the rail", source="from memory")
    assert str(trace) == "a rule JR01: a third of the rail [from memory]"
    assert str(Trace(by=By.MAKER)) == "the maker"
    assert repr(MISSING) == "MISSING"
    assert str(Source(text="A book", mark=Mark.READ, where="p. 3")) == "A book, p. 3 (read)"
    assert str(Source(text="", mark=Mark.COMMON_PRACTICE)) == "(common practice, no source)"
