"""What is to be exported: which forms of file, and of which parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum

from batchwright.app.packet import contents_of
from batchwright.app.planned import Planned
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place
from batchwright.design.text.near import listed, offer
from batchwright.model.draft import PartId
from batchwright.model.piece import Kind, Part, Piece
from batchwright.sheets.views.packet import Contents

COMMAND = Place("batchwright export")
"""Where the words stand that were typed."""


class Form(Enum):
    """A form of file, by the word it is asked for with."""

    GLB = "glb"
    STL = "stl"
    SVG = "svg"
    DXF = "dxf"
    XLSX = "xlsx"
    CSV = "csv"
    STEP = "step"


ALWAYS = tuple(form for form in Form if form is not Form.STEP)
"""Forms that are written where none is named: all that need nothing more installed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A plan, what its sheets are made from, and which of its parts are asked for: `parts` is empty for all."""

    planned: Planned
    contents: Contents
    parts: frozenset[PartId] = field(default_factory=frozenset)

    @property
    def piece(self) -> Piece:
        """The jointed piece."""
        return self.planned.piece

    @property
    def whole(self) -> bool:
        """Whether the whole piece is asked for."""
        return not self.parts

    def has(self, part: PartId) -> bool:
        """Whether a part is asked for."""
        return self.whole or part in self.parts

    def kinds(self) -> list[tuple[Kind, Part]]:
        """Each kind asked for, with the first of its parts that is."""
        found = []
        for kind in self.piece.kinds:
            part = next((name for name in kind.parts if self.has(name)), None)
            if part is not None:
                found.append((kind, self.piece.part(part)))
        return found


def wanted_forms(words: Sequence[str]) -> Outcome[tuple[Form, ...]]:
    """The forms of those words, each once; all that need nothing more installed where there is no word."""
    known = {form.value: form for form in Form}
    strange = [word for word in words if word.casefold() not in known]
    if strange:
        return Outcome(None, tuple(_no_form(word, known) for word in strange))
    return Outcome(tuple(dict.fromkeys(known[word.casefold()] for word in words)) or ALWAYS)


def _no_form(word: str, known: dict[str, Form]) -> Fault:
    return Fault(
        code="unknown-form",
        place=COMMAND,
        what=f"nothing is written as '{word}'.",
        mend=f"name one of: {', '.join(known)}.",
    )


def wanted_of(planned: Planned, names: Sequence[str]) -> Outcome[Wanted]:
    """A plan with the parts of those names: of a part, a kind, or all parts that were drawn under one name."""
    chosen: set[PartId] = set()
    faults = []
    for name in names:
        found = _named(planned.piece, name)
        chosen |= found
        if not found:
            faults.append(_no_part(planned.piece, name))
    if faults:
        return Outcome(None, tuple(faults))
    return Outcome(Wanted(planned=planned, contents=contents_of(planned), parts=frozenset(chosen)))


def _named(piece: Piece, name: str) -> set[PartId]:
    plain = name.strip().casefold()
    exact = {part.id for part in piece.parts if part.id.casefold() == plain}
    if exact:
        return exact
    of_kind = {
        part for kind in piece.kinds if plain in (kind.id.casefold(), kind.label.casefold()) for part in kind.parts
    }
    return of_kind or {part.id for part in piece.parts if part.draft.name.casefold() == plain}


def _no_part(piece: Piece, name: str) -> Fault:
    known = list(dict.fromkeys([*(part.draft.name for part in piece.parts), *(str(part.id) for part in piece.parts)]))
    near = offer(name, known)
    drawn = list(dict.fromkeys(part.draft.name for part in piece.parts))
    return Fault(
        code="unknown-part",
        place=COMMAND,
        what=f"the piece has no part '{name}'.",
        mend=f"did you mean {near}?" if near else f"name one of: {listed(drawn)}.",
    )
