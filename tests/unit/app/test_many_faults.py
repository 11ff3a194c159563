"""Thousands of slips in one file: the first are told, how many there are more, and no error is hidden by warnings."""

from __future__ import annotations

from collections import Counter

from batchwright.app.order import MOST_TOLD, first_of
from batchwright.base.fault import Fault, Level, Place, has_errors, in_file_order


def fault(line: int, level: Level = Level.ERROR) -> Fault:
    """A fault at a line."""
    place = Place("a.piece.yaml", line, 1)
    return Fault(code="unknown-name", place=place, what=f"slip {line}.", mend="mend it.", level=level)


def test_few_faults_are_told_as_they_are() -> None:
    few = tuple(fault(line) for line in range(1, MOST_TOLD + 1))
    assert first_of(few) is few


def test_of_many_faults_the_first_are_told_and_the_rest_counted() -> None:
    told = first_of(tuple(fault(line) for line in range(1, 6001)))
    assert [one.place.line for one in told[:-1]] == list(range(1, MOST_TOLD + 1))
    assert told[-1].code == "more-faults"
    assert f"{6000 - MOST_TOLD:,}" in told[-1].what
    assert told[-1].mend and told[-1].place.file == "a.piece.yaml"


def test_an_error_behind_many_warnings_still_stops() -> None:
    warnings = tuple(fault(line, Level.WARNING) for line in range(1, 1000))
    told = first_of((*warnings, fault(1000)))
    assert has_errors(told)
    assert fault(1000) in told
    assert told[-1].level is Level.WARNING, "what is left out are warnings only"
    assert not has_errors(first_of(warnings))


def test_the_order_of_the_file_is_kept() -> None:
    mixed = tuple(fault(line, Level.WARNING if line % 3 else Level.ERROR) for line in range(1, 2000))
    told = first_of(mixed)[:-1]
    assert tuple(told) == in_file_order(list(told))
    assert Counter(one.level for one in told)[Level.ERROR] == MOST_TOLD
