"""A closed outline of exact segments, counter-clockwise, and what can be asked of it."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.geometry.curve import Path


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed loop of segments, counter-clockwise, that does not cross itself. Each named edge is one face when extruded."""

    segments: Path
