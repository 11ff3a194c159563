"""What is said of the wood as it is: what each thickness was planed to, what parts measure, and which are cut."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from batchwright.app.load import JOB_SUFFIX, Loaded
from batchwright.base.finding import Finding
from batchwright.base.length import Unit, print_length
from batchwright.joinery.milled import SAME, planed
from batchwright.model.milled import Milled
from batchwright.model.piece import Part, Piece

Plain = dict[str, object]


@dataclass(slots=True)
class _Family:
    """Parts drawn one thickness. `name` is how the job calls it."""

    name: str
    parts: list[str] = field(default_factory=list)
    planed: str = ""


def bench_as_plain(loaded: Loaded, piece: Piece, findings: Iterable[Finding]) -> Plain:
    """Thickness families and parts with what the job says of them; `job` is empty where there is none."""
    job = loaded.job if loaded.job.file.endswith(JOB_SUFFIX) else None
    return {
        "job": "" if job is None else job.file,
        "families": [
            {"name": one.name, "parts": one.parts, "planed": one.planed} for one in _families(loaded, piece, findings)
        ],
        "said": _said(loaded),
        "cut": [str(part.part) for part in loaded.cut],
    }


def _families(loaded: Loaded, piece: Piece, findings: Iterable[Finding]) -> list[_Family]:
    """Families that the job speaks of, by the note that tells their parts; then the rest, by what they measure."""
    units = Unit.INCHES if loaded.draft.units == "in" else Unit.MILLIMETRES
    told = {one.place: one.about for one in findings if one.code == "as-milled"}
    found: dict[float, _Family] = {}
    taken: set[str] = set()
    for entry in loaded.milled:
        if entry.family is not None:
            parts = [str(name) for name in told.get(entry.place, ())]
            found[entry.family] = _Family(name=entry.name, parts=parts, planed=_planed_text(loaded, entry))
            taken.update(parts)
    own = {str(name) for entry in loaded.milled if entry.family is None for name in entry.parts}
    for part in piece.parts:
        if str(part.id) not in taken | own and planed(part):
            _put(found, part, units)
    return [found[size] for size in sorted(found, reverse=True)]


def _put(found: dict[float, _Family], part: Part, units: Unit) -> None:
    near = next((size for size in found if abs(size - part.thickness) <= SAME), None)
    if near is None:
        near = part.thickness
        found[near] = _Family(name=f"{print_length(near, units)} {units.value}")
    found[near].parts.append(str(part.id))


def _planed_text(loaded: Loaded, entry: Milled) -> str:
    said = next((one for one in loaded.job.milled if one.place == entry.place), None)
    return said.thickness[0] if said is not None and said.thickness is not None else ""


def _said(loaded: Loaded) -> dict[str, dict[str, str]]:
    """What the job says that parts and sizes measure, by the names it uses."""
    single = {one.name: {"thickness": one.text, "width": ""} for one in loaded.job.as_milled}
    tables = {
        one.name: {
            "thickness": one.thickness[0] if one.thickness is not None else "",
            "width": one.width[0] if one.width is not None else "",
        }
        for one in loaded.job.milled
        if not one.family
    }
    return {**single, **tables}
