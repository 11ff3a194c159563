"""A shape made larger all round by a clearance: the tool of a housing or a scribed shoulder."""

from __future__ import annotations

from dataclasses import replace

from batchwright.geometry.frame import Vec2, plus
from batchwright.geometry.offset import offset_outline
from batchwright.geometry.outline import Outline, polygon_outline
from batchwright.model.shape import PlaneCut, Prism, RegionCut, Sawn, Shape, Station, Stick


def grown(shape: Shape, clearance: float) -> Shape:
    """A shape with every face moved outwards by `clearance` [mm]; its eased edges are left out."""
    body = (
        _grown_prism(shape.body, clearance)
        if isinstance(shape.body, Prism)
        else _grown_stick(shape.body, clearance)
    )
    return replace(
        shape,
        body=body,
        sawn=tuple(Sawn(on=sawn.on, outline=_grown_outline(sawn.outline, clearance)) for sawn in shape.sawn),
        cuts=tuple(_grown_cut(cut, clearance) for cut in shape.cuts),
        edges=(),
    )


def _grown_outline(outline: Outline, clearance: float) -> Outline:
    loops = offset_outline(outline, clearance, join="mitre")
    if len(loops) != 1:
        raise ValueError(f"an outline moved by {clearance:g} mm falls into {len(loops)} pieces")
    return polygon_outline(loops[0])


def _grown_prism(prism: Prism, clearance: float) -> Prism:
    return Prism(
        outline=_grown_outline(prism.outline, clearance),
        low=prism.low - clearance,
        high=prism.high + clearance,
    )


def _grown_stick(stick: Stick, clearance: float) -> Stick:
    def wider(span: Vec2) -> Vec2:
        return (span[0] - clearance, span[1] + clearance)

    inner = [Station(at=s.at, v=wider(s.v), w=wider(s.w)) for s in stick.stations]
    first, last = inner[0], inner[-1]
    return replace(
        stick,
        stations=(
            replace(first, at=first.at - clearance),
            *inner[1:-1],
            replace(last, at=last.at + clearance),
        ),
    )


def _grown_cut(cut: PlaneCut | RegionCut, clearance: float) -> PlaneCut | RegionCut:
    if isinstance(cut, PlaneCut):
        return PlaneCut(plane=replace(cut.plane, point=plus(cut.plane.point, cut.plane.normal, clearance)))
    return replace(cut, outline=_grown_outline(cut.outline, -clearance))
