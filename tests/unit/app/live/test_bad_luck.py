"""The desk in bad luck: a disk that refuses, a draft from somebody else, a link that leads out, a page kept open too
long. Nothing is lost, nothing is written where it does not belong, and the maker is told."""

from __future__ import annotations

import json
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from batchwright.app.live.changes import changed_texts
from batchwright.app.live.desk import Desk
from batchwright.app.live.history import MOST_CHARACTERS, History, Splice, Step
from batchwright.app.live.paths import new_folder
from batchwright.app.live.refusal import RefusedError
from batchwright.app.live.session import open_session
from batchwright.app.live.starting import lying_here
from batchwright.base.mend import Change
from batchwright.storage.atomic import write_file
from batchwright.storage.drafts import Drafts

PIECE = "stool.piece.yaml"
TEXT = (
    "piece: Stool\nunits: in\nwood: white oak\nuse: [indoors]\nhands: from the front\nsizes:\n  width: 15\n"
    "parts:\n  seat: {box: {x: [0, width], y: [0, 12], z: [0, 1]}}\n"
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A folder within another, with one piece."""
    root = tmp_path / "projects"
    root.mkdir()
    (root / PIECE).write_text(TEXT)
    return root


def opened(root: Path) -> Desk:
    """A desk as it is opened."""
    desk = Desk(root=root, file=PIECE, clock=lambda: 100.0)
    desk.take_in({PIECE: (root / PIECE).read_bytes()})
    desk.restore()
    return desk


# --- the draft


def test_where_no_draft_can_be_kept_work_goes_on_and_is_told(root: Path) -> None:
    (root / ".batchwright").write_text("no folder")
    desk = opened(root)
    desk.change("wider", {PIECE: TEXT.replace("15", "16")})
    assert desk.revision == 2
    (told,) = desk.told()
    assert told.code == "draft-not-kept" and told.why and told.mend
    desk.save(over=False)
    assert "16" in (root / PIECE).read_text()
    (root / ".batchwright").unlink()
    desk.undo()
    assert desk.told() == (), "the disk takes it again"


def test_a_draft_is_not_written_through_a_link_that_leads_out(root: Path) -> None:
    outside = root.parent / "outside"
    outside.mkdir()
    (root / ".batchwright").symlink_to(outside)
    desk = opened(root)
    desk.change("wider", {PIECE: TEXT.replace("15", "16")})
    assert [fault.code for fault in desk.told()] == ["draft-not-kept"]
    assert list(outside.iterdir()) == []


def _with(root: Path, **other: object) -> None:
    shape = {"revision": 7, "texts": {PIECE: "mine\n"}, "disk": {}, "done": [], "undone": [], **other}
    Drafts(root).keep(PIECE, shape)


@pytest.mark.parametrize(
    "other",
    [
        {"texts": {"../up.piece.yaml": "x"}}, {"texts": {"/x.yaml": "x"}}, {"texts": {".bashrc": "x"}},
        {"texts": {"make.py": "x"}}, {"texts": {"C:\\x.yaml": "x"}}, {"revision": float("inf")}, {"revision": 10**30},
        {"revision": -5}, {"revision": float("nan")}, {"disk": [1]}, {"done": [{"splices": [[1]]}]}, {"done": 3},
    ],
)  # fmt: skip
def test_a_draft_that_we_would_not_have_written_is_left_alone(root: Path, other: dict[str, object]) -> None:
    _with(root, **other)
    desk = opened(root)
    assert desk.texts == {PIECE: TEXT}
    assert desk.revision == 1 and not desk.restored


def test_a_draft_that_is_one_is_taken(root: Path) -> None:
    _with(root)
    assert opened(root).texts == {PIECE: "mine\n"}


def test_long_steps_are_let_go_before_the_draft_is_too_long_to_read(root: Path) -> None:
    history = History()
    for number in range(50):
        long = Splice(at=0, old="", new=str(number % 10) * 400_000)
        history.add(Step(label="paste", when=number * 10.0, splices=((PIECE, long),)), {PIECE: long.new})
    assert sum(step.length for step in history.done) <= MOST_CHARACTERS
    assert history.done[-1].when == 490.0, "the newest stay"
    assert len(history.done) == MOST_CHARACTERS // 400_000


def test_one_step_stays_however_long(root: Path) -> None:
    history = History()
    huge = Splice(at=0, old="", new="x" * (MOST_CHARACTERS + 1))
    history.add(Step(label="paste", when=1.0, splices=((PIECE, huge),)), {PIECE: huge.new})
    assert history.undo == "paste"


# --- revisions


def test_no_revision_of_an_earlier_server_comes_again(root: Path) -> None:
    """A page left open overnight would otherwise change a text that it has not seen."""
    first = open_session(root, PIECE, lambda: 1000.0)
    second = open_session(root, PIECE, lambda: 1001.0)
    try:
        assert second.desk.revision > first.desk.revision
        assert first.desk.since_opened == second.desk.since_opened == 1
        with pytest.raises(RefusedError, match="stale-revision"):
            second.save(first.desk.revision, False)
    finally:
        first.close()
        second.close()


def test_revisions_of_two_desks_of_one_server_differ(root: Path) -> None:
    (root / "other.piece.yaml").write_text(TEXT)
    first = open_session(root, PIECE, lambda: 1000.0)
    second = open_session(root, "other.piece.yaml", lambda: 1000.0, after=first.desk.revision)
    try:
        assert second.desk.revision > first.desk.revision
    finally:
        first.close()
        second.close()


# --- texts that could not be read again


@pytest.mark.parametrize(
    ("text", "code"),
    [("piece: \ud800\n", "half-a-character"), ("#" * 400_001, "too-long"), ("#\U0001f600" * 399_999, "too-long")],
)
def test_a_text_that_no_file_could_hold_is_refused(text: str, code: str) -> None:
    made, faults = changed_texts({PIECE: TEXT}, PIECE, (Change(do="text", file=PIECE, text=text),))
    assert made == {}
    assert [fault.code for fault in faults] == [code]
    assert all(fault.what and fault.mend and fault.place.file == PIECE for fault in faults)


def test_a_text_that_is_too_long_may_be_made_shorter() -> None:
    long = "#" * 900_000
    made, faults = changed_texts({PIECE: long}, PIECE, (Change(do="text", file=PIECE, text="#" * 399_999 + "\n"),))
    assert made and not faults


# --- files and folders


def test_a_private_file_stays_private_when_it_is_saved(root: Path) -> None:
    (root / PIECE).chmod(0o600)
    desk = opened(root)
    desk.change("wider", {PIECE: TEXT.replace("15", "16")})
    desk.save(over=False)
    assert stat.S_IMODE((root / PIECE).stat().st_mode) == 0o600


def test_nothing_is_written_through_a_link_that_lies_where_we_write(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    secret = root.parent / "secret"
    secret.write_text("secret")
    monkeypatch.setattr("batchwright.storage.atomic.os.getpid", lambda: 4711)
    (root / f".{PIECE}.4711.new").symlink_to(secret)
    write_file(root / PIECE, b"mine")
    assert secret.read_text() == "secret"
    assert (root / PIECE).read_bytes() == b"mine" and not (root / PIECE).is_symlink()


def test_no_project_is_begun_behind_a_link_that_leads_out(root: Path) -> None:
    outside = root.parent / "outside"
    outside.mkdir()
    (root / "mine").symlink_to(outside)
    with pytest.raises(RefusedError, match="file-outside-project"):
        new_folder(root, "mine")


def _folder(root: Path, outside: Path) -> None:
    (root / "linked").symlink_to(outside)


def _file(root: Path, outside: Path) -> None:
    (root / "linked.piece.yaml").symlink_to(outside / "theirs.piece.yaml")


@pytest.mark.parametrize("link", [_folder, _file])
def test_what_lies_behind_a_link_that_leads_out_is_not_listed(root: Path, link: Callable[[Path, Path], None]) -> None:
    outside = root.parent / "outside"
    outside.mkdir()
    (outside / "theirs.piece.yaml").write_text("piece: A secret\n")
    link(root, outside)
    assert "secret" not in json.dumps(lying_here(root))
    assert [one["file"] for one in lying_here(root)] == [PIECE]
