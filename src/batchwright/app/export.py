"""Give a job's models, drawings and lists to other programs: one door for all forms of file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from batchwright.app.exporting.drawings import drawing_files
from batchwright.app.exporting.lists import list_files
from batchwright.app.exporting.models import model_files
from batchwright.app.exporting.step import step_files
from batchwright.app.exporting.wanted import Form, wanted_forms, wanted_of
from batchwright.app.planned import Planned
from batchwright.app.progress import Progress, silent
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault

FORMS = tuple(form.value for form in Form)
"""The words that forms of file are asked for with."""


class CannotExportError(Exception):
    """What was asked for cannot be written; `faults` say why."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """Files by their names in the folder, and what is worth knowing of them, in words."""

    files: dict[str, bytes]
    notes: tuple[str, ...] = ()


def export(
    planned: Planned, forms: Sequence[str] = (), parts: Sequence[str] = (), progress: Progress = silent
) -> Outcome[Exported]:
    """Every file of the forms named (all that need nothing more installed where none is), of the parts named (or all).

    A form is one of `FORMS`; a part is named by its own name, its kind's, or the name it was drawn under.
    """
    chosen, wanted = wanted_forms(forms), wanted_of(planned, parts)
    if chosen.thing is None or wanted.thing is None:
        return Outcome(None, (*chosen.faults, *wanted.faults))
    progress("models", 0.1)
    files = model_files(wanted.thing, chosen.thing)
    progress("drawings", 0.4)
    files |= drawing_files(wanted.thing, chosen.thing)
    files |= list_files(wanted.thing, chosen.thing)
    notes: tuple[str, ...] = ()
    if Form.STEP in chosen.thing:
        stepped = step_files(wanted.thing, progress)
        if stepped.thing is None:
            return Outcome(None, stepped.faults)
        files |= stepped.thing.files
        notes = stepped.thing.notes
    progress("done", 1.0)
    return Outcome(Exported(files=files, notes=notes))


def export_files(planned: Planned, forms: Sequence[str] = (), parts: Sequence[str] = ()) -> dict[str, bytes]:
    """The files alone, by their names.

    Raises
    ------
    CannotExportError
        If a form or a part of that name does not exist, or a form needs what is not installed.
    """
    outcome = export(planned, forms, parts)
    if outcome.thing is None:
        raise CannotExportError(outcome.faults)
    return outcome.thing.files
