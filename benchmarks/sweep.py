"""Sweep every piece file over its sizes: each at both limits one at a time, then all of them together at random.

    python3 run.py test bench sweep [--together N] [--out FILE] [FILE ...]

A run is sound, or told (a fault, or findings, says what is wrong), or broken: an exception, or a law of
tests/piece_soundness.py that does not hold and of which the piece says nothing. Broken runs make the exit code 1.
"""

from __future__ import annotations

import argparse
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from batchwright.base.finding import Grade
from piece_files import example_files, free_values, jointed, one_at_a_time, together
from piece_soundness import breaches


@dataclass(frozen=True, slots=True)
class Run:
    """One file at one set of sizes, and what came of it."""

    file: Path
    sizes: dict[str, str]
    alone: bool
    seconds: float
    broken: tuple[str, ...] = ()
    """Exceptions, and laws broken without a word."""
    faults: tuple[str, ...] = ()
    failing: tuple[str, ...] = ()
    """Codes of the findings that fail."""
    told: tuple[str, ...] = ()
    """Laws broken, and said so."""

    @property
    def outcome(self) -> str:
        """broken, faults, failing or sound."""
        return "broken" if self.broken else "faults" if self.faults else "failing" if self.failing else "sound"


def try_one(file: Path, content: bytes, sizes: dict[str, str], joints: frozenset[str] = frozenset()) -> Run:
    """Joint a file at some sizes and measure what comes out; `joints`: those that must still be there, or be missed."""
    start = time.perf_counter()
    try:
        made = jointed(content, file.name, sizes)
        found = breaches(made.piece) if made.piece else []
    except Exception as wrong:
        where = traceback.extract_tb(wrong.__traceback__)[-1]
        what = f"{type(wrong).__name__}: {wrong} ({Path(where.filename).name}:{where.lineno})"
        return Run(file, sizes, len(sizes) < 2, time.perf_counter() - start, broken=(what,))
    findings = made.piece.findings if made.piece else ()
    broken = [str(breach) for breach in found if not breach.told]
    if made.piece and not made.faults:
        lost = joints - {joint.id for joint in made.piece.joints}
        broken += [f"a joint is lost without a word: {name}" for name in sorted(lost)]
    return Run(
        file,
        sizes,
        len(sizes) < 2,
        time.perf_counter() - start,
        broken=tuple(broken),
        faults=tuple(f"{fault.code}: {fault.what}" for fault in made.faults),
        failing=tuple(f"{each.code}: {each.what}" for each in findings if each.grade is Grade.FAILS),
        told=tuple(str(breach) for breach in found if breach.told),
    )


def runs_of(file: Path, combinations: int) -> Iterator[Run]:
    """As drawn; each free size at both limits; then `combinations` sets of all of them, seeds 0, 1, 2 ..."""
    content = file.read_bytes()
    drawn = jointed(content, file.name)
    joints = frozenset(joint.id for joint in drawn.piece.joints) if drawn.piece else frozenset()
    free = free_values(content, file.name)
    numbers = {size.name for size in free if size.kind.value == "number"}
    yield try_one(file, content, {})
    for sizes in one_at_a_time(free):
        yield try_one(file, content, sizes, frozenset() if numbers & set(sizes) else joints)
    for seed in range(combinations):
        yield try_one(file, content, together(free, seed))


def _shown(run: Run) -> str:
    sizes = ", ".join(f"{name}: {value}" for name, value in run.sizes.items()) or "as drawn"
    lines = [f"- {run.file.name} at {{{sizes}}}: {run.outcome}"]
    lines += [f"    broken:  {each}" for each in run.broken[:6]]
    lines += [f"    fault:   {each}" for each in run.faults[:6]]
    return "\n".join(lines)


def _law(line: str) -> str:
    return line.split(":")[0]


def report(runs: list[Run]) -> str:
    """What failed, most frequent first, then every run that is broken or has faults."""
    kinds = Counter(("broken", _law(each)) for run in runs for each in {_law(e) for e in run.broken})
    kinds += Counter(("fault", _law(each)) for run in runs for each in {_law(e) for e in run.faults})
    lines = [f"{number:4d} runs  {kind:7s} {law}" for (kind, law), number in kinds.most_common()]
    bad = [run for run in runs if run.outcome in ("broken", "faults")]
    return "\n".join([*lines, "", *(_shown(run) for run in sorted(bad, key=lambda r: (not r.broken, not r.alone)))])


def table(runs: list[Run]) -> str:
    """Per file: how many runs came out how."""
    lines = ["| file | runs | sound | with failing findings | with faults | broken | s per run |", "|---" * 7 + "|"]
    for file in sorted({run.file for run in runs}):
        for word, alone in (("one at a time", True), ("all together", False)):
            mine = [run for run in runs if run.file == file and run.alone is alone]
            count = Counter(run.outcome for run in mine)
            mean = sum(run.seconds for run in mine) / max(len(mine), 1)
            cells = [str(count[key]) for key in ("sound", "failing", "faults", "broken")]
            lines.append(f"| {file.stem.split('.')[0]}, {word} | {len(mine)} | {' | '.join(cells)} | {mean:.2f} |")
    return "\n".join(lines)


def main(words: list[str]) -> int:
    """Run the sweep; 1 if a run is broken."""
    parser = argparse.ArgumentParser(prog="sweep", description=__doc__)
    parser.add_argument("files", nargs="*", type=Path)
    parser.add_argument("--together", type=int, default=30, metavar="N", help="random combinations per file")
    parser.add_argument("--out", type=Path, help="write the failing runs here")
    asked = parser.parse_args(words)
    runs = [run for file in asked.files or example_files() for run in runs_of(file, asked.together)]
    text = report(runs)
    print(text)
    print(table(runs))
    if asked.out:
        asked.out.write_text(text + "\n", encoding="utf-8")
    return int(any(run.broken for run in runs))
