"""What a user action gives back: the thing, or the faults that stand in its way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from batchwright.base.fault import Fault, has_errors

Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Outcome(Generic[Thing]):
    """`thing` is None exactly where a fault is an error; warnings may come with a thing."""

    thing: Thing | None
    faults: tuple[Fault, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether the input is wrong and nothing may be written."""
        return self.thing is None or has_errors(self.faults)
