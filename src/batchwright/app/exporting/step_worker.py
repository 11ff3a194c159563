"""The process that makes exact bodies and STEP files: a job comes in as JSON, lines and files go out.

Started by `step`; nothing else imports it. The exact kernel holds the interpreter while it works and prints on standard
output, so it has a process of its own, whose real output is kept for the answers.
"""

from __future__ import annotations

import json
import os
import re
import sys
from dataclasses import dataclass
from typing import Any, BinaryIO

import numpy as np

MIRROR = np.array([(-1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0)])
_HEAD = re.compile(rb"FILE_DESCRIPTION\(.*?\);\s*FILE_NAME\(.*?\);", re.DOTALL)


@dataclass(frozen=True, slots=True)
class _Answers:
    """The pipe back: a line of JSON for each thing that is done, and after a file's line its bytes."""

    stream: BinaryIO

    def line(self, **told: object) -> None:
        self.stream.write(json.dumps(told).encode() + b"\n")
        self.stream.flush()

    def file(self, name: str, content: bytes) -> None:
        self.line(file=name, bytes=len(content))
        self.stream.write(content)
        self.stream.flush()


def main() -> None:
    """Read the job from standard input and answer on what standard output was."""
    answers = _Answers(os.fdopen(os.dup(1), "wb"))
    os.dup2(2, 1)
    job = json.loads(sys.stdin.buffer.read())
    try:
        from batchwright.solids import brep_kernel
    except ImportError as missing:
        answers.line(missing=str(missing))
        return
    del brep_kernel
    bodies = [_body(number, told, answers) for number, told in enumerate(job["bodies"])]
    if all(body is not None for body in bodies):
        for file in job["files"]:
            answers.file(file["name"], _file(file, bodies, job))
    answers.line(done=True)


def _body(number: int, told: dict[str, Any], answers: _Answers) -> Any:
    """One body made and measured; None, with the reason told, where the kernel cannot."""
    from batchwright.app.exporting.plain import recipe_of
    from batchwright.solids import brep, brep_kernel

    answers.line(begun=number)
    try:
        made = brep.exact_part(recipe_of(told["recipe"]))
    except (ValueError, RuntimeError) as problem:
        answers.line(body=number, failed=str(problem) or type(problem).__name__)
        return None
    body = brep_kernel.moved(made.body, MIRROR) if told["mirrored"] else made.body
    answers.line(
        body=number,
        sound=brep_kernel.is_sound(body),
        solids=len(brep_kernel.pieces(body)),
        volume=brep_kernel.volume(body),
        area=brep_kernel.area(body),
        notes=list(made.notes),
    )
    return body


def _file(file: dict[str, Any], bodies: list[Any], job: dict[str, Any]) -> bytes:
    from batchwright.solids.brep_kernel import Product, written

    products = [
        Product(
            name=one["name"],
            body=bodies[one["body"]],
            rgb=tuple(one["rgb"]),
            places=tuple((name, np.array(matrix)) for name, matrix in one["places"]),
        )
        for one in file["products"]
    ]
    head = (
        "FILE_DESCRIPTION(('furniture part or assembly, millimetres'),'2;1');\n"
        f"FILE_NAME('{file['plain']}','{job['made']}',(''),(''),'{job['by']}','{job['by']}','');"
    )
    return _HEAD.sub(head.encode("ascii").replace(b"\\", b"\\\\"), written(products, file["title"]), count=1)


if __name__ == "__main__":
    main()
