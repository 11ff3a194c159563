"""A joint while it is being sized: its seat, what is decided so far, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from batchwright.base.fault import Fault, Place
from batchwright.base.finding import Finding
from batchwright.base.trace import Sized
from batchwright.geometry.frame import Frame, Plane, Vec2, Vec3
from batchwright.joinery.meeting.seat import Seat, outlet_of
from batchwright.joinery.meeting.sites import Site
from batchwright.joinery.words import Compass
from batchwright.model.draft import JointStatement, PartId
from batchwright.model.piece import JointId, Mortise, Peg, Tenon, Tusk
from batchwright.model.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What sizing leans on: the shop, whether the piece lives outdoors, words for directions."""

    shop: Shop
    outdoors: bool
    compass: Compass
    grooves: Mapping[PartId, tuple[tuple[Vec3, float], ...]] = field(default_factory=dict)
    """For each grooved part the ways its grooves open, and how deep they are [mm]."""

    @property
    def units(self) -> str:
        """What lengths are told in."""
        return self.compass.units


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One tenon's place across the joint: centre, width, thickness (its own size, clearance taken off)."""

    centre: Vec2
    width: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One joint being sized. Sizes in the order they were decided; the last of a name holds."""

    seat: Seat
    sizes: tuple[tuple[str, Sized], ...] = ()
    bars: tuple[Bar, ...] = ()
    tips: tuple[Plane, ...] = ()
    """Cuts of the tips, in the joint's frame; normals look to the waste."""
    depth: float = 0.0
    """Of B along the tenon, least, on the shaped part [mm]."""
    depth_most: float = 0.0
    haunch_side: str = ""
    pegs: tuple[Peg, ...] = ()
    tusk: Tusk | None = None
    round_ends: bool = False
    meets: tuple[JointId, ...] = ()
    faults: tuple[Fault, ...] = ()
    findings: tuple[Finding, ...] = ()
    made: tuple[tuple[Tenon, Mortise], ...] = field(default=())

    @property
    def site(self) -> Site:
        """Where it is."""
        return self.seat.site

    @property
    def id(self) -> JointId:
        """The joint's name."""
        return self.seat.site.id

    @property
    def frame(self) -> Frame:
        """The joint's frame in the world."""
        return self.seat.frame

    def size(self, name: str) -> float:
        """A size decided so far; 0 if it is not."""
        return next((sized.value for key, sized in reversed(self.sizes) if key == name), 0.0)

    def sized(self, name: str) -> Sized | None:
        """A size decided so far, with its trace."""
        return next((sized for key, sized in reversed(self.sizes) if key == name), None)

    def decide(self, name: str, sized: Sized) -> Plan:
        """The plan with one more size; an older one of that name gives way."""
        kept = tuple(item for item in self.sizes if item[0] != name)
        return replace(self, sizes=(*kept, (name, sized)))

    def fault(self, fault: Fault) -> Plan:
        """The plan with one more fault."""
        return replace(self, faults=(*self.faults, fault))

    def find(self, finding: Finding) -> Plan:
        """The plan with one more finding."""
        return replace(self, findings=(*self.findings, finding))

    def place(self, key: str) -> Place:
        """Where a word of the statement stands in the text; the statement itself where it is not said."""
        return place_of(self.site.statement, key)

    @property
    def low(self) -> Vec2:
        """Low corner of all tenons together in the joint's (x, y)."""
        return (
            min(bar.centre[0] - bar.width / 2.0 for bar in self.bars),
            min(bar.centre[1] - bar.thickness / 2.0 for bar in self.bars),
        )

    @property
    def high(self) -> Vec2:
        """High corner of all tenons together in the joint's (x, y)."""
        return (
            max(bar.centre[0] + bar.width / 2.0 for bar in self.bars),
            max(bar.centre[1] + bar.thickness / 2.0 for bar in self.bars),
        )

    @property
    def end_form(self) -> str:
        """blind, through or wedged."""
        end = self.site.ask.end
        return end if isinstance(end, str) else "blind"

    @property
    def passes_through(self) -> bool:
        """Whether the tenon comes out on the far side."""
        return self.end_form != "blind"

    def middle(self, depth: float = 0.0) -> Vec3:
        """World point on the joint's tenons' middle line, so deep."""
        x = (self.low[0] + self.high[0]) / 2.0
        y = (self.low[1] + self.high[1]) / 2.0
        return self.frame.to_world((x, y, depth))


def open_faces(plan: Plan) -> frozenset[int]:
    """Numbers of the mortised part's faces that a mortise opens: its mouth's, and those a through one comes out by."""
    mouth = plan.site.contact.faces
    return mouth | outlet_of(plan.seat, plan.low, plan.high) if plan.passes_through and plan.bars else mouth


def place_of(statement: JointStatement, key: str) -> Place:
    """Where a word of a statement stands in the text."""
    return dict(statement.places).get(key, statement.place)


def in_order(plans: Sequence[Plan]) -> tuple[Plan, ...]:
    """By name, whatever order the file has."""
    return tuple(sorted(plans, key=lambda plan: plan.id))
