"""The piece as the sheets see it: the records, and the finished solids standing where they belong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from batchwright.geometry.frame import Vec3, vec3
from batchwright.model.draft import PartId
from batchwright.model.piece import Part, Piece
from batchwright.solids.build import placed, recipe_solid
from batchwright.solids.solid import Quality, Solid

Bounds = Mapping[PartId, tuple[Vec3, Vec3]]
"""Each part's least and greatest world coordinates, joints cut [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Made:
    """A jointed piece with its solids in the world."""

    piece: Piece
    solids: Mapping[PartId, Solid]

    @property
    def bounds(self) -> Bounds:
        """The box round each part."""
        return {name: (vec3(solid.bounds[0]), vec3(solid.bounds[1])) for name, solid in self.solids.items()}

    def bare(self, part: Part) -> tuple[Vec3, Vec3]:
        """The box round a part without its tenons: what is seen of it when the piece stands."""
        if not part.recipe.adds:
            return self.bounds[part.id]
        body = replace(part.recipe, adds=(), cuts=(), bodies=())
        solid = placed(recipe_solid(body), part.recipe.frame)
        return vec3(solid.bounds[0]), vec3(solid.bounds[1])

    @property
    def bare_bounds(self) -> Bounds:
        """The box round each part without its tenons."""
        return {part.id: self.bare(part) for part in self.piece.parts}

    def all_solids(self) -> list[tuple[str, Solid]]:
        """Name and solid of every part, in the piece's order."""
        return [(part.id, self.solids[part.id]) for part in self.piece.parts]


def make(piece: Piece, quality: Quality = Quality.LIVE) -> Made:
    """Build every part of a piece."""
    solids = {part.id: placed(recipe_solid(part.recipe, quality), part.recipe.frame) for part in piece.parts}
    return Made(piece=piece, solids=solids)
