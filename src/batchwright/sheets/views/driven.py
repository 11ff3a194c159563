"""What is driven into a joint: wedges and a tusk, with their sizes, a drawing of each, and where the flare is cut."""

from __future__ import annotations

from batchwright.geometry.frame import Vec2
from batchwright.model.piece import Joint, Tusk
from batchwright.sheets.scene.primitives import Dimension, Hatch, HatchKind, Item, Straight
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.sheet import Beside, Block, Drawing, Paragraph, scale_words
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.naming import face_words
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.scales import chosen_scale
from batchwright.sheets.views.ways import OPPOSITE, mortise_of

ROOM = (48.0, 22.0)
"""Paper room of a wedge or a tusk, its dimensions left out [mm]."""
Corners = tuple[Vec2, ...]


def driven_blocks(joint: Joint, made: Made, printing: Printing) -> list[Block]:
    """Words on what comes through and is driven, and a drawing of each wedge or tusk that is to be made."""
    words = tuple(Paragraph(text=text) for text in _words(joint, made, printing))
    drawn = tuple(_drawing(scene) for scene in _scenes(joint, printing))
    return [Beside(left=words, right=drawn)] if drawn else list(words)


def _words(joint: Joint, made: Made, printing: Printing) -> list[str]:
    told = []
    tenon, mortise = joint.tenons[0], joint.mortises[0]
    if tenon.wedges:
        wide = tenon.width if tenon.wedged_across else tenon.thickness
        sizes = (joint.size("wedge thickness"), wide, joint.size("wedge length"))
        many = "s" if tenon.wedges > 1 else ""
        told.append(
            f"{tenon.wedges} wedge{many}, thick × wide × long {_times(printing, *sizes)}, in kerfs "
            f"{printing.length_unit(tenon.kerf_depth)} deep."
        )
    if joint.tusk is not None:
        sizes = (joint.tusk.thickness, joint.tusk.width, joint.size("tusk length"))
        told.append(
            f"Tusk, thick × wide in its middle × long {_times(printing, *sizes)}, its outer edge tapered "
            f"{printing.slope(joint.tusk.taper)}; its hole begins {printing.length_unit(joint.size('tusk pull'))} "
            "inside the face, so that it pulls. Fit it dry."
        )
    if mortise.through:
        told.append(_through_words(joint, made, printing))
    return told


def _through_words(joint: Joint, made: Made, printing: Printing) -> str:
    """Through which faces, and from which the flare for wedges is cut."""
    mortise, name = joint.mortises[0], made.piece.part(joint.into).draft.name
    cut = mortise_of(joint, made.piece)
    if cut is None:
        return "The tenon comes through."
    out = face_words(OPPOSITE[cut.face])
    words = f"Through the {name}: in at its {face_words(cut.face)}, out at its {out}."
    if not mortise.flare:
        return words
    return f"{words} {flare_words(joint, cut.face, printing)}"


def flare_words(joint: Joint, entered: str, printing: Printing) -> str:
    """Where a mortise opens for its wedges, and from which side that is cut."""
    mortise = joint.mortises[0]
    way = "side" if mortise.wedged_across else "end"
    return (
        f"Cut its flare from the {face_words(OPPOSITE[entered])}, where the tenon comes out: "
        f"{printing.length_unit(mortise.flare)} wider there at either {way}, running out "
        f"{printing.length_unit(mortise.flare_from)} below the {face_words(entered)}."
    )


def _times(printing: Printing, *sizes: float) -> str:
    return f"{' × '.join(printing.length(size) for size in sizes)} {printing.unit.value}"


def _scenes(joint: Joint, printing: Printing) -> list[Scene]:
    found = []
    if joint.tenons[0].wedges:
        long, thick = joint.size("wedge length"), joint.size("wedge thickness")
        corners = ((0.0, 0.0), (long, 0.0), (0.0, thick))
        found.append(_scene("wedge", corners, [], printing))
    if joint.tusk is not None:
        found.append(_tusk_scene(joint.tusk, joint.size("tusk length"), printing))
    return found


def _tusk_scene(tusk: Tusk, long: float, printing: Printing) -> Scene:
    """Its inner edge straight, its outer one tapered; two lines where it leaves the tenon."""
    ends = [tusk.width + sign * tusk.taper * long / 2.0 for sign in (1.0, -1.0)]
    corners = ((0.0, 0.0), (long, 0.0), (long, ends[1]), (0.0, ends[0]))
    at = [(long + sign * tusk.through) / 2.0 for sign in (-1.0, 1.0)]
    marks = [(x, tusk.width + tusk.taper * (long / 2.0 - x)) for x in at]
    return _scene("tusk", corners, marks, printing)


def _scene(name: str, corners: Corners, marks: list[Vec2], printing: Printing) -> Scene:
    """Lying down, its thick end to the left: length below, both ends beside it, what stands in the tenon above."""
    long, tall = max(x for x, _ in corners), max(y for _, y in corners)
    scale = chosen_scale((long, tall), ROOM)
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    items: list[Item] = [Hatch(rings=(corners,), kind=HatchKind.CUT)] if not marks else []
    items += [Straight(start=a, end=b, stroke=Stroke.VISIBLE) for a, b in sides]
    items += [Straight(start=(x, 0.0), end=(x, y), stroke=Stroke.CENTRE) for x, y in marks]
    items.append(_measure((0.0, 0.0), (long, 0.0), -9.0, printing))
    items.append(_measure((0.0, 0.0), (0.0, tall), 9.0, printing))
    small = max((y for x, y in corners if x == long), default=0.0)
    if small > 0.0:
        items.append(_measure((long, 0.0), (long, small), -9.0, printing))
    if marks:
        (first, _), (last, _) = marks
        items.append(_measure((first, tall), (last, tall), 9.0, printing))
    return settle(Scene(items=tuple(items), name=name, scale=scale, about=f"the {name} with its sizes"))


def _measure(a: Vec2, b: Vec2, offset: float, printing: Printing) -> Dimension:
    way = (1.0, 0.0) if a[1] == b[1] else (0.0, 1.0)
    label = printing.length(abs(b[0] - a[0]) + abs(b[1] - a[1]))
    return Dimension(start=a, end=b, label=label, offset=offset, direction=way)


def _drawing(scene: Scene) -> Drawing:
    more = "; between the lines it stands in the tenon" if scene.name == "tusk" else ", to a feather edge"
    words = f"{scene.name.capitalize()}, {scale_words(scene.scale)}{more}."
    return Drawing(scene=scene, caption=words, alt=scene.about)
