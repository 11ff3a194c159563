"""Models: the piece, the piece drawn apart, and each kind of part as it lies at the bench."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from batchwright.app.exporting.wanted import Form, Wanted
from batchwright.app.packet import file_name, file_names
from batchwright.sheets.render.glb import render_glb
from batchwright.sheets.render.stl import render_stl
from batchwright.sheets.scene.body import Body
from batchwright.sheets.views.standing import Skins, at_the_bench, standing, standing_apart
from batchwright.solids.solid import Quality

_Writer = Callable[[Sequence[Body], str], bytes]
_WRITERS: dict[Form, _Writer] = {Form.GLB: render_glb, Form.STL: render_stl}


def model_files(wanted: Wanted, forms: Sequence[Form]) -> dict[str, bytes]:
    """Every model in every form asked for: the whole piece only where no part was named."""
    if not any(form in _WRITERS for form in forms):
        return {}
    skins = Skins(Quality.FINE)
    models: list[tuple[str, str, tuple[Body, ...]]] = []
    title = wanted.piece.draft.name
    if wanted.whole:
        name = file_name(title)
        models.append((f"models/{name}", title, standing(wanted.piece, skins)))
        apart = standing_apart(wanted.contents.made, skins)
        models.append((f"models/{name}-apart", f"{title}, drawn apart", apart))
    kinds = wanted.kinds()
    for name, (kind, part) in zip(file_names([kind.id for kind, _ in kinds]), kinds, strict=True):
        models.append((f"models/parts/{name}", f"{title}: {kind.id}", (at_the_bench(part, skins),)))
    return {
        f"{name}.{form.value}": _WRITERS[form](bodies, told)
        for name, told, bodies in models
        for form in forms
        if form in _WRITERS and not (form is Form.STL and name.endswith("-apart"))
    }
