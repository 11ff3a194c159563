"""A packet is written whole or not at all."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from batchwright.storage import atomic
from batchwright.storage.atomic import LIST, LOCK, STAGE, PacketBusyError, PacketFolder, write_file


def test_write_puts_every_file_and_removes_what_the_new_packet_no_longer_has(tmp_path: Path) -> None:
    folder = PacketFolder(tmp_path)
    (tmp_path / "maker's own.txt").write_text("mine")
    folder.write({"packet.pdf": b"1", "boards/A.svg": b"a", "boards/B.svg": b"b"})
    folder.write({"packet.pdf": b"2", "boards/A.svg": b"aa"})
    assert (tmp_path / "packet.pdf").read_bytes() == b"2"
    assert not (tmp_path / "boards/B.svg").exists()
    assert (tmp_path / "maker's own.txt").read_text() == "mine"


def test_keep_others_leaves_the_rest_of_the_packet_alone(tmp_path: Path) -> None:
    folder = PacketFolder(tmp_path)
    folder.write({"packet.pdf": b"1", "sheets/rod.pdf": b"r"})
    folder.write({"sheets/rod.pdf": b"R"}, keep_others=True)
    assert (tmp_path / "packet.pdf").read_bytes() == b"1"
    folder.write({"packet.pdf": b"2"})
    assert not (tmp_path / "sheets/rod.pdf").exists()


def test_a_failing_write_leaves_the_earlier_packet_whole(tmp_path: Path) -> None:
    folder = PacketFolder(tmp_path)
    folder.write({"packet.pdf": b"old", "plan.json": b"old"})
    (tmp_path / "blocked").write_bytes(b"a file where a folder is wanted")
    with pytest.raises(OSError):
        folder.write({"packet.pdf": b"new", f"{'x' * 300}.svg": b"name too long for any disk"})
    assert (tmp_path / "packet.pdf").read_bytes() == b"old"
    assert (tmp_path / "plan.json").read_bytes() == b"old"


KILLED = """
import os, sys
from pathlib import Path
from batchwright.storage import atomic
stop_after, root = int(sys.argv[1]), Path(sys.argv[2])
calls = 0
real = os.replace
def replace(*arguments):
    global calls
    if calls == stop_after:
        os.kill(os.getpid(), 9)
    calls += 1
    real(*arguments)
os.replace = replace
atomic.PacketFolder(root).write({f"f{i}": b"new" for i in range(4)})
"""


@pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL")
@pytest.mark.parametrize("moves", range(11))
def test_a_kill_at_any_move_is_old_or_new_after_the_next_run(tmp_path: Path, moves: int) -> None:
    folder = PacketFolder(tmp_path)
    folder.write({f"f{i}": b"old" for i in range(4)})
    run = subprocess.run([sys.executable, "-c", textwrap.dedent(KILLED), str(moves), str(tmp_path)], check=False)
    if moves < 10:
        assert run.returncode == -signal.SIGKILL
    folder.write({"later": b"x"}, keep_others=True)
    contents = {(tmp_path / f"f{i}").read_bytes() for i in range(4)}
    assert contents == ({b"old"} if moves == 0 else {b"new"})
    assert not (tmp_path / STAGE / LIST).exists()
    assert not (tmp_path / STAGE / "stage").exists()
    assert not (tmp_path / STAGE / "aside").exists()


@pytest.mark.parametrize("refused", range(1, 9))
def test_bug_a_move_the_disk_refuses_puts_the_old_packet_back(
    tmp_path: Path, refused: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file open in a viewer, on some systems, cannot be replaced: the rest must not be new already."""
    folder = PacketFolder(tmp_path)
    folder.write({**{f"f{i}": b"old" for i in range(4)}, "gone": b"old"})
    real, calls = Path.replace, 0

    def replace(self: Path, target: Path) -> Path:
        nonlocal calls
        calls += 1
        if calls == refused + 1:  # the first one writes the list
            raise PermissionError(13, "open in another program", str(target))
        return real(self, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", replace)
        with pytest.raises(PermissionError):
            folder.write({**{f"f{i}": b"new" for i in range(4)}, "more": b"new"})
    assert {(tmp_path / f"f{i}").read_bytes() for i in range(4)} == {b"old"}
    assert (tmp_path / "gone").read_bytes() == b"old"
    assert not (tmp_path / "more").exists()
    folder.write({"f0": b"newer"})
    assert (tmp_path / "f0").read_bytes() == b"newer"


def test_a_folder_where_a_file_is_wanted_is_left_and_the_packet_stays_old(tmp_path: Path) -> None:
    folder = PacketFolder(tmp_path)
    folder.write({"a": b"old", "b": b"old"})
    (tmp_path / "b").unlink()
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / "mine.txt").write_text("mine")
    with pytest.raises(IsADirectoryError):
        folder.write({"a": b"new", "b": b"new"})
    assert (tmp_path / "a").read_bytes() == b"old"
    assert (tmp_path / "b" / "mine.txt").read_text() == "mine"


def test_two_runs_do_not_write_into_one_folder(tmp_path: Path) -> None:
    holding = """
    import sys
    from pathlib import Path
    from batchwright.storage import atomic
    release = atomic._take_lock(Path(sys.argv[1]))
    print("held", flush=True)
    sys.stdin.read()
    """
    home = tmp_path / STAGE
    home.mkdir()
    line = [sys.executable, "-c", textwrap.dedent(holding), str(home / LOCK)]
    with subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as holder:
        assert holder.stdout is not None and holder.stdout.readline() == "held\n"
        with pytest.raises(PacketBusyError):
            PacketFolder(tmp_path).write({"a": b"1"})
        holder.kill()
    PacketFolder(tmp_path).write({"a": b"1"})
    assert (tmp_path / "a").read_bytes() == b"1"


def test_bug_a_lock_that_is_not_yet_signed_is_held_all_the_same(tmp_path: Path) -> None:
    """A second run took an empty lock file for one left by a dead run, removed it, and wrote at the same time."""
    held = atomic._take_lock(tmp_path / LOCK)
    with pytest.raises(PacketBusyError):
        atomic._take_lock(tmp_path / LOCK)
    held()
    atomic._take_lock(tmp_path / LOCK)()


OUTSIDE = ("../keep.txt", "sub/../../keep.txt", "{outside}", "C:\\keep.txt", "\\\\host\\keep.txt", "..\\keep.txt")


@pytest.mark.parametrize("name", OUTSIDE)
@pytest.mark.parametrize("listed", ["written.json", "moves.json"])
def test_bug_a_list_found_on_the_disk_cannot_touch_files_outside(tmp_path: Path, name: str, listed: str) -> None:
    outside = tmp_path / "keep.txt"
    outside.write_text("keep")
    name = name.format(outside=outside)
    root = tmp_path / "out"
    (root / STAGE / "stage").mkdir(parents=True)
    (root / STAGE / "stage" / "keep.txt").write_text("spoilt")
    (root / STAGE / listed).write_text(json.dumps({"written": [name], "move": [name], "remove": [name]}))
    PacketFolder(root).write({"a": b"1"})
    assert outside.read_text() == "keep"
    assert (root / "a").read_bytes() == b"1"


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_that_leads_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    root = tmp_path / "out"
    root.mkdir()
    (root / "rods").symlink_to(elsewhere)
    with pytest.raises(OSError, match="leads out"):
        PacketFolder(root).write({"rods/height.svg": b"1"})
    assert list(elsewhere.iterdir()) == []


@pytest.mark.parametrize("listed", ["written.json", "moves.json"])
@pytest.mark.parametrize(
    "content", ["", "{", "[]", '{"written": 3, "move": {}, "remove": null}', '{"move": [1, null]}']
)
def test_bug_a_spoilt_list_does_not_lock_the_folder_for_ever(tmp_path: Path, listed: str, content: str) -> None:
    (tmp_path / STAGE).mkdir()
    (tmp_path / STAGE / listed).write_text(content)
    PacketFolder(tmp_path).write({"a": b"1"})
    assert (tmp_path / "a").read_bytes() == b"1"


def test_write_file_replaces_and_leaves_no_scraps(tmp_path: Path) -> None:
    target = tmp_path / "deep" / "chair.piece.yaml"
    write_file(target, b"one")
    write_file(target, b"two")
    assert target.read_bytes() == b"two"
    assert [path.name for path in target.parent.iterdir()] == ["chair.piece.yaml"]
