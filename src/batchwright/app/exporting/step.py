"""STEP files, made in a process of their own by the optional exact kernel: the piece as an assembly, and each part."""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from importlib.util import find_spec
from typing import IO, Any

from batchwright import __version__
from batchwright.app.exporting.plain import recipe_as_plain
from batchwright.app.exporting.wanted import COMMAND, Wanted
from batchwright.app.packet import file_name, file_names
from batchwright.app.progress import Progress
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault
from batchwright.geometry.frame import WORLD, Frame
from batchwright.model.piece import Part
from batchwright.sheets.views.standing import bench_place
from batchwright.sheets.views.woods import wood_colour
from batchwright.solids.build import recipe_solid
from batchwright.solids.key import content_key
from batchwright.solids.solid import Quality

WORKER = "batchwright.app.exporting.step_worker"
LIBRARY = "OCP"
LIMIT = 90.0
"""One body, or one file, may take no longer [s]."""
SAME = 2e-3
"""Volume and surface of an exact body and of its mesh may differ by this share."""
SHOWN_ERROR = 300
"""Letters of what a broken worker said that are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepped:
    """STEP files by name, and what of them is worth knowing."""

    files: dict[str, bytes]
    notes: tuple[str, ...]


@dataclass(slots=True)
class _Job:
    """Bodies to make, each once, and the files that hold them."""

    bodies: list[dict[str, Any]] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    known: dict[object, int] = field(default_factory=dict)
    files: list[dict[str, Any]] = field(default_factory=list)

    def body(self, part: Part, mirrored: bool) -> int:
        """The number of a part's body in its drawing frame, or of its mirror image."""
        recipe = part.recipe
        key = (content_key(replace(recipe, frame=WORLD) if not recipe.shape.edges else recipe), mirrored)
        if key not in self.known:
            self.known[key] = len(self.bodies)
            self.bodies.append({"recipe": recipe_as_plain(recipe), "mirrored": mirrored})
            self.parts.append(part)
        return self.known[key]

    def put(self, name: str, title: str, standing: Sequence[tuple[Part, Frame]]) -> None:
        """A file with parts, each in a frame."""
        products: dict[int, dict[str, Any]] = {}
        for part, frame in standing:
            mirrored = frame.mirrored
            if mirrored:
                frame = replace(frame, x=(-frame.x[0], -frame.x[1], -frame.x[2]))
            body = self.body(part, mirrored)
            rgb = wood_colour(part.draft.wood).rgb
            one = products.setdefault(body, {"name": str(part.kind), "body": body, "rgb": rgb, "places": []})
            one["places"].append((str(part.id), frame.matrix().tolist()))
        plain = name.rsplit("/", 1)[-1].encode("ascii", "replace").decode()
        self.files.append({"name": name, "title": title, "plain": plain, "products": list(products.values())})


def step_files(wanted: Wanted, progress: Progress) -> Outcome[Stepped]:
    """The piece as an assembly of named parts (where no part was named), and each kind in its bench coordinates."""
    if find_spec(LIBRARY) is None:
        return Outcome(None, (_not_installed(),))
    job, title = _Job(), wanted.piece.draft.name
    if wanted.whole:
        job.put(f"models/{file_name(title)}.step", title, [(one, one.recipe.frame) for one in wanted.piece.parts])
    kinds = wanted.kinds()
    for name, (kind, part) in zip(file_names([kind.id for kind, _ in kinds]), kinds, strict=True):
        job.put(f"models/parts/{name}.step", f"{title}: {kind.id}", [(part, bench_place(part))])
    moment = wanted.planned.made.replace(tzinfo=None, microsecond=0).isoformat()
    told = {"bodies": job.bodies, "files": job.files, "made": moment, "by": f"Batchwright {__version__}"}
    return _Run(job=job, progress=progress).made(told)


@dataclass(slots=True)
class _Run:
    """One run of the worker, and what it has answered so far."""

    job: _Job
    progress: Progress
    files: dict[str, bytes] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    at: str = "the start"
    done: bool = False

    def made(self, told: dict[str, Any]) -> Outcome[Stepped]:
        """The files, or the faults that stand in their way."""
        command = [sys.executable, "-P", "-m", WORKER]
        pipe = subprocess.PIPE
        said = ""
        dead = suppress(BrokenPipeError)  # it ended before it had read its job: that is told below
        with dead, subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe) as worker:
            try:
                for answer, content in _answers(worker, json.dumps(told).encode()):
                    self._take(answer, content)
            except TimeoutError:
                self.faults.append(_too_slow(self.at))
            finally:
                worker.kill()
            said = worker.stderr.read().decode(errors="replace") if worker.stderr else ""
        if not self.done and not self.faults:
            self.faults.append(_broke_off(self.at, said))
        if self.faults:
            return Outcome(None, tuple(self.faults))
        return Outcome(Stepped(files=self.files, notes=tuple(self.notes)))

    def _take(self, answer: dict[str, Any], content: bytes) -> None:
        if "missing" in answer:
            self.faults.append(_not_loaded(answer["missing"]))
        elif "begun" in answer:
            self.at = str(self.job.parts[answer["begun"]].id)
            self.progress("STEP", 0.5 + 0.5 * answer["begun"] / len(self.job.parts))
        elif "failed" in answer:
            self.faults.append(_not_made(self.at, answer["failed"]))
        elif "body" in answer:
            self._measured(answer)
        elif "file" in answer:
            self.at = answer["file"]
            self.files[answer["file"]] = content
        self.done = self.done or "done" in answer

    def _measured(self, answer: dict[str, Any]) -> None:
        """What the worker measured of a body, held against its mesh."""
        part = self.job.parts[answer["body"]]
        mesh = recipe_solid(part.recipe, Quality.FINE)
        self.notes += [f"{part.id}: {note}" for note in answer["notes"]]
        if not answer["sound"] or answer["solids"] != 1:
            self.notes.append(f"{part.id}: its STEP body is not one sound solid; look it over before you rely on it")
        off = max(abs(answer["volume"] / mesh.volume - 1.0), abs(answer["area"] / mesh.area - 1.0))
        if off > SAME:
            self.notes.append(f"{part.id}: volume or surface of its STEP body is {off:.1%} off that on the sheets")


def _answers(worker: subprocess.Popen[bytes], job: bytes) -> Iterator[tuple[dict[str, Any], bytes]]:
    """Each answer of the worker, with the bytes that follow it.

    Raises
    ------
    TimeoutError
        If none comes for too long.
    """
    assert worker.stdin is not None and worker.stdout is not None
    answers: queue.Queue[tuple[dict[str, Any], bytes] | None] = queue.Queue()
    threading.Thread(target=_listen, args=(worker.stdout, answers), daemon=True).start()
    threading.Thread(target=_tell, args=(worker.stdin, job), daemon=True).start()
    while True:
        try:
            answer = answers.get(timeout=LIMIT)
        except queue.Empty:
            raise TimeoutError from None
        if answer is None:
            return
        yield answer


def _tell(stream: IO[bytes], job: bytes) -> None:
    try:
        stream.write(job)
        stream.close()
    except OSError:
        pass  # the worker has ended; its silence says so


def _listen(stream: IO[bytes], answers: queue.Queue[tuple[dict[str, Any], bytes] | None]) -> None:
    try:
        while line := stream.readline():
            answer = json.loads(line)
            answers.put((answer, stream.read(answer.get("bytes", 0))))
    except (OSError, ValueError):
        pass
    answers.put(None)


def _not_installed() -> Fault:
    return Fault(
        code="step-not-installed",
        place=COMMAND,
        what="STEP files need the exact kernel, which is not installed.",
        why="it is large (some 380 MB on disk) and nothing else needs it.",
        mend="install it where Batchwright is: `pip install 'batchwright[step]'`, or from a checkout"
        " `.venv/bin/pip install -c constraints.txt -e '.[step]'`; then export again.",
    )


def _not_loaded(reason: str) -> Fault:
    return Fault(
        code="step-not-loaded",
        place=COMMAND,
        what=f"the exact kernel is installed and does not start: {reason}.",
        why="it needs three libraries of the system: libGL, libX11 and libexpat.",
        mend="install what is named; on Debian and its kin: `sudo apt install libgl1 libexpat1`.",
    )


def _not_made(part: str, reason: str) -> Fault:
    return Fault(
        code="step-part-not-made",
        place=COMMAND,
        what=f"the exact kernel could not make part '{part}': {reason}.",
        mend="export the other parts with --part, and this one as STL or GLB.",
    )


def _too_slow(at: str) -> Fault:
    return Fault(
        code="step-too-slow",
        place=COMMAND,
        what=f"the exact kernel was still at '{at}' after {LIMIT:.0f} s and was stopped.",
        mend="export the other parts with --part, and this one as STL or GLB.",
    )


def _broke_off(at: str, said: str) -> Fault:
    words = " ".join(said.split())[-SHOWN_ERROR:]
    return Fault(
        code="step-broke-off",
        place=COMMAND,
        what=f"the process of the exact kernel ended at '{at}' without an answer{f': {words}' if words else '.'}",
        mend="try again; if it ends there again, export the other parts with --part, and this one as STL or GLB.",
    )
