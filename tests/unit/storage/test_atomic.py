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
@pytest.mark.parametrize("moves", range(7))
def test_a_kill_at_any_move_is_old_or_new_after_recovery(tmp_path: Path, moves: int) -> None:
    folder = PacketFolder(tmp_path)
    folder.write({f"f{i}": b"old" for i in range(4)})
    run = subprocess.run([sys.executable, "-c", textwrap.dedent(KILLED), str(moves), str(tmp_path)], check=False)
    if moves < 6:
        assert run.returncode == -signal.SIGKILL
    folder.recover()
    contents = {(tmp_path / f"f{i}").read_bytes() for i in range(4)}
    assert contents in ({b"old"}, {b"new"})
    assert contents == ({b"old"} if moves == 0 else {b"new"})
    assert not (tmp_path / STAGE / LIST).exists()
    assert not (tmp_path / STAGE / "stage").exists()


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


def test_manifest_cannot_make_us_remove_files_outside(tmp_path: Path) -> None:
    outside = tmp_path / "keep.txt"
    outside.write_text("keep")
    root = tmp_path / "out"
    (root / STAGE).mkdir(parents=True)
    (root / STAGE / "written.json").write_text(json.dumps({"written": ["../keep.txt"]}))
    PacketFolder(root).write({"a": b"1"})
    assert outside.read_text() == "keep"


def test_write_file_replaces_and_leaves_no_scraps(tmp_path: Path) -> None:
    target = tmp_path / "deep" / "chair.piece.yaml"
    write_file(target, b"one")
    write_file(target, b"two")
    assert target.read_bytes() == b"two"
    assert [path.name for path in target.parent.iterdir()] == ["chair.piece.yaml"]
