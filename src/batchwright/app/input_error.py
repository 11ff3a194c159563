"""What Python code gets where the input is wrong: every fault at once."""

from __future__ import annotations

from batchwright.base.fault import Fault


class InputError(Exception):
    """The input is wrong. `faults` holds everything that is, in file order; the message tells them all."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults) or "the input is wrong")
        self.faults = faults
