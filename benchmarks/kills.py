"""Kills in the midst of changes and saves of the page's desk: nothing that was answered may be lost, no file be broken.

A process changes and saves a piece over and over and tells each step when it is answered; it is killed (SIGKILL) after
a chance time. Then the file on the disk must be one of the versions, whole, and no older than the last save that was
told; and a desk opened anew must hold the last change that was told, or a later one.
"""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from batchwright.app.live.desk import Desk

KILLS = 200
PIECE = "stool.piece.yaml"
LINES = 1_000
"""Lines of the piece: 18 kB, twice a chair."""
SAVE_EVERY = 3


def version(number: int) -> str:
    """The piece after so many changes; every line says which it is."""
    return f"piece: Stool {number}\n" + f"# {number:08d} a line\n" * LINES + f"# end {number}\n"


def number_of(text: str) -> int | None:
    """Which version a text is, whole; None where it is none."""
    head = text.split("\n", 1)[0].removeprefix("piece: Stool ")
    return int(head) if head.isdigit() and text == version(int(head)) else None


def opened(root: Path) -> Desk:
    """A desk as it is opened."""
    desk = Desk(root=root, file=PIECE, clock=time.time)
    desk.take_in({PIECE: (root / PIECE).read_bytes()})
    desk.restore()
    return desk


def write_on(root: Path) -> None:
    """Change and save for ever, telling each step."""
    desk = opened(root)
    number = number_of(desk.texts[PIECE])
    assert number is not None
    while True:
        number += 1
        desk.change(f"version {number}", {PIECE: version(number)})
        print(f"changed {number}", flush=True)
        if number % SAVE_EVERY == 0:
            desk.save(over=False)
            print(f"saved {number}", flush=True)


def one_kill(root: Path, chance: random.Random) -> tuple[int, int, list[str]]:
    """Kill a writer; how many steps it had told, how many unfinished copies it left, what is wrong afterwards."""
    command = [sys.executable, __file__, str(root)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        told = [writer.stdout.readline()]
        time.sleep(chance.uniform(0.0, 0.25))
        writer.kill()
        told += writer.stdout.readlines()
    steps = [line.split() for line in told if line.endswith("\n")]
    changed = max((int(number) for what, number in steps if what == "changed"), default=0)
    saved = max((int(number) for what, number in steps if what == "saved"), default=0)
    orphans = len([*root.rglob(".*.new")])
    on_disk = number_of((root / PIECE).read_text())
    at_hand = number_of(opened(root).texts[PIECE])
    wrong = []
    if on_disk is None or on_disk < saved:
        wrong.append(f"the file is {on_disk}, version {saved} was told as saved")
    if at_hand is None or at_hand < changed:
        wrong.append(f"the draft is {at_hand}, version {changed} was told as made")
    left = [path.name for path in (*(root / ".batchwright" / "drafts").glob(".*.new"), *root.glob(".*.new"))]
    return len(steps), orphans, [*wrong, *(f"{name} is left" for name in left)]


def main(words: list[str]) -> int:
    """Kill so many times; 0 if nothing was ever lost."""
    kills = int(words[0]) if words else KILLS
    chance = random.Random(1)
    home = Path(tempfile.mkdtemp(prefix="batchwright-kills-"))
    try:
        (home / PIECE).write_text(version(0))
        steps, troubles, orphans = 0, [], 0
        for number in range(kills):
            done, left, wrong = one_kill(home, chance)
            orphans += left
            steps += done
            troubles += [f"kill {number}: {one}" for one in wrong]
        print(f"{kills} kills, {steps} steps told, {len(troubles)} losses; {orphans} unfinished copies were left")
        print(*troubles, sep="\n")
        return 1 if troubles else 0
    finally:
        shutil.rmtree(home, ignore_errors=True)


if __name__ == "__main__":
    write_on(Path(sys.argv[1]))
