"""`outline: {file: leg.dxf, layer: ..., at: ..., turn: ..., scale: ...}`: the one closed loop of a drawing file.

The bytes are handed in; nothing here reads the disk.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from batchwright.base.fault import Fault, Level, Place
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.points import view_point
from batchwright.design.drawing.views import View
from batchwright.design.outlines.dxf_in import read_dxf
from batchwright.design.outlines.loops import Joined, joined, kinds_of, loop_words, open_ends, point_words
from batchwright.design.outlines.strokes import Held, Stroke, Unreadable, counted, on_layers
from batchwright.design.outlines.svg_in import read_svg
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence
from batchwright.design.values.reading import angle_of, number_of, scalar_of
from batchwright.geometry.curve import map_path
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Path

READERS = {".dxf": read_dxf, ".svg": read_svg}
UNITS = {"in": 25.4, "mm": 1.0}
KEPT = 6
"""Drawing files kept as read: a piece has few, and a slider asks for them again at every step."""


@lru_cache(maxsize=KEPT)
def _held(suffix: str, content: bytes) -> Held:
    return READERS[suffix](content)


def file_names(tree: Mapping) -> tuple[tuple[str, Place], ...]:
    """Every drawing file that a piece file names, and where it does: what must be handed in to draw it."""
    found: dict[str, Place] = {}
    parts = tree.get("parts")
    for _, part in parts.entries if isinstance(parts, Mapping) else ():
        for outline in _outlines(part):
            said = outline.get("file")
            if isinstance(said, Scalar) and not said.says_nothing:
                found.setdefault(said.text.strip(), said.place)
    return tuple(found.items())


def _outlines(part: Node) -> Iterator[Mapping]:
    """The tables that `outline` stands at, of a part and of what is also sawn on it."""
    if not isinstance(part, Mapping):
        return
    sawn = part.get("also sawn")
    items = sawn.items if isinstance(sawn, Sequence) else (sawn,)
    for node in (part, *items):
        outline = node.get("outline") if isinstance(node, Mapping) else None
        if isinstance(outline, Mapping):
            yield outline


def is_from_file(node: Node) -> bool:
    """Whether an outline says that it comes from a drawing file."""
    return isinstance(node, Mapping) and node.key("file") is not None


def path_from_file(node: Mapping, view: View, pen: Pen) -> Path:
    """The closed loop of a drawing file where it lands in the view. Raises Mistake."""
    said = node.get("file")
    if said is None:
        raise Mistake
    file = _File(scalar_of(said, "file"))
    at = node.get("at")
    where = view_point(at, view, pen) if at is not None else (0.0, 0.0)
    turn, scale = _turn(node, pen), _scale(node, pen)
    held = _read(file, pen)
    unit = _unit(file, held, node)
    layer = _layer(file, held, node)
    found = joined(held.on(layer), unit)
    loop = _one(file, held, layer, (found, unit))
    pen.desk.faults += _warnings(file, found, unit)
    size = unit * scale
    c, s = math.cos(turn) * size, math.sin(turn) * size
    return map_path(loop, np.array([[c, -s], [s, c]]), where)


@dataclass(frozen=True, slots=True)
class _File:
    """A drawing file where the maker names it."""

    scalar: Scalar

    @property
    def name(self) -> str:
        """Its name."""
        return self.scalar.text.strip()

    @property
    def place(self) -> Place:
        """Where it is named."""
        return self.scalar.place


def _turn(node: Mapping, pen: Pen) -> float:
    said = node.get("turn")
    return angle_of(said, pen, pen.desk.known, "turn") if said is not None else 0.0


def _scale(node: Mapping, pen: Pen) -> float:
    said = node.get("scale")
    if said is None:
        return 1.0
    value = number_of(said, pen, pen.desk.known, "scale")
    if value <= 0.0:
        raise mistake(
            "not-above-zero", said.place, f"`scale` is {value:g}.", "give a number above zero: 1 is full size"
        )
    return value


def _read(file: _File, pen: Pen) -> Held:
    """What the file holds. Raises Mistake."""
    suffix = file.name[file.name.rfind(".") :].lower() if "." in file.name else ""
    if suffix not in READERS:
        raise mistake(
            "outline-file-kind",
            file.place,
            f"`{file.name}` is neither a DXF nor an SVG by its name.",
            "save the outline as .dxf or .svg and name that file",
            f"outlines are read from {listed(READERS)} files",
        )
    content = pen.desk.files.get(file.name)
    if content is None:
        raise mistake(
            "outline-file-not-given",
            file.place,
            f"the drawing `{file.name}` was not handed in with the piece file.",
            "keep it in the project folder beside the piece file, and open the piece from there",
        )
    if isinstance(content, Fault):
        raise Mistake(replace(content, place=file.place))
    try:
        return _held(suffix, content)
    except Unreadable as problem:
        raise mistake(
            "outline-file-unreadable",
            file.place,
            f"`{file.name}` cannot be read: {problem.what}.",
            problem.mend,
            f"{len(content):,} bytes; they begin with {_beginning(content)}",
        ) from None


def _beginning(content: bytes) -> str:
    text = "".join(chr(byte) if 32 <= byte < 127 else " " for byte in content[:32])
    return f"`{' '.join(text.split())}`" if text.strip() else "no letters"


def _unit(file: _File, held: Held, node: Mapping) -> float:
    """Millimetres in one unit of the file: as it says, or where it says nothing, as the maker does. Raises Mistake."""
    said = node.get("units")
    word = scalar_of(said, "units").text.strip() if said is not None else ""
    if said is not None and word not in UNITS:
        raise mistake("unknown-choice", said.place, f"`units: {word}` is neither in nor mm.", "write `in` or `mm`")
    if held.unit is None and word:
        return UNITS[word]
    if held.unit is None:
        where = "its width has no unit of length" if held.form == "SVG" else "its header says no drawing unit"
        found = f"; it says {held.unit_said}" if held.unit_said else ""
        raise mistake(
            "outline-units-not-said",
            file.place,
            f"`{file.name}` does not say what its numbers measure: {where}{found}.",
            "set the unit in the drawing program and save again, or say it here: `units: mm`",
            "a number without a unit is never guessed at",
        )
    if said is not None and abs(UNITS[word] - held.unit) > 1e-9 and held.form == "DXF":
        raise mistake(
            "outline-units-differ",
            said.place,
            f"`{file.name}` says its numbers are {held.unit_said}, and `units` says {word}.",
            "take `units` out; `scale` makes the outline larger or smaller",
            "what the file says of itself holds",
        )
    return held.unit


def _layer(file: _File, held: Held, node: Mapping) -> str | None:
    """The layer the maker names, or None for all. Raises Mistake where it is not there or holds nothing."""
    said = node.get("layer")
    layers = held.layers()
    if said is None:
        if not held.strokes:
            raise _nothing_drawn(file, held, "")
        return None
    scalar = scalar_of(said, "layer")
    name = scalar.text.strip()
    if name in layers:
        return name
    if any(name == layer for layer, _ in held.besides):
        raise _nothing_drawn(file, held, name)
    near = offer(name, layers)
    raise mistake(
        "no-such-layer",
        scalar.place,
        f"`{file.name}` has nothing on a layer `{name}`.",
        f"write {near}"
        if near
        else f"write one of {listed(layers, 8)}"
        if len(layers) > 1
        else f"write {listed(layers)}"
        if layers
        else "take `layer` out",
        f"it holds {on_layers(held.strokes)}" if held.strokes else "",
    )


def _nothing_drawn(file: _File, held: Held, layer: str) -> Mistake:
    found = counted(kind for on, kind in held.besides if not layer or on == layer)
    where = f" on its layer `{layer}`" if layer else ""
    return mistake(
        "outline-file-empty",
        file.place,
        f"`{file.name}` has no line or curve{where}; found: {found}.",
        "draw the outline of lines, arcs, polylines, circles, ellipses or splines, flat in the drawing's plane",
        "texts, dimensions, hatching and solids enclose no outline",
    )


def _one(file: _File, held: Held, layer: str | None, found: tuple[Joined, float]) -> Path:
    """The one closed loop. Raises Mistake, in which stands what was found."""
    done, unit = found
    strokes = held.on(layer)
    if done.forks:
        raise _not_one(
            file, "outline-forks", f"more than two ends meet at {point_words(done.forks)}", _found(strokes, layer, held)
        )
    if done.chains:
        ends = open_ends(done.chains)
        gap = _least_gap(ends) * unit
        near = f"; the nearest two are {gap:.2f} mm apart" if len(ends) > 1 else ""
        many = f"{len(done.loops)} closed loop{'s' if len(done.loops) != 1 else ''} and " if done.loops else ""
        raise _not_one(
            file,
            "outline-not-closed",
            f"{many}{len(done.chains)} open: its ends lie at {point_words(ends)}{near}",
            _found(strokes, layer, held),
        )
    if len(done.loops) != 1:
        sizes = loop_words(done.loops, unit)
        raise _not_one(
            file, "outline-of-several-loops", f"{len(done.loops)} closed loops: {sizes}", _found(strokes, layer, held)
        )
    return done.loops[0]


_MENDS = {
    "outline-forks": "take out what does not belong to the outline, or put the outline on its own layer and name it",
    "outline-not-closed": "join the ends in the drawing program (gaps up to 0.05 mm are closed here), or name the layer"
    " that holds the outline alone",
    "outline-of-several-loops": "put the outline on its own layer and name it; a hole is cut as a joint, not drawn",
}


def _not_one(file: _File, code: str, what: str, why: str) -> Mistake:
    return mistake(code, file.place, f"`{file.name}` does not hold one closed loop: {what}.", _MENDS[code], why)


def _found(strokes: tuple[Stroke, ...], layer: str | None, held: Held) -> str:
    """What was looked at, by layer; places are told in the file's own units."""
    in_what = "in mm, upwards" if held.form == "SVG" else f"in {held.unit_said or 'its own units'}"
    told = f"{kinds_of(strokes)} on layer '{layer}'" if layer is not None else on_layers(strokes)
    return f"found: {told}; places are told from the drawing's own origin, {in_what}"


def _least_gap(ends: tuple[Vec2, ...]) -> float:
    return min((math.dist(a, b) for i, a in enumerate(ends) for b in ends[i + 1 :]), default=0.0)


def _warnings(file: _File, found: Joined, unit: float) -> list[Fault]:
    told = []
    if found.gaps:
        many = f"{len(found.gaps)} gap{'s' if len(found.gaps) > 1 else ''}"
        told.append(
            Fault(
                code="outline-gaps-closed",
                place=file.place,
                what=f"{many} of up to {max(found.gaps) * unit:.3f} mm in the outline of `{file.name}` "
                f"{'were' if len(found.gaps) > 1 else 'was'} closed.",
                mend="nothing, if they are slips of the drawing; else join the ends there",
                level=Level.WARNING,
            )
        )
    if found.doubled:
        told.append(
            Fault(
                code="outline-drawn-twice",
                place=file.place,
                what=f"{found.doubled} stroke{'s' if found.doubled > 1 else ''} of `{file.name}` lie on others; each "
                "was taken once.",
                mend="nothing, or delete the doubles in the drawing program",
                level=Level.WARNING,
            )
        )
    return told
