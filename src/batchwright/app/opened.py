"""Batchwright from Python: open a piece or a job, change sizes, look at it, plan it; `import batchwright` hands it on.

Only `Plan.write` and `Opened.save` write anything. What is wrong comes as one `InputError` with all its faults.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from batchwright.app.draw import draw_planned
from batchwright.app.input_error import InputError
from batchwright.app.load import Loaded, Source, load, load_from
from batchwright.app.packet import packet_files
from batchwright.app.plan import Checked, check_loaded, plan_checked
from batchwright.app.planned import Planned
from batchwright.app.result import Outcome, Thing
from batchwright.app.save import save_file, save_packet
from batchwright.app.sized import Size, size_of
from batchwright.base.fault import Fault, Place, has_errors
from batchwright.base.finding import Finding
from batchwright.design.values.write import Change, save_sizes, text_hash
from batchwright.model.job import Override
from batchwright.model.piece import Joint, Kind, Part
from batchwright.storage.folder import Folder

Given = str | int | float
"""A size as a maker says it (`17 1/4`, `2'6"`, `430 mm`), or a plain number in the piece's own units."""
IN_PYTHON = "from Python"
"""Stands for the file in the places of faults that lie in what was handed in."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing at true size. A notebook shows it as a picture."""

    name: str
    svg: str

    def _repr_svg_(self) -> str:
        return self.svg


@dataclass(frozen=True, slots=True)
class Plan:
    """A job planned: what `batchwright plan` writes, as records."""

    planned: Planned

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the checks found, worst first."""
        return self.planned.findings

    @property
    def failing(self) -> bool:
        """Whether any finding fails."""
        return self.planned.failing

    @property
    def cost(self) -> float | None:
        """What the boards used cost, in the shop's currency; None where the job names no boards."""
        return None if self.planned.lumber is None else self.planned.lumber.cost

    @property
    def cost_bound(self) -> float | None:
        """No plan on these boards can cost less; None where the job names no boards."""
        return None if self.planned.lumber is None else self.planned.lumber.cost_bound

    def files(self) -> dict[str, bytes]:
        """Every file of the packet by its name."""
        return packet_files(self.planned)

    def write(self, folder: str | os.PathLike[str]) -> tuple[str, ...]:
        """Write the packet into a folder in one stroke; the names written, sorted.

        Raises
        ------
        FolderBusyError
            If another run is writing there.
        OSError
            If the disk refuses.
        """
        return save_packet(Path(folder), self.files())


@dataclass(frozen=True, slots=True)
class Opened:
    """A piece or a job, read and jointed. Lengths of all records are in mm; `change` gives a new one."""

    path: Path
    checked: Checked
    warnings: tuple[Fault, ...] = ()
    changed: tuple[Override, ...] = ()

    @property
    def name(self) -> str:
        """The piece's name."""
        return self.checked.piece.draft.name

    @property
    def units(self) -> str:
        """`in` or `mm`: what a bare number means in the piece file."""
        return self.checked.piece.draft.units

    @property
    def sizes(self) -> dict[str, Size]:
        """Sizes and numbers of the piece by name, in the file's order."""
        return {value.name: size_of(value, self.units) for value in self.checked.piece.draft.sizes}

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every part with its bench frame, sizes and features [mm]."""
        return self.checked.piece.parts

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """Parts that are the same and of the same hand."""
        return self.checked.piece.kinds

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Every tenoned joint with its sizes and their traces [mm]."""
        return self.checked.piece.joints

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the checks of the drawing found, worst first."""
        return self.checked.findings

    def change(self, sizes: Mapping[str, Given]) -> Opened:
        """The same piece with sizes changed; nothing is written.

        Raises
        ------
        InputError
            If a name or a value is wrong, or the piece cannot be made at these sizes.
        """
        place = Place(IN_PYTHON)
        given = {name: Override(name=name, text=_said(value), place=place) for name, value in sizes.items()}
        kept = tuple(each for each in self.changed if each.name not in given)
        changed = (*kept, *given.values())
        return _opened(self.path, load_from(_folder(self.path), self.path.name, changed), changed)

    def draw(self, view: str = "pictorial", joint: str = "") -> Drawing:
        """A view (front, side, plan, pictorial, apart), or the section through the joint whose name holds some words.

        Raises
        ------
        InputError
            If there is no such view or joint.
        """
        planned = plan_checked(_outcome(self), _dated(None), boards=False)
        drawn = _thing(draw_planned(planned, view, joint, "svg"))
        return Drawing(drawn.name, drawn.text)

    def plan(self, made: datetime | None = None) -> Plan:
        """Cutting list, boards and packet; `made` is the date on the sheets (now where it is left out).

        Raises
        ------
        InputError
            If something of the job cannot be planned.
        """
        return Plan(_thing(plan_checked(_outcome(self), _dated(made))))

    def save(self) -> None:
        """Write the changed sizes into the piece file: only their characters change.

        Raises
        ------
        InputError
            If the file was edited since it was opened in a way that this cannot be written into.
        OSError
            If the disk refuses.
        """
        draft = self.checked.piece.draft
        content, fault = _folder(self.path).read(draft.file, Place(draft.file))
        if content is None:
            raise InputError((fault,) if fault is not None else ())
        text = content.decode("utf-8")
        values = {value.name: value.value for value in draft.sizes}
        changes = [Change(each.name, values[each.name]) for each in self.changed]
        saved = save_sizes(text, draft.file, changes, text_hash(text))
        if saved.text is None:
            raise InputError(saved.faults)
        save_file(self.path.parent / draft.file, saved.text.encode("utf-8"))

    def _repr_svg_(self) -> str:
        return self.draw().svg


def open_piece(path: str | os.PathLike[str]) -> Opened:
    """Read a piece file or a job and joint the piece.

    Raises
    ------
    InputError
        If anything in the files is wrong; it carries every fault.
    """
    whole = Path(path).absolute()
    return _opened(whole, load(whole), ())


def _opened(path: Path, loaded: Outcome[Loaded], changed: tuple[Override, ...]) -> Opened:
    outcome = check_loaded(loaded)
    return Opened(path, _thing(outcome), outcome.faults, changed)


def _thing(outcome: Outcome[Thing]) -> Thing:
    if outcome.thing is None or has_errors(outcome.faults):
        raise InputError(outcome.faults)
    return outcome.thing


def _outcome(opened: Opened) -> Outcome[Checked]:
    return Outcome(opened.checked, opened.warnings)


def _folder(path: Path) -> Source:
    return Folder(path.parent)


def _said(value: Given) -> str:
    return value if isinstance(value, str) else format(value, ".10g")


def _dated(made: datetime | None) -> datetime:
    moment = (datetime.now(UTC) if made is None else made).replace(microsecond=0)
    return moment if moment.tzinfo is not None else moment.astimezone()
