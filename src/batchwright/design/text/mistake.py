"""Leaving a statement that is wrong: an exception that never leaves the design floor.

A fault is a record, collected and told together with the others. Inside an expression or a statement, though, nothing
sensible can follow a wrong word: the code raises a `Mistake` there, and whoever reads the statement catches it, keeps
its faults and goes on with the next statement.
"""

from __future__ import annotations

from batchwright.base.fault import Fault, Place


class Mistake(Exception):  # noqa: N818 - it carries faults of the maker's text, not an error of ours
    """One or more faults that end the reading of a statement."""

    def __init__(self, *faults: Fault) -> None:
        super().__init__("; ".join(fault.code for fault in faults))
        self.faults = faults


def mistake(code: str, place: Place, what: str, mend: str, why: str = "") -> Mistake:
    """A mistake of one fault: `raise mistake(...)`."""
    return Mistake(Fault(code=code, place=place, what=what, mend=mend, why=why))
