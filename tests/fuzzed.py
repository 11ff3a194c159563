"""Spoilt projects and the guard they are tried under: a worker of its own, with limits, ended when it hangs."""

# ruff: noqa: E501 - lists of slips read best side by side

from __future__ import annotations

import json
import os
import re
import select
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random
from types import TracebackType

from batchwright.design.shop import packaged_text

EXAMPLES = Path(__file__).parents[1] / "examples"
BENCH = Path(__file__).with_name("small-bench.piece.yaml")
BENCH_JOB = (
    b"job: Benches\npiece: small-bench.piece.yaml\ncopies: 3\nsizes: {width: 41}\nas milled: {slat thick: 27/32 in}\n"
)
MEMORY = 4 * 2**30
"""Address space a worker may ask for [bytes]."""
PATIENCE_S = 90.0
"""After this a run is taken to hang; the slowest sound example takes some seconds on a busy machine."""
OLD = {"packet.pdf": b"old packet", "plan.json": b"old plan", "boards/A1.svg": b"old board"}
"""A packet that lies there before each run."""

Project = dict[str, bytes]

TOKEN = re.compile(r"[^\W\d_]+(?: [^\W\d_]+)*|\d+(?:\.\d+)?(?: \d+/\d+)?|[\[\]{}:,;*/+'\"-]")
NUMBER = re.compile(r"\d+(?:\.\d+)?(?: \d+/\d+)?")
NUMBERS = (
    "0", "-1", "1e308", "-1e308", "1e-308", "nan", "inf", "9" * 400, "1000000", "99999", "1/0", "0.0001", "1/64",
    "10000 m", "-5", "1/1000000", "2 1/2 in", "89.9999 deg", "90 deg", "180 deg", "1e3",
)  # fmt: skip
SLIPS = (
    "", " ", "\t", "\n", ":", ": ", "- ", "[", "]", "{", "}", ",", ";", "'", '"', "#", "&a ", "*a", "!!int ", "|", ">", "%", "@", "\x00",
    "é", "木", "\u202e", "\U0001f600", "½", "\r", "\x85", "\u2028", "<<: ", "---\n", "...\n", "? ", "A" * 3000, "[" * 300, "{a: " * 200,
    "(" * 500, "-" * 500, "1+" * 500 + "1", "leg", "left leg", "back leg", "place.x", "z 13", "at z ", "width", "count: four", "../x", "/etc/passwd",
    "repeat: {count: 1000000, along: x, between: [0, 1]}", "repeat: {gap: 1/1000, along: x, between: [0, 100]}", "mirror: 0", "also sawn: {on: end, box: 1}",
)  # fmt: skip


def sound_projects() -> dict[str, Project]:
    """The examples with the packaged shop beside them, named by their jobs, and a small bench that is planned fast."""
    found = {"small-bench": {"small-bench.piece.yaml": BENCH.read_bytes(), "bench.job.yaml": BENCH_JOB}}
    for folder in sorted(path for path in EXAMPLES.iterdir() if path.is_dir()):
        files = {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file()}
        files["shop.yaml"] = packaged_text().encode()
        for name in [name for name in files if name.endswith(".job.yaml")]:
            files[name] += b"shop: shop.yaml\n"
        found[folder.name] = files
    return found


def words_of(projects: Mapping[str, Project]) -> tuple[str, ...]:
    """Every word and sign of the files: put where it does not belong, it makes a slip that goes deep."""
    texts = [content.decode() for files in projects.values() for content in files.values()]
    return tuple(sorted({token for text in texts for token in TOKEN.findall(text)}))


def spoilt(random: Random, project: Project, words: tuple[str, ...]) -> Project:
    """The project with one to three slips in one of its files; the piece is spoilt most often."""
    piece = next(name for name in sorted(project) if name.endswith(".piece.yaml"))
    name = random.choice([piece, piece, piece, *sorted(project)])
    text = project[name].decode()
    for _ in range(random.choice((1, 1, 1, 2, 3))):
        text = _slip(random, text, words)
    data = text.encode("utf-8", "surrogatepass")
    if data and random.randrange(20) == 0:
        at = random.randrange(len(data))
        data = data[:at] + bytes([random.randrange(256)]) + data[at + 1 :]
    return {**project, name: data}


def _slip(random: Random, text: str, words: tuple[str, ...]) -> str:
    kind = random.choice(("word", "word", "word", "number", "number", "number", "sign", "line", "line", "cut"))
    lines = text.splitlines(keepends=True)
    if kind == "line" and lines:
        a, b = random.randrange(len(lines)), random.randrange(len(lines))
        what = random.choice(("drop", "double", "swap", "move"))
        if what == "drop":
            del lines[a]
        elif what == "double":
            lines.insert(b, lines[a])
        elif what == "swap":
            lines[a], lines[b] = lines[b], lines[a]
        else:
            lines.insert(b, lines.pop(a))
        return "".join(lines)
    found = list((NUMBER if kind == "number" else TOKEN).finditer(text))
    if kind in ("word", "number") and found:
        at = random.choice(found)
        new = random.choice(NUMBERS if kind == "number" else words)
        if random.randrange(5) == 0:
            new = f"{at.group()} {new}"
        return text[: at.start()] + new + text[at.end() :]
    start = random.randrange(len(text) + 1)
    end = start + random.choice((0, 1, 1, 3, 30, 300)) if kind == "cut" else start
    return text[:start] + ("" if kind == "cut" else random.choice(SLIPS)) + text[end:]


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a run ended: its exit code, or None where it was ended by the guard or died; what was wrong, if anything.

    `seconds` are of the processor, so that a busy machine counts for nothing.
    """

    code: int | None
    trouble: str = ""
    codes: tuple[str, ...] = ()
    seconds: float = 0.0


WORKER = """
import contextlib, io, json, os, sys, time, traceback
try:
    import resource
    resource.setrlimit(resource.RLIMIT_AS, (int(sys.argv[1]),) * 2)
except ImportError:
    pass
os.environ["BATCHWRIGHT_DEBUG"] = "1"
from batchwright.cli import main
answers = os.fdopen(os.dup(1), "w")
for line in sys.stdin:
    sys.argv = ["batchwright", *json.loads(line)]
    out, err, trouble, start = io.StringIO(), io.StringIO(), "", time.process_time()
    code = 0
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            main()
        except SystemExit as end:
            code = end.code
        except BaseException:
            code, trouble = 3, traceback.format_exc()
    text = out.getvalue()
    print(json.dumps([code, trouble, text, err.getvalue(), time.process_time() - start]), file=answers, flush=True)
"""


class Guard:
    """A worker that plans one project after another; a new one takes the place of one that died or was ended."""

    def __init__(self, patience: float = PATIENCE_S) -> None:
        self.patience = patience
        self._run: subprocess.Popen[str] | None = None
        self._room = tempfile.TemporaryDirectory()
        self._count = 0

    def __enter__(self) -> Guard:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self._end()
        self._room.cleanup()

    def plan(self, project: Project) -> Verdict:
        """Plan a project into a folder that holds an earlier packet; what was wrong with how it went."""
        with self._laid_out(project) as folder:
            job = next(name for name in sorted(project) if name.endswith(".job.yaml"))
            answer = self._ask(["plan", str(folder / job), "--out", str(folder / "out"), "--json"])
            if isinstance(answer, str):
                return Verdict(None, answer)
            return _judge(answer, folder / "out")

    @contextmanager
    def _laid_out(self, project: Project) -> Iterator[Path]:
        self._count += 1
        with tempfile.TemporaryDirectory(dir=self._room.name, prefix=f"{self._count}-") as name:
            folder = Path(name)
            for path, content in {**project, **{f"out/{name}": content for name, content in OLD.items()}}.items():
                (folder / path).parent.mkdir(parents=True, exist_ok=True)
                (folder / path).write_bytes(content)
            yield folder

    def _ask(self, words: list[str]) -> list[object] | str:
        if self._run is None:
            line = [sys.executable, "-c", WORKER, str(MEMORY)]
            environment = {**os.environ, "SOURCE_DATE_EPOCH": "1790000000", "PYTHONUTF8": "1"}
            self._run = subprocess.Popen(
                line, env=environment, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
            )
        run = self._run
        assert run.stdin is not None and run.stdout is not None
        run.stdin.write(json.dumps(words) + "\n")
        run.stdin.flush()
        ready, _, _ = select.select([run.stdout], [], [], self.patience)
        line_back = run.stdout.readline() if ready else ""
        if line_back:
            answer: list[object] = json.loads(line_back)
            return answer
        self._end()
        return f"the worker died ({run.returncode})" if ready else f"hung: no answer within {self.patience} s"

    def _end(self) -> None:
        if self._run is not None:
            self._run.kill()
            self._run.communicate()
            self._run = None


def _judge(answer: list[object], out: Path) -> Verdict:
    code, trouble, text, err, seconds = answer
    codes: tuple[str, ...] = ()
    problem = str(trouble)
    try:
        said = json.loads(str(text))
        codes = tuple(sorted({fault["code"] for fault in said.get("faults", ())}))
        unsaid = [fault for fault in said.get("faults", ()) if not (fault["what"] and fault["mend"] and fault["file"])]
        problem = problem or (f"a fault without words: {unsaid[0]}" if unsaid else "")
    except ValueError:
        problem = problem or f"standard output is not JSON: {str(text)[:200]!r} {str(err)[:200]!r}"
    if code not in (0, 1, 2):
        problem = problem or f"exit code {code}: {text}"
    problem = problem or _half_written(code, out)
    return Verdict(code if isinstance(code, int) else None, problem, codes, float(str(seconds)))


def _half_written(code: object, out: Path) -> str:
    found = {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in out.rglob("*")
        if path.is_file() and ".batchwright" not in path.parts
    }
    if code == 2:
        return "" if found == OLD else "a refused run changed the packet"
    if (out / ".batchwright" / "stage").exists():
        return "a stage was left"
    if not found["packet.pdf"].rstrip().endswith(b"%%EOF"):
        return "the packet has no end"
    json.loads(found["plan.json"], parse_constant=_no_constant)
    return ""


def _no_constant(name: str) -> float:
    raise ValueError(f"plan.json holds {name}, which JSON does not have")
