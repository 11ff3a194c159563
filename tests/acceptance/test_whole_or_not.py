"""A packet is there whole: the old one or the new one, whatever goes wrong in between."""

from __future__ import annotations

import errno
import json
import os
import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

from typed import as_process, bytes_in, own_environment, typed

POSIX = pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL and rights as POSIX has them")


@pytest.fixture
def planned(project: Path) -> Path:
    """The small project with a packet in `out`."""
    assert typed("plan", project / "frame.job.yaml", "--out", project / "out").code == 0
    return project


def change(project: Path, old: str, new: str, name: str = "frame.piece.yaml") -> None:
    path = project / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_faults_leave_the_earlier_packet_byte_for_byte(planned: Path) -> None:
    before = bytes_in(planned / "out")
    change(planned, "white oak", "whit oak")
    said = typed("plan", planned / "frame.job.yaml", "--out", planned / "out", "--json")
    assert said.code == 2
    assert bytes_in(planned / "out") == before


@POSIX
@pytest.mark.parametrize("writes", [0, 4, 9])
def test_a_kill_while_writing_leaves_the_earlier_packet_and_the_next_run_writes_all(planned: Path, writes: int) -> None:
    before = bytes_in(planned / "out")
    change(planned, "is: 20", "is: 21")
    killed = """
    import os, sys
    left = int(sys.argv.pop(1))
    real = os.fsync
    def fsync(handle):
        global left
        if left == 0:
            os.kill(os.getpid(), 9)
        left -= 1
        real(handle)
    os.fsync = fsync
    from batchwright.cli import main
    main()
    """
    words = ["plan", str(planned / "frame.job.yaml"), "--out", str(planned / "out")]
    run = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(killed), str(writes), *words], env=own_environment(), check=False
    )
    assert run.returncode == -signal.SIGKILL
    assert bytes_in(planned / "out") == before
    assert typed(*words).code == 0
    after = bytes_in(planned / "out")
    assert after.keys() == before.keys()
    assert json.loads(after["plan.json"])["sizes"][0]["value"] == pytest.approx(21 * 25.4)
    assert not (planned / "out" / ".batchwright" / "stage").exists()


@POSIX
def test_a_kill_at_any_time_leaves_a_whole_packet(planned: Path, tmp_path: Path) -> None:
    words = ["plan", str(planned / "frame.job.yaml"), "--out", str(planned / "out")]
    before = bytes_in(planned / "out")
    change(planned, "is: 20", "is: 21")
    typed("plan", words[1], "--out", tmp_path / "fresh")
    fresh = bytes_in(tmp_path / "fresh")
    start = time.monotonic()
    line = [sys.executable, "-m", "batchwright", *words, "--quiet"]
    assert subprocess.run(line, env=own_environment(), capture_output=True).returncode == 0
    whole = time.monotonic() - start
    for share in (0.6, 0.95):
        with subprocess.Popen(line, env=own_environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as run:
            time.sleep(whole * share)
            run.kill()
        found = bytes_in(planned / "out")
        assert found in (before, fresh)


@POSIX
def test_two_runs_at_once_leave_one_packet_whole(planned: Path, tmp_path: Path) -> None:
    other = planned / "wider.job.yaml"
    other.write_text("job: Trial\npiece: frame.piece.yaml\ncopies: 2\nsizes: {width: 24}\n", encoding="utf-8")
    wanted = []
    for number, job in enumerate((planned / "frame.job.yaml", other)):
        typed("plan", job, "--out", tmp_path / str(number))
        wanted.append(bytes_in(tmp_path / str(number)))
    lines = [
        [sys.executable, "-m", "batchwright", "plan", str(job), "--out", str(planned / "both"), "--json"]
        for job in (planned / "frame.job.yaml", other)
    ]
    runs = [subprocess.Popen(line, env=own_environment(), stdout=subprocess.PIPE, text=True) for line in lines]
    said = [run.communicate(timeout=60)[0] for run in runs]
    codes = sorted(run.returncode for run in runs)
    assert codes in ([0, 0], [0, 3])
    assert all(json.loads(text)["exit"] == run.returncode for text, run in zip(said, runs, strict=True))
    assert bytes_in(planned / "both") in wanted


@POSIX
@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_may_not_be_written_is_told(planned: Path) -> None:
    closed = planned / "closed"
    closed.mkdir()
    closed.chmod(0o500)
    try:
        said = typed("plan", planned / "frame.job.yaml", "--out", closed / "out", "--json")
    finally:
        closed.chmod(0o700)
    assert said.code == 3
    assert "closed" in said.json["problem"]["what"]


def test_a_refusal_to_make_the_folder_is_told(planned: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(os, "mkdir", refused)
    said = typed("plan", planned / "frame.job.yaml", "--out", planned / "elsewhere", "--json")
    assert said.code == 3
    assert "elsewhere" in said.json["problem"]["what"] and "ermission" in said.json["problem"]["what"]
    assert not (planned / "elsewhere").exists()


def test_a_disk_that_is_full_leaves_the_earlier_packet(planned: Path) -> None:
    before = bytes_in(planned / "out")
    change(planned, "is: 20", "is: 21")
    full = """
    import errno, os, sys
    from pathlib import Path
    real = Path.open
    def opened(self, mode="r", *rest, **named):
        if "w" in mode and self.suffix == ".pdf":
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(self, mode, *rest, **named)
    Path.open = opened
    from batchwright.cli import main
    main()
    """
    words = ["plan", str(planned / "frame.job.yaml"), "--out", str(planned / "out"), "--json"]
    run = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(full), *words], env=own_environment(), capture_output=True, text=True
    )
    assert run.returncode == 3
    assert "No space left" in json.loads(run.stdout)["problem"]["what"]
    assert bytes_in(planned / "out") == before


def test_files_of_the_maker_in_the_folder_stay(planned: Path) -> None:
    mine = planned / "out" / "boards" / "my own sketch.svg"
    mine.parent.mkdir(exist_ok=True)
    mine.write_text("mine")
    assert typed("plan", planned / "frame.job.yaml", "--out", planned / "out").code == 0
    assert mine.read_text() == "mine"


def test_one_sheet_again_leaves_the_other_files_alone(planned: Path) -> None:
    before = bytes_in(planned / "out")
    times = {name: (planned / "out" / name).stat().st_mtime_ns for name in before}
    change(planned, "is: 20", "is: 21")
    said = typed("sheet", "rods", planned / "frame.job.yaml", "--out", planned / "out", "--json")
    assert said.json["result"]["files"] == ["sheets/rods.pdf"]
    after = bytes_in(planned / "out")
    assert after.pop("sheets/rods.pdf").startswith(b"%PDF")
    assert after == before
    assert {name: (planned / "out" / name).stat().st_mtime_ns for name in before} == times


def test_sheet_takes_the_only_job_of_the_folder(planned: Path) -> None:
    said = as_process("sheet", "ROds", "--json", folder=planned)
    assert said.json["result"]["files"] == ["sheets/rods.pdf"]
    (planned / "other.job.yaml").write_text("job: Other\npiece: frame.piece.yaml\n")
    said = as_process("sheet", "rods", "--json", folder=planned)
    assert (said.code, said.codes) == (2, {"which-job"})


def test_sheets_that_are_listed_can_be_printed(planned: Path) -> None:
    job = planned / "frame.job.yaml"
    listed = [one["name"] for one in typed("sheet", "list", job, "--json").json["result"]["sheets"]]
    assert {"cover", "cutting-list", "rods"} <= set(listed)
    for name in (*listed[:3], *listed[-3:]):
        said = typed("sheet", name, job, "--out", planned / "single", "--json")
        assert said.code == 0, name
        assert (planned / "single" / said.json["result"]["files"][0]).read_bytes().startswith(b"%PDF")
