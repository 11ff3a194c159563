"""What came out of the machines: parts as they were really milled, and parts that are cut already."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.fault import NOWHERE, Place
from batchwright.model.draft import PartId


@dataclass(frozen=True, slots=True, kw_only=True)
class MilledSaid:
    """An entry of `as milled` that speaks of parts, as written: lengths still as text, each with its place."""

    name: str
    """A part, a copy, or a finished thickness: the family of parts drawn that thick."""
    thickness: tuple[str, Place] | None = None
    width: tuple[str, Place] | None = None
    family: bool = False
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Milled:
    """Parts that measure otherwise than drawn. `parts`, or all parts drawn `family` thick; None leaves a size as drawn
    [mm]."""

    name: str
    parts: tuple[PartId, ...] = ()
    family: float | None = None
    thickness: float | None = None
    width: float | None = None
    place: Place = NOWHERE
    cut: bool = False
    """Whether these are parts that are cut already: the record of them tells what no longer agrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutJoint:
    """One joint as it was cut on one of its two parts: the tenon's sizes, and the middle of the cut in the part's bench
    coordinates [mm]."""

    joint: str
    on: str
    """tenon or mortise."""
    thickness: float
    width: float
    length: float
    at: tuple[float, float, float]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPart:
    """A part that is cut: finished sizes, its joints, and the sizes of the piece it was cut by (name and text) [mm]."""

    part: PartId
    length: float
    width: float
    thickness: float
    joints: tuple[CutJoint, ...] = ()
    sizes: tuple[tuple[str, str], ...] = ()
    place: Place = NOWHERE
