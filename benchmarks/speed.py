"""How fast and how large: each thing the user waits for, against its target, all in one run.

    python3 run.py test bench speed [--rounds N]

The times are those of this machine in this run, by the clock on the wall; where other work shares the machine, the
processor's own time stands beside it. `yardsticks` is the time as a multiple of a fixed piece of plain Python reckoned
in the same run, so that two machines, or two days on one, can be compared.
"""

from __future__ import annotations

import argparse
import contextlib
import importlib.util
import json
import math
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from batchwright.model.draft import SizeKind, SizeValue

HERE = Path(__file__).resolve().parent
DEMO = HERE.parent / "examples" / "terrace-armchair"
CHAIR, JOB = DEMO / "terrace-armchair.piece.yaml", DEMO / "terrace.job.yaml"
MADE = datetime(2027, 1, 1, tzinfo=UTC)
PARTS = (20, 35, 65, 110, 200)


@dataclass(frozen=True, slots=True)
class Row:
    """One thing measured: in seconds, MB or a plain number, with its target."""

    what: str
    measured: float
    target: float
    unit: str
    note: str = ""
    processor: float | None = None
    """The processor's own time [s], where it was taken."""

    @property
    def hit(self) -> bool:
        """Whether the target is met."""
        return self.measured <= self.target


Taken = tuple[float, float]
"""Seconds by the clock on the wall, and of the processor."""


def timed(work: Callable[[], object]) -> Taken:
    """What one run takes."""
    start = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - start[0], time.process_time() - start[1]


def middle(runs: list[Taken]) -> Taken:
    """The middle of several runs."""
    return statistics.median(run[0] for run in runs), statistics.median(run[1] for run in runs)


def yardstick() -> float:
    """Seconds for a fixed piece of plain Python: the middle of five."""
    return middle([timed(lambda: sum(i * i for i in range(2_000_000))) for _ in range(5)])[0]


# --- in a process of its own: what is cold, or whose memory is counted


def alone(words: list[str]) -> dict[str, float]:
    """This module's own `--alone WORDS` in a fresh interpreter: what it printed."""
    done = subprocess.run(
        [sys.executable, str(Path(__file__)), "--alone", *words], capture_output=True, text=True, check=True
    )
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def cold_model() -> dict[str, float]:
    """From the text of the armchair to its jointed solids, the modules read in before, nothing made before."""
    from batchwright.design.draft import draft_piece
    from batchwright.design.shop import packaged_shop
    from batchwright.design.text.read import read_bytes
    from batchwright.joinery.complete import complete_piece
    from batchwright.solids.build import recipe_solid

    content, shop = CHAIR.read_bytes(), packaged_shop()
    counts: dict[str, float] = {}

    def build() -> None:
        _, tree, _ = read_bytes(content, CHAIR.name)
        assert tree is not None
        draft, _ = draft_piece(tree, CHAIR.name)
        assert draft is not None
        piece = complete_piece(draft, shop)
        for part in piece.parts:
            recipe_solid(part.recipe)
        counts.update(parts=len(piece.parts), joints=len(piece.joints))

    seconds, processor = timed(build)
    return {"seconds": seconds, "processor": processor, **counts}


def command(words: list[str]) -> dict[str, float]:
    """A command of the terminal: its time and its greatest memory."""
    with contextlib.suppress(ImportError):
        import resource  # not on every system

        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "batchwright", *words], stdout=subprocess.DEVNULL, check=False)
        used = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
        megabytes = used / (1024.0 * 1024.0) if sys.platform == "darwin" else used / 1024.0
        return {"seconds": time.perf_counter() - start, "MB": megabytes}
    return {"seconds": float("nan"), "MB": float("nan")}


# --- in this process, warm


MOVED = ("leg thick", "seat height", "arm height", "front width", "back slats", "rake")
"""Sizes of the armchair that are moved: the first two change nearly every part, the third only a few."""
VALUES = 20


def size_changed(name: str) -> list[Taken]:
    """One size of the armchair moved over its range in a warm process, never twice to the same value: new draft, new
    joints, new meshes, new findings."""
    from batchwright.design.draft import draft_piece
    from batchwright.design.shop import packaged_shop
    from batchwright.design.text.read import read_bytes
    from batchwright.joinery.complete import complete_piece
    from batchwright.solids.build import recipe_solid

    _, tree, _ = read_bytes(CHAIR.read_bytes(), CHAIR.name)
    assert tree is not None
    shop = packaged_shop()

    def build(sizes: dict[str, str]) -> None:
        draft, _ = draft_piece(tree, CHAIR.name, sizes)
        assert draft is not None
        for part in complete_piece(draft, shop).parts:
            recipe_solid(part.recipe)

    build({})
    drawn, _ = draft_piece(tree, CHAIR.name)
    assert drawn is not None
    values = list(_values(next(size for size in drawn.sizes if size.name == name)))
    return [timed(lambda value=value: build({name: value})) for value in values]  # type: ignore[misc]


def _values(size: SizeValue) -> Iterator[str]:
    """Values of a size between its limits, or within a twentieth of what it is, as a maker writes them."""
    low = size.low if size.low is not None else 0.95 * size.value
    high = size.high if size.high is not None else 1.05 * size.value
    if size.kind is SizeKind.NUMBER:
        yield from (str(value) for value in range(round(low), round(high) + 1))
        return
    for i in range(VALUES):
        value = low + (i + 0.37) / VALUES * (high - low)
        yield f"{value:.4f} mm" if size.kind is SizeKind.LENGTH else f"{math.degrees(value):.4f} deg"


def drawn_and_printed() -> tuple[Taken, Taken, int, int]:
    """Three views of the armchair from finished solids, then its whole packet: times, sheets, pages."""
    from batchwright.app.packet import contents_of
    from batchwright.app.plan import plan_job
    from batchwright.sheets.render.pdf import render_packet
    from batchwright.sheets.views.drawings import VIEWS, plain_view, whole
    from batchwright.sheets.views.packet import make_packet

    planned = plan_job(JOB, MADE).thing
    assert planned is not None
    contents = contents_of(planned)
    counts: list[int] = []

    def views() -> None:
        parts = whole(contents.made)
        for view in VIEWS:
            plain_view(contents.made, parts, view, contents.printing)

    def prints() -> None:
        packet = make_packet(contents)
        counts.extend((len(packet.sheets), render_packet(packet, MADE).pages))

    viewed, printed = timed(views), timed(prints)
    return viewed, printed, counts[0], counts[1]


def slatted(parts: int) -> str:
    """A slatted screen of that many parts: two posts, two rails, slats tenoned into both."""
    slats = parts - 4
    wide = 40.0 * slats + 40.0
    return f"""
piece: Screen
units: mm
wood: white oak
hands: from the front
parts:
  post: {{count: pair, box: {{x: [{wide / 2}, {wide / 2 + 45}], y: [0, 45], z: [0, 900]}}}}
  low rail: {{box: {{x: [left post, right post], y: [10, 35], z: [100, 160]}}}}
  high rail: {{box: {{x: [left post, right post], y: [10, 35], z: [800, 860]}}}}
  slat:
    box: {{x: [-12, 12], y: [15, 30], z: [low rail, high rail]}}
    repeat: {{count: {slats}, along: x, between: [{-wide / 2}, {wide / 2}]}}
joints:
  - {{tenon: [low rail, high rail], into: post}}
  - {{tenon: slat, into: [low rail, high rail], expect: {2 * slats}}}
"""


def growth() -> tuple[float, list[tuple[int, float]]]:
    """The slope of log time over log number of parts, 20 to 200, text to joints; the processor's least times."""
    from batchwright.design.draft import draft_piece
    from batchwright.design.shop import packaged_shop
    from batchwright.design.text.read import read_tree
    from batchwright.joinery.complete import complete_piece

    shop = packaged_shop()

    def build(parts: int) -> None:
        tree, faults = read_tree(slatted(parts), "screen.piece.yaml")
        assert tree is not None and not faults, faults
        draft, faults = draft_piece(tree, "screen.piece.yaml")
        assert draft is not None and not faults, faults
        piece = complete_piece(draft, shop)
        assert len(piece.parts) == parts and not piece.faults, piece.faults

    build(PARTS[0])
    times = [
        (parts, min(timed(lambda parts=parts: build(parts))[1] for _ in range(3)))  # type: ignore[misc]
        for parts in PARTS
    ]
    slope = np.polyfit(np.log([n for n, _ in times]), np.log([t for _, t in times]), 1)[0]
    return float(slope), times


# --- the table


def rows(rounds: int) -> Iterator[Row]:
    """Everything measured, in the order of the targets."""
    models = [alone(["model"]) for _ in range(rounds)]
    size = f"{models[0]['parts']:.0f} parts, {models[0]['joints']:.0f} joints"
    taken = middle([(run["seconds"], run["processor"]) for run in models])
    yield Row("model of the armchair, cold, text to jointed solids", taken[0], 0.6, "s", size, taken[1])
    for name in MOVED:
        changes = size_changed(name)
        taken, worst = middle(changes), max(1000.0 * change[0] for change in changes)
        what = f"one size changed, `{name}`: new meshes and findings"
        yield Row(what, taken[0], 0.1, "s", f"{len(changes)} values; the worst {worst:.0f} ms", taken[1])
    viewed, printed, sheets, pages = drawn_and_printed()
    yield Row("three drawing views", viewed[0], 1.5, "s", "with dimensions", viewed[1])
    share = 40.0 / sheets
    note = f"40/{sheets} of the whole, which has {sheets} sheets on {pages} pages and takes {printed[0]:.2f} s"
    yield Row("packet PDF, for 40 sheets", printed[0] * share, 2.0, "s", note, printed[1] * share)
    helps = statistics.median(alone(["command", "--help"])["seconds"] for _ in range(rounds))
    yield Row("`batchwright --help`", helps, 0.2, "s")
    with tempfile.TemporaryDirectory() as folder:
        plan = alone(["command", "plan", str(JOB), "--out", folder])
    yield Row("`plan` of the demo: peak memory", plan["MB"], 400.0, "MB", f"{plan['seconds']:.1f} s in all")
    slope, times = growth()
    each = ", ".join(f"{n}: {1000.0 * t:.0f} ms" for n, t in times)
    yield Row("growth with the number of parts, 20 to 200: slope in log-log", slope, 1.2, "", each)


def machine() -> str:
    """The machine in words."""
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    processor = platform.processor() or platform.machine()
    return f"{os.cpu_count()} cores ({processor}), Python {platform.python_version()}, {platform.system()}{load}"


def table(found: list[Row], stick: float) -> str:
    """The rows as a table for the terminal and for the page of measurements."""
    lines = ["| what | target | measured | of the processor | yardsticks | met | note |", "|---" * 7 + "|"]
    for row in found:
        shown = ".0f" if row.unit == "MB" else ".2f"
        sticks = f"{row.measured / stick:.1f}" if row.unit == "s" else ""
        cells = (
            f"≤ {row.target:g} {row.unit}",
            f"{row.measured:{shown}} {row.unit}",
            f"{row.processor:.2f} s" if row.processor is not None else "",
            sticks,
            "yes" if row.hit else "no",
        )
        lines.append(f"| {row.what} | {' | '.join(cell.strip() for cell in cells)} | {row.note} |")
    return "\n".join(lines)


def main(words: list[str]) -> int:
    """Measure and print; a target missed is told in the table, it is no failure of the run."""
    parser = argparse.ArgumentParser(prog="speed", description=__doc__)
    parser.add_argument("--rounds", type=int, default=3, metavar="N", help="how often each short thing is measured")
    parser.add_argument("--alone", nargs=argparse.REMAINDER, help=argparse.SUPPRESS)
    asked = parser.parse_args(words)
    if asked.alone:
        print(json.dumps(cold_model() if asked.alone[0] == "model" else command(asked.alone[1:])))
        return 0
    assert importlib.util.find_spec("batchwright"), "install the checkout first"
    stick = yardstick()
    print(f"{machine()}; yardstick {1000.0 * stick:.0f} ms")
    print(table(list(rows(asked.rounds)), stick))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
