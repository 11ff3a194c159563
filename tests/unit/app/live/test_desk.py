"""The desk and the disk: nothing is written but by a save, nothing of anybody's is lost, drafts outlive a kill."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from batchwright.app.live.desk import Desk
from batchwright.app.live.refusal import RefusedError, Why
from batchwright.app.live.watch import Watch
from batchwright.storage.drafts import Drafts

PIECE = "stool.piece.yaml"
BEFORE = "piece: Stool\nwidth: 15   # over the feet\n"
AFTER = BEFORE.replace("15", "16")


class Clock:
    """Time as a test sets it."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def opened(root: Path) -> Desk:
    """A desk as it is opened: files read, the draft restored."""
    desk = Desk(root=root, file=PIECE, clock=Clock())
    desk.take_in({path.name: path.read_bytes() for path in root.iterdir() if path.is_file()})
    desk.restore()
    return desk


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A folder with one piece and its boards."""
    (tmp_path / PIECE).write_bytes(BEFORE.encode())
    (tmp_path / "boards.csv").write_bytes(b"board,length\nA,96\n")
    return tmp_path


def changed(root: Path) -> Desk:
    """A desk on which one size was changed."""
    desk = opened(root)
    desk.change("width 16", {PIECE: AFTER})
    return desk


def test_a_change_reaches_the_file_only_by_a_save(root: Path) -> None:
    desk = changed(root)
    assert (root / PIECE).read_text() == BEFORE
    assert desk.dirty(PIECE)
    assert desk.save(over=False) == (PIECE,)
    assert (root / PIECE).read_text() == AFTER
    assert not desk.dirty(PIECE)


def test_a_change_that_changes_nothing_is_no_revision(root: Path) -> None:
    desk = opened(root)
    desk.change("width 15", {PIECE: BEFORE})
    assert desk.revision == 1
    assert desk.history.undo is None


def test_undo_and_redo_are_revisions_of_their_own(root: Path) -> None:
    desk = changed(root)
    desk.undo()
    assert (desk.texts[PIECE], desk.revision) == (BEFORE, 3)
    desk.redo()
    assert (desk.texts[PIECE], desk.revision) == (AFTER, 4)
    with pytest.raises(RefusedError, match="nothing-to-redo"):
        desk.redo()


def test_an_older_revision_is_refused_as_a_conflict(root: Path) -> None:
    desk = changed(root)
    with pytest.raises(RefusedError) as refused:
        desk.check_revision(1)
    assert refused.value.why is Why.CONFLICT
    assert [fault.code for fault in refused.value.faults] == ["stale-revision"]


def test_a_file_edited_elsewhere_is_never_written_over_unasked(root: Path) -> None:
    desk = changed(root)
    (root / PIECE).write_text("piece: Stool by another hand\n")
    with pytest.raises(RefusedError) as refused:
        desk.save(over=False)
    assert refused.value.why is Why.CONFLICT
    assert [fault.code for fault in refused.value.faults] == ["edited-elsewhere"]
    assert (root / PIECE).read_text() == "piece: Stool by another hand\n"
    desk.save(over=True)
    assert (root / PIECE).read_text() == AFTER


def test_no_file_is_written_where_one_of_them_was_edited_elsewhere(root: Path) -> None:
    desk = opened(root)
    desk.change("both", {PIECE: AFTER, "boards.csv": "board,length\nB,48\n"})
    (root / "boards.csv").write_text("mine\n")
    with pytest.raises(RefusedError):
        desk.save(over=False)
    assert (root / PIECE).read_text() == BEFORE


def test_reading_from_the_disk_can_be_undone(root: Path) -> None:
    desk = changed(root)
    (root / PIECE).write_text("piece: Other\n")
    desk.reload()
    assert desk.texts[PIECE] == "piece: Other\n"
    assert not desk.dirty(PIECE)
    desk.undo()
    assert desk.texts[PIECE] == AFTER
    assert desk.dirty(PIECE)


def test_line_ends_and_byte_order_mark_stay(root: Path) -> None:
    content = ("\ufeff" + BEFORE.replace("\n", "\r\n")).encode()
    (root / PIECE).write_bytes(content)
    desk = opened(root)
    desk.change("width 16", {PIECE: desk.texts[PIECE].replace("15", "16")})
    desk.save(over=False)
    assert (root / PIECE).read_bytes() == content.replace(b"15", b"16")


def test_a_link_out_of_the_folder_is_not_written_through(root: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    outside = tmp_path_factory.mktemp("outside") / PIECE
    outside.write_text(BEFORE)
    desk = changed(root)
    (root / PIECE).unlink()
    (root / PIECE).symlink_to(outside)
    with pytest.raises(RefusedError):
        desk.save(over=True)
    assert outside.read_text() == BEFORE


def test_a_link_within_the_folder_stays_a_link(root: Path) -> None:
    (root / "kept").mkdir()
    (root / PIECE).rename(root / "kept" / PIECE)
    (root / PIECE).symlink_to(Path("kept") / PIECE)
    desk = changed(root)
    desk.save(over=False)
    assert (root / PIECE).is_symlink()
    assert (root / "kept" / PIECE).read_text() == AFTER


# --- drafts


def test_what_was_not_saved_is_there_again_after_a_kill(root: Path) -> None:
    changed(root)
    again = opened(root)
    assert again.restored
    assert again.texts[PIECE] == AFTER
    assert again.revision > 2
    again.undo()
    assert again.texts[PIECE] == BEFORE


def test_nothing_is_told_as_restored_where_all_was_saved(root: Path) -> None:
    changed(root).save(over=False)
    again = opened(root)
    assert not again.restored
    assert again.history.undo == "width 16"


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:40])


def _emptied(path: Path) -> None:
    path.write_bytes(b"")


def _other_shape(path: Path) -> None:
    path.write_text(json.dumps({"format": 1, "file": PIECE, "revision": "x", "texts": [1]}))


def _of_another(path: Path) -> None:
    shape = json.loads(path.read_text())
    path.write_text(json.dumps({**shape, "file": "other.piece.yaml"}))


def _deep(path: Path) -> None:
    path.write_text("[" * 100_000)


@pytest.mark.parametrize("spoil", [_cut, _emptied, _other_shape, _of_another, _deep])
def test_a_draft_that_is_none_is_left_alone(root: Path, spoil: Callable[[Path], None]) -> None:
    changed(root)
    spoil(next((root / ".batchwright" / "drafts").glob("*.json")))
    again = opened(root)
    assert again.texts[PIECE] == BEFORE
    assert not again.restored


def test_a_kill_in_the_midst_of_a_draft_leaves_the_draft_before(root: Path) -> None:
    changed(root)
    left = root / ".batchwright" / "drafts" / f".{PIECE}.json.4711.new"
    left.write_bytes(b'{"format": 1, "fi')
    again = opened(root)
    assert again.texts[PIECE] == AFTER
    assert not left.exists()


def test_a_kill_in_the_midst_of_a_save_leaves_no_unfinished_copy(root: Path) -> None:
    left, mine = root / f".{PIECE}.4711.new", root / f".{PIECE}.mine.new"
    left.write_bytes(b"pie")
    mine.write_bytes(b"mine")
    opened(root)
    assert not left.exists()
    assert mine.exists(), "only what we write ourselves is taken away"


def test_a_kill_between_two_files_of_a_save_loses_nothing(root: Path) -> None:
    desk = opened(root)
    desk.change("both", {PIECE: AFTER, "boards.csv": "board,length\nB,48\n"})
    (root / PIECE).write_text(AFTER)  # the first file was written, then came the kill
    again = opened(root)
    assert again.texts["boards.csv"] == "board,length\nB,48\n"
    assert not again.dirty(PIECE)
    assert again.dirty("boards.csv")
    again.save(over=False)
    assert (root / "boards.csv").read_text() == "board,length\nB,48\n"


def test_a_file_changed_while_a_draft_lay_counts_as_edited_elsewhere(root: Path) -> None:
    changed(root)
    (root / PIECE).write_text("piece: by another hand\n")
    again = opened(root)
    assert again.texts[PIECE] == AFTER
    assert Watch(again).look() == (PIECE,)
    with pytest.raises(RefusedError, match="edited-elsewhere"):
        again.save(over=False)


def test_steps_of_other_texts_are_let_go_and_not_made(root: Path) -> None:
    changed(root).save(over=False)
    (root / PIECE).write_text("something else\n")
    again = opened(root)
    assert again.history.undo is None
    assert again.texts[PIECE] == "something else\n"


def test_the_draft_is_on_the_disk_before_the_change_is_answered(root: Path) -> None:
    changed(root)
    kept = Drafts(root).find(PIECE)
    assert kept is not None
    assert kept["texts"] == {PIECE: AFTER}


# --- the watch


def test_the_watch_sees_a_change_and_its_undoing(root: Path) -> None:
    desk = opened(root)
    watch = Watch(desk)
    assert watch.look() == ()
    (root / "boards.csv").write_text("other\n")
    assert watch.look() == ("boards.csv",)
    (root / "boards.csv").write_bytes(b"board,length\nA,96\n")
    assert watch.look() == ()


def test_the_watch_sees_a_file_go(root: Path) -> None:
    desk = opened(root)
    watch = Watch(desk)
    (root / PIECE).unlink()
    assert watch.look() == (PIECE,)


def test_our_own_save_is_no_change_outside(root: Path) -> None:
    desk = changed(root)
    watch = Watch(desk)
    watch.look()
    desk.save(over=False)
    assert watch.look() == ()
