"""Faults of texts that are not written yet."""

from __future__ import annotations

from batchwright.app.live.foresee import faults_of
from batchwright.app.live.model import Bench
from batchwright.app.load import Kept
from batchwright.base.fault import has_errors
from batchwright.storage.folder import Folder
from piece_files import EXAMPLES

STOOL = EXAMPLES / "splayed-stool"
PIECE = "splayed-stool.piece.yaml"


def _bench() -> tuple[Bench, str]:
    return Bench(folder=Folder(STOOL), file="stool.job.yaml", kept=Kept()), (STOOL / PIECE).read_text(encoding="utf-8")


def test_texts_as_they_are_bring_no_error() -> None:
    bench, text = _bench()
    assert not has_errors(faults_of(bench, {PIECE: text}))


def test_name_that_is_not_there_is_told_where_it_would_stand() -> None:
    bench, text = _bench()
    changed = text.replace("leg thick: 1 5/8", "leg thick: 1 5/8 + hight")
    told = [fault for fault in faults_of(bench, {PIECE: changed}) if "`hight`" in fault.what]
    assert [fault.place.line for fault in told] == [1 + changed[: changed.index("hight")].count("\n")]
    assert bench.good is None  # the bench worked nothing out


def test_joint_that_finds_too_few_meetings_is_told_before_it_is_written() -> None:
    bench, text = _bench()
    faults = faults_of(bench, {PIECE: text.replace("expect: 8", "expect: 9")})
    assert any("finds 8" in fault.what and "9" in fault.what for fault in faults)
