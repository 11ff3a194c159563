"""Bodies as they are handed to other programs: a closed surface, where it stands, its colour and its name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Frame


@dataclass(frozen=True, slots=True)
class Colour:
    """A named colour: red, green, blue as sRGB shares 0 to 1, and how rough the surface is (1: dull)."""

    name: str
    rgb: tuple[float, float, float]
    rough: float = 0.75


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Skin:
    """A closed surface: points (n, 3) [mm], outward normals of length 1 (n, 3), triangles (m, 3) that run
    counter-clockwise seen from outside. A place that several faces share is a point for each of them."""

    points: NDArray[np.floating[Any]]
    normals: NDArray[np.floating[Any]]
    triangles: NDArray[np.integer[Any]]

    def mirrored(self) -> Skin:
        """Its mirror image in x = 0, right side out."""
        flip = np.array([-1.0, 1.0, 1.0])
        return Skin(points=self.points * flip, normals=self.normals * flip, triangles=self.triangles[:, ::-1])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Body:
    """A named surface in the coordinates of `frame`, which is right-handed: z up, millimetres.

    Bodies that share one `skin` share it in the file too. `told` are words that go along: name and value.
    """

    name: str
    skin: Skin
    colour: Colour
    frame: Frame = Frame()
    told: tuple[tuple[str, str], ...] = ()
