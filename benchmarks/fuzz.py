"""Spoil the examples for as long as asked, plan each, and tell whatever went wrong: `... bench fuzz [minutes] [seed]`.

Every trouble is told once, with the files that bring it about; they are kept under `fuzz-troubles/` beside this file.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path
from random import Random

from fuzzed import Guard, Project, Verdict, sound_projects, spoilt, words_of

KEPT = Path(__file__).parent / "fuzz-troubles"
SLOW_S = 10.0


def main(words: list[str]) -> int:
    """Run for some minutes (3 unless told); 0 if nothing went wrong."""
    minutes = float(words[0]) if words else 3.0
    seed = int(words[1]) if len(words) > 1 else 1
    projects = sound_projects()
    vocabulary = words_of(projects)
    random = Random(seed)
    ends: Counter[object] = Counter()
    faults: Counter[str] = Counter()
    troubles: dict[str, int] = {}
    stop = time.monotonic() + 60.0 * minutes
    with Guard() as guard:
        while time.monotonic() < stop:
            name = random.choice([*["small-bench"] * 5, "hall-table", *sorted(projects)])
            project = spoilt(random, projects[name], vocabulary)
            verdict = guard.plan(project)
            ends[verdict.code] += 1
            faults.update(verdict.codes)
            _note(verdict, (name, project, projects[name]), troubles)
    print(f"{sum(ends.values())} projects; exit codes {dict(ends)}; {len(faults)} fault codes; seed {seed}")
    for code, count in faults.most_common():
        print(f"  {count:6} {code}")
    print(f"{len(troubles)} troubles")
    return 1 if troubles else 0


def _note(verdict: Verdict, tried: tuple[str, Project, Project], troubles: dict[str, int]) -> None:
    trouble = verdict.trouble
    if not trouble and verdict.seconds > SLOW_S:
        trouble = f"slow: {verdict.seconds:.0f} s of the processor"
    if not trouble:
        return
    lines = [line.strip() for line in trouble.strip().splitlines()]
    places = [line for line in lines if line.startswith("File ")]
    key = f"{places[-1] if places else ''} {lines[-1].split(':')[0]}" if places else lines[0][:60]
    troubles[key] = troubles.get(key, 0) + 1
    if troubles[key] > 1:
        return
    name, project, sound = tried
    folder = KEPT / f"{len(troubles):03}-{name}"
    folder.mkdir(parents=True, exist_ok=True)
    for path, content in project.items():
        (folder / path).write_bytes(content)
    (folder / "trouble.txt").write_text(trouble, encoding="utf-8")
    changed = [path for path in project if project[path] != sound[path]]
    print(f"{folder.name}: {changed} {verdict.seconds:.1f} s\n    {key}\n    {lines[-1][:200]}", flush=True)


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
    sys.exit(main(sys.argv[1:]))
