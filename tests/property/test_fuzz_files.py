"""Spoilt files, planned under a guard: never a traceback, never a hang, never a strange exit code, never half a packet.

A few dozen projects here; `python3 run.py test bench fuzz` tries them for as long as asked.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuzzed import Guard, sound_projects, spoilt, words_of

PROJECTS = sound_projects()
WORDS = words_of(PROJECTS)


@pytest.fixture(scope="module")
def guard() -> Iterator[Guard]:
    with Guard() as ready:
        yield ready


TRIALS = [("small-bench", 36), ("hall-table", 14), ("splayed-stool", 14), ("terrace-armchair", 5)]


@pytest.mark.parametrize(("name", "count"), TRIALS)
def test_spoilt_projects_end_in_a_packet_or_in_faults(name: str, count: int, guard: Guard) -> None:
    @settings(max_examples=count, deadline=None, derandomize=True, database=None)
    @given(st.integers(0, 2**32 - 1))
    def end_well(seed: int) -> None:
        verdict = guard.plan(spoilt(Random(seed), PROJECTS[name], WORDS))
        assert not verdict.trouble, verdict.trouble
        assert verdict.code in (0, 1, 2)

    end_well()


def test_the_guard_sees_what_it_is_there_for(guard: Guard) -> None:
    """A sound project ends fine; a worker that dies, hangs or says nothing is told."""
    assert guard.plan(PROJECTS["hall-table"]).code in (0, 1)
    broken = Guard(patience=0.05)
    with broken:
        assert "hung" in broken.plan(PROJECTS["hall-table"]).trouble
