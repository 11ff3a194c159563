"""Areas and volumes against an exact kernel (Open CASCADE Technology), which shares no code with the mesh.

The tolerances are those measured for a mesh that follows curves to 0.01 mm: volume within 3e-4, surface within 6e-4.
Skipped where the extra `step` is not installed.
"""

# ruff: noqa: E402 - what needs the extra is imported after it was looked for

from __future__ import annotations

import pytest

WHY = "the extra `step` is not installed, or the system lacks libGL, libX11 or libexpat"
pytest.importorskip("OCP.gp", reason=WHY, exc_type=ImportError)

from batchwright.geometry.outline import area
from batchwright.model.shape import Prism
from batchwright.solids import brep_kernel as kernel
from batchwright.solids.brep import exact_part
from batchwright.solids.build import recipe_solid
from batchwright.solids.solid import Quality
from example_packets import JOBS, planned

VOLUME, SURFACE = 3e-4, 6e-4
TOLD = 2e-3
"""Of the volumes that sheets tell, made from a mesh that follows curves to 0.1 mm."""


@pytest.mark.parametrize("name", sorted(JOBS))
def test_every_part_is_one_sound_solid_of_the_same_volume_and_surface(name: str) -> None:
    piece = planned(name).piece
    for kind in piece.kinds:
        part = piece.part(kind.parts[0])
        exact, mesh = exact_part(part.recipe), recipe_solid(part.recipe, Quality.FINE)
        assert kernel.is_sound(exact.body) and exact.solids == 1, part.id
        assert exact.notes == (), part.id
        volume = kernel.volume(exact.body)
        assert mesh.volume == pytest.approx(volume, rel=VOLUME), part.id
        assert mesh.area == pytest.approx(kernel.area(exact.body), rel=SURFACE), part.id
        assert part.volume == pytest.approx(volume, rel=TOLD), part.id


@pytest.mark.parametrize("name", sorted(JOBS))
def test_every_outline_has_the_area_of_its_exact_face(name: str) -> None:
    """Green's theorem over the drawn curves against the kernel's surface of the face they bound."""
    piece = planned(name).piece
    bodies = [part.draft.shape.body for part in piece.parts]
    outlines = {body.outline for body in bodies if isinstance(body, Prism)}
    assert outlines
    for one in outlines:
        slab = kernel.prism(one.segments, 0.0, 10.0)
        rim = kernel.area(slab) - 2.0 * area(one)
        taller = kernel.area(kernel.prism(one.segments, 0.0, 20.0)) - 2.0 * area(one)
        assert kernel.volume(slab) == pytest.approx(10.0 * area(one), rel=1e-5)
        assert taller == pytest.approx(2.0 * rim, rel=1e-4)
