"""Piece files for sweeps and laws: read, jointed, moved to other sizes, and written over in millimetres."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from batchwright.base.fault import Fault
from batchwright.design.draft import draft_piece, free_sizes
from batchwright.design.shop import packaged_shop
from batchwright.design.text.read import read_bytes
from batchwright.design.text.tree import Mapping as Table
from batchwright.design.text.tree import Node, Scalar
from batchwright.joinery.complete import complete_piece
from batchwright.model.draft import SizeKind, SizeValue
from batchwright.model.piece import Piece

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


def example_files() -> tuple[Path, ...]:
    """The piece files of the examples."""
    return tuple(sorted(EXAMPLES.glob("*/*.piece.yaml")))


@dataclass(frozen=True, slots=True)
class Jointed:
    """A piece file jointed at some sizes: the piece, where there is one, and every fault of file and joinery."""

    piece: Piece | None
    faults: tuple[Fault, ...]


def jointed(content: bytes, name: str, sizes: Mapping[str, str] | None = None) -> Jointed:
    """A piece file read and jointed; joints are made only where the drawing has no fault."""
    _, tree, faults = read_bytes(content, name)
    if tree is None:
        return Jointed(None, faults)
    draft, more = draft_piece(tree, name, sizes)
    if draft is None or faults or more:
        return Jointed(None, (*faults, *more))
    piece = complete_piece(draft, packaged_shop())
    return Jointed(piece, piece.faults)


def free_values(content: bytes, name: str) -> tuple[SizeValue, ...]:
    """The sizes and numbers that a maker may move between limits."""
    _, tree, _ = read_bytes(content, name)
    assert tree is not None
    draft, _ = draft_piece(tree, name)
    assert draft is not None
    return free_sizes(draft)


def said(size: SizeValue, value: float) -> str:
    """A value of a size as a maker would write it."""
    if size.kind is SizeKind.LENGTH:
        return f"{value:.4f} mm"
    if size.kind is SizeKind.ANGLE:
        return f"{math.degrees(value):.5f} deg"
    return f"{value:g}"


def one_at_a_time(sizes: tuple[SizeValue, ...]) -> Iterator[dict[str, str]]:
    """Each size at both its limits, the others as the file has them."""
    for size in sizes:
        for limit in (size.low, size.high):
            if limit is not None:
                yield {size.name: said(size, limit)}


def together(sizes: tuple[SizeValue, ...], seed: int) -> dict[str, str]:
    """Every size somewhere between its limits, by the seed alone."""
    chance = random.Random(seed)
    found = {}
    for size in sizes:
        assert size.low is not None and size.high is not None
        value = chance.uniform(size.low, size.high)
        if size.kind is SizeKind.NUMBER and float(size.value).is_integer():
            value = chance.randint(math.ceil(size.low), math.floor(size.high))
        found[size.name] = said(size, value)
    return found


# --- inches written over in millimetres

LITERAL = re.compile(r"(?<![\w.])(\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)")
SCREW = re.compile(r"(size: no \d+ x (?:\d+ )?\d+(?:/\d+)?)(?! ?(?:in|mm|/|\d))")
UNIT = re.compile(r"\s*(?:in|ft|mm|cm|m|deg)\b|\s*['\"%]|\w")
PLAIN = {
    "piece", "wood", "use", "hands", "note", "numbers", "count", "expect", "side by side", "in line", "per crossing",
    "wedges", "size", "view", "drawn in", "ends", "end", "keep", "on", "along", "smooth", "turned", "haunch",
}  # fmt: skip
"""Words under which no bare length stands."""


def in_millimetres(text: str) -> str:
    """A piece file in inches, every bare length of it written in millimetres: 17 1/4 becomes 438.15. A screw keeps its
    inches, with their unit said. A file in millimetres already stays as it is."""
    if "units: mm" in text:
        return text
    _, tree, faults = read_bytes(text.encode(), "inches")
    assert tree is not None and not faults
    for scalar in sorted(_lengths(tree), key=lambda each: -each.span.start):
        assert not scalar.quoted
        start, end = scalar.span.start, scalar.span.end
        text = text[:start] + _converted(text[start:end]) + text[end:]
    return SCREW.sub(r"\1 in", text.replace("units: in", "units: mm", 1))


def _lengths(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, Table):
        for key, value in node.entries:
            if key.text not in PLAIN and key.text != "units":
                yield from _lengths(value)
    else:
        for item in node.items:
            yield from _lengths(item)


def _converted(text: str) -> str:
    """The bare literals of one expression that are lengths, not factors: those not beside a `*` or behind a `/`."""

    def millimetres(match: re.Match[str]) -> str:
        before, after = text[: match.start()].rstrip(), text[match.end() :]
        if before.endswith(("*", "/")) or after.lstrip().startswith(("*", "/")) or UNIT.match(after):
            return match.group()
        if before.endswith(" in") and re.search(r"\d in$", before):
            return match.group()
        value = sum((Fraction(word) for word in match.group().split()), Fraction(0)) * Fraction("25.4")
        return str(Decimal(value.numerator) / Decimal(value.denominator))

    return LITERAL.sub(millimetres, text)
