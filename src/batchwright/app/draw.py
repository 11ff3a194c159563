"""Draw one view of a piece, or a section through one joint."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from batchwright.app.packet import contents_of
from batchwright.app.plan import plan_job
from batchwright.app.planned import Planned
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place
from batchwright.sheets.render.dxf import render_dxf
from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.views.drawings import VIEWS, apart, pictorial, plain_view, whole
from batchwright.sheets.views.joint_section import joint_scene
from batchwright.sheets.views.packet import Contents

ROOM = (180.0, 180.0)
"""How large a picture without a scale is drawn on paper [mm]."""
PICTURES = ("pictorial", "apart")
COMMAND = Place("batchwright draw")
"""Where the words stand that were typed."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing as text in the format asked for."""

    name: str
    text: str


def draw_view(path: Path, view: str, joint: str, form: str) -> Outcome[Drawn]:
    """The view of a name, or the section through the first joint whose name holds the words of `joint`."""
    return draw_planned(plan_job(path, datetime.min.replace(tzinfo=UTC), boards=False), view, joint, form)


def draw_planned(outcome: Outcome[Planned], view: str, joint: str, form: str) -> Outcome[Drawn]:
    """As `draw_view`, of what is planned already."""
    if outcome.thing is None:
        return Outcome(None, outcome.faults)
    contents = contents_of(outcome.thing)
    scene = _joint(contents, joint) if joint else _view(contents, view)
    if isinstance(scene, Fault):
        return Outcome(None, (scene,))
    text = render_dxf(scene) if form == "dxf" else render_svg(scene)
    return Outcome(Drawn(scene.name, text), outcome.faults)


def _view(contents: Contents, name: str) -> Scene | Fault:
    if name == "apart":
        return apart(contents.made, ROOM)
    parts = whole(contents.made)
    if name == "pictorial":
        return pictorial(parts, ROOM)
    named = next((one for one in VIEWS if one.name == name), None)
    if named is not None:
        return plain_view(contents.made, parts, named, contents.printing)
    listed = ", ".join([*(one.name for one in VIEWS), *PICTURES])
    return Fault(
        code="unknown-view",
        place=COMMAND,
        what=f"there is no view called '{name}'.",
        mend=f"name one of: {listed}.",
    )


def _joint(contents: Contents, words: str) -> Scene | Fault:
    joints = contents.made.piece.joints
    found = next((joint for joint in joints if words.lower() in joint.id.lower()), None)
    if found is not None:
        return joint_scene(found, contents.made, False, contents.printing)
    listed = "; ".join(joint.id for joint in joints[:8])
    return Fault(
        code="unknown-joint",
        place=COMMAND,
        what=f"no joint's name holds '{words}'.",
        mend=f"name one, or a part of its name: {listed}{' ...' if len(joints) > 8 else ''}.",
    )
