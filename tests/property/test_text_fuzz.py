"""Spoilt example files: whatever a slip of the keyboard does, the reader answers with faults, soon."""

# ruff: noqa: E501 - a table reads best in few lines

from __future__ import annotations

import re
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from batchwright.base.fault import Fault, has_errors, in_file_order
from batchwright.design.boards import read_boards, read_defects
from batchwright.design.draft import draft_piece
from batchwright.design.job import check_job_names, read_job
from batchwright.design.shop import packaged_text, read_shop
from batchwright.design.text.read import read_bytes

EXAMPLES = Path(__file__).parents[2] / "examples"
PIECES = sorted(EXAMPLES.rglob("*.piece.yaml"))
TERRACE = EXAMPLES / "terrace-armchair"
LONGEST_S = 20.0
"""Seconds after which a reading counts as hung; a sound example takes a few hundredths."""

VALUE = re.compile(r"[^\s,:{}\[\]#](?:[^,:{}\[\]#\n]*[^\s,:{}\[\]#])?")
SLIPS = [
    "", " ", "  ", "\n", "\t", ":", "- ", "[", "]", "{", "}", ",", ";", "'", '"', "#", "&a", "*a", "!t ", "|", ">", "%", "@", "(", ")",
    "/", "*", "-", "+", ".", "0", "1e9", "99999999", "1/0", "-1", " in", " deg", " mm", "at z ", "place.x", "é", "\u202e", "\x00", "½",
    "leg", "back leg", "width", "<<: ", "---\n", "count: four", "repeat: {count: 9999, along: x, between: [0, 1]}", "curve: ", "[[",
]  # fmt: skip


class HungError(Exception):
    """The reader did not come back."""


@contextmanager
def guard() -> Iterator[None]:
    """Ends what hangs. Where the system has no alarm the whole run's own time limit must do."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def hung(number: int, frame: FrameType | None) -> None:
        raise HungError

    before = signal.signal(signal.SIGALRM, hung)
    signal.setitimer(signal.ITIMER_REAL, LONGEST_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)


@st.composite
def other_value(draw: st.DrawFn, text: str) -> str:
    """The text with one word or value in the place of another: its form stays whole, so the slip goes deep."""
    found = list(VALUE.finditer(text))
    if not found:
        return text
    one, other = draw(st.sampled_from(found)), draw(st.sampled_from(found))
    new = draw(st.sampled_from([other.group(), other.group(), "0", "-1", "1/64", "10000", "", "leg", "wdth", "4 deg"]))
    return text[: one.start()] + new + text[one.end() :]


@st.composite
def spoilt(draw: st.DrawFn, text: str) -> bytes:
    """The text with one to four slips: something cut out, put in, moved, doubled, or a byte turned."""
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.sampled_from([0, 0, 1, 1, 2, 5, 20, 80, 400])))
        what = draw(st.sampled_from(["put in", "double", "move", "cut", "value", "value", "value"]))
        if what == "value":
            text = draw(other_value(text))
            continue
        taken = text[start:end]
        if what == "put in":
            taken = draw(st.sampled_from(SLIPS))
        text = text[:start] + (taken * 2 if what == "double" else "" if what in ("cut", "move") else taken) + text[end:]
        if what == "move":
            at = draw(st.integers(0, len(text)))
            text = text[:at] + taken + text[at:]
    data = text.encode("utf-8", "surrogatepass")
    if draw(st.integers(0, 9)) == 0 and data:
        at = draw(st.integers(0, len(data) - 1))
        data = data[:at] + bytes([draw(st.integers(0, 255))]) + data[at + 1 :]
    return data


def check(faults: tuple[Fault, ...], names: set[str], lines: int) -> None:
    for fault in faults:
        assert fault.what and fault.mend and fault.code == fault.code.lower()
        assert fault.place.file in names, fault
        assert 0 <= fault.place.line <= lines + 1 and fault.place.column >= 0, fault
    places = [fault.place for fault in faults]
    assert places == sorted(places)


quick = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@pytest.mark.parametrize("path", PIECES, ids=lambda path: path.name)
def test_a_spoilt_piece_gives_a_piece_or_faults(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    @quick
    @given(spoilt(text))
    def spoil(data: bytes) -> None:
        with guard():
            _, tree, faults = read_bytes(data, "f")
            lines = data.count(b"\n") + data.count(b"\r") + 1
            check(faults, {"f"}, lines)
            if tree is None:
                assert has_errors(faults)
                return
            piece, more = draft_piece(tree, "f")
            check(more, {"f"}, lines)
            assert piece is not None or has_errors((*faults, *more))

    spoil()


def _job(text: str) -> tuple[Fault, ...]:
    job, faults = read_job(text, "f")
    return faults if job is None else in_file_order([*faults, *check_job_names(job, {"width"}, {"leg"})])


def _boards(text: str) -> tuple[Fault, ...]:
    return read_boards(text, "f", "in")[1]


def _defects(text: str) -> tuple[Fault, ...]:
    boards, _ = read_boards((TERRACE / "boards.csv").read_text(encoding="utf-8"), "f", "in")
    return read_defects(text, "f", "in", boards)[1]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ((TERRACE / "terrace.job.yaml").read_text(encoding="utf-8"), _job),
        (packaged_text(), lambda text: read_shop(text, "f")[1]),
        ((TERRACE / "boards.csv").read_text(encoding="utf-8"), _boards),
        ((TERRACE / "defects.csv").read_text(encoding="utf-8"), _defects),
    ],
    ids=["job", "shop", "boards", "defects"],
)
def test_other_spoilt_files_give_faults_alone(text: str, read: Callable[[str], tuple[Fault, ...]]) -> None:
    @quick
    @given(spoilt(text))
    def spoil(data: bytes) -> None:
        spoilt_text = data.decode("utf-8", "replace")
        with guard():
            check(read(spoilt_text), {"f"}, spoilt_text.count("\n") + spoilt_text.count("\r") + 1)

    spoil()
