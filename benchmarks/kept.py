"""What is kept between two revisions changes nothing: sizes moved one after another, each piece against one made cold.

    python3 run.py test bench kept [--steps N] [--seeds N]

For each example and each seed a slider's walk: one size moved a step at a time, back and forth, then another. Every
piece on the way, made with all that was kept from those before it, must be the piece that is made from nothing: the
same records in the same order, the same findings and faults, numbers to 1e-9.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from alike import differences, forget
from batchwright.model.draft import SizeKind
from batchwright.model.piece import Piece
from batchwright.solids.build import recipe_solid
from piece_files import example_files, free_values, jointed, said


def walk(path: Path, steps: int, seed: int) -> Iterator[dict[str, str]]:
    """The sizes of a slider's walk: each step moves one size a little, and every fourth takes up another."""
    chance = random.Random(seed)
    free = free_values(path.read_bytes(), path.name)
    now: dict[str, str] = {}
    size, at = chance.choice(free), chance.random()
    for step in range(steps):
        if step % 4 == 3:
            size, at = chance.choice(free), chance.random()
        at = min(1.0, max(0.0, at + chance.uniform(-0.1, 0.1)))
        assert size.low is not None and size.high is not None
        value = size.low + at * (size.high - size.low)
        now = {**now, size.name: said(size, round(value) if size.kind is SizeKind.NUMBER else value)}
        yield dict(now)


def unlike(path: Path, walked: list[dict[str, str]]) -> list[str]:
    """Where a piece made warm differs from the same made cold, over a walk."""
    content = path.read_bytes()
    forget()
    warm = [jointed(content, path.name, sizes) for sizes in walked]
    found = []
    for sizes, made in zip(walked, warm):
        forget()
        cold = jointed(content, path.name, sizes)
        lines = differences((made.piece, made.faults), (cold.piece, cold.faults))
        if made.piece is not None and cold.piece is not None and not lines:
            lines = _meshes(made.piece, cold.piece)
        found += [f"{path.name}, {sizes}: {line}" for line in lines]
    return found


def _meshes(warm: Piece, cold: Piece) -> list[str]:
    """Where the solids of two pieces differ: each part built anew from the recipe it was given."""
    found = []
    for one, two in zip(warm.parts, cold.parts):
        a, b = recipe_solid(one.recipe), recipe_solid(two.recipe)
        lines = differences((a.vertices, a.triangles, a.faces), (b.vertices, b.triangles, b.faces))
        found += [f"{one.id}: {line}" for line in lines]
    return found


def main(words: list[str]) -> int:
    """Walk and compare; 1 where anything differs."""
    parser = argparse.ArgumentParser(prog="kept", description=__doc__)
    parser.add_argument("--steps", type=int, default=12, metavar="N", help="pieces on each walk")
    parser.add_argument("--seeds", type=int, default=4, metavar="N", help="walks on each example")
    asked = parser.parse_args(words)
    bad = 0
    for path in example_files():
        start, found = time.perf_counter(), []
        for seed in range(asked.seeds):
            found += unlike(path, list(walk(path, asked.steps, seed)))
        bad += len(found)
        seconds = time.perf_counter() - start
        print(f"{path.name}: {asked.seeds * asked.steps} pieces, {len(found)} differences ({seconds:.0f} s)")
        print("\n".join(f"  {line}" for line in found[:20]))
    return min(bad, 1)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
