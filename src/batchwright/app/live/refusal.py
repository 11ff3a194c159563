"""Why something asked of the desk was not done: faults, and what sort of refusal it is."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType

from batchwright.base.fault import Fault, Place


class Why(Enum):
    """Sorts of refusal; a door turns them into its own signs."""

    WRONG = "wrong"
    MISSING = "missing"
    CONFLICT = "conflict"


class RefusedError(Exception):
    """Nothing was changed. `state` is what there is instead, where that helps."""

    def __init__(
        self, faults: tuple[Fault, ...], why: Why = Why.WRONG, state: Mapping[str, object] = MappingProxyType({})
    ) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults
        self.why = why
        self.state = dict(state)


def refused(code: str, words: tuple[str, str], where: str = "", why: Why = Why.WRONG) -> RefusedError:
    """A refusal of one fault; `words` are what is wrong and how to mend it."""
    what, mend = words
    return RefusedError((Fault(code=code, place=Place(where), what=what, mend=mend),), why)
