"""Parts as bodies for other programs: where they stand in the piece, drawn apart, or one alone as it lies at the bench.

A part alone lies in its bench coordinates (x from the reference end, y into the wood from the face edge, z into the
wood from the face side). Of a mirror image x runs the other way, below 0, as on its sheet: else it would be its pair.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from batchwright.geometry.frame import Frame, Vec3, plus
from batchwright.model.piece import Part, Piece
from batchwright.sheets.scene.body import Body, Skin
from batchwright.sheets.views.drawings import apart_offsets
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.woods import wood_colour
from batchwright.solids.build import recipe_solid
from batchwright.solids.display import display_mesh
from batchwright.solids.solid import Quality, Solid


@dataclass(slots=True)
class Skins:
    """Surfaces of one quality, each made once: parts that are the same share theirs."""

    quality: Quality
    made: dict[tuple[int, bool], Skin] = field(default_factory=dict)
    kept: list[Solid] = field(default_factory=list)

    def skin(self, part: Part, mirrored: bool) -> Skin:
        """The surface of a part in its drawing frame, or of its mirror image."""
        solid = recipe_solid(part.recipe, self.quality)
        key = (id(solid), mirrored)
        if key not in self.made:
            self.kept.append(solid)
            mesh = display_mesh(solid)
            plain = Skin(points=mesh.positions, normals=mesh.normals, triangles=mesh.indices)
            self.made[key] = plain.mirrored() if mirrored else plain
        return self.made[key]


def standing(piece: Piece, skins: Skins) -> tuple[Body, ...]:
    """Every part where it stands in the piece."""
    return tuple(_body(part, part.recipe.frame, skins) for part in piece.parts)


def standing_apart(made: Made, skins: Skins) -> tuple[Body, ...]:
    """Every part moved out from the middle."""
    bodies = standing(made.piece, skins)
    return tuple(_moved(body, by) for body, by in zip(bodies, apart_offsets(made), strict=True))


def at_the_bench(part: Part, skins: Skins) -> Body:
    """One part in its bench coordinates."""
    return _body(part, bench_place(part), skins)


def bench_place(part: Part) -> Frame:
    """The drawing frame of a part as it lies in bench coordinates; x turned about where those are left-handed."""
    bench = part.bench
    if bench.mirrored:
        bench = Frame(bench.origin, (-bench.x[0], -bench.x[1], -bench.x[2]), bench.y, bench.z)
    return part.recipe.frame.seen_from(bench)


def _body(part: Part, frame: Frame, skins: Skins) -> Body:
    mirrored = frame.mirrored
    if mirrored:
        frame = Frame(frame.origin, (-frame.x[0], -frame.x[1], -frame.x[2]), frame.y, frame.z)
    told = (("part", str(part.id)), ("kind", str(part.kind)), ("hand", part.hand.value), ("wood", part.draft.wood))
    return Body(
        name=str(part.id),
        skin=skins.skin(part, mirrored),
        colour=wood_colour(part.draft.wood),
        frame=frame,
        told=told,
    )


def _moved(body: Body, by: Vec3) -> Body:
    return replace(body, frame=replace(body.frame, origin=plus(body.frame.origin, by)))

