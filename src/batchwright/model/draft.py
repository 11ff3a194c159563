"""The piece as drawn: parts in their places, joints with holes still to be filled."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import NewType

from batchwright.base.fault import NOWHERE, Place
from batchwright.base.trace import MISSING, By, Missing
from batchwright.geometry.curve import Path
from batchwright.geometry.frame import Frame, Vec3
from batchwright.model.shape import Shape

PartId = NewType("PartId", str)
"""A copy's full name: `left front leg`, `back slat 3`, `top`."""


class Hand(Enum):
    """Which of a mirrored pair, as the file's `hands` says."""

    LEFT = "left"
    RIGHT = "right"
    NONE = ""


class Hands(Enum):
    """What left means. As seated: the +x side is the left. From the front: the +x side is the right."""

    AS_SEATED = "as seated"
    FROM_THE_FRONT = "from the front"


class SizeKind(Enum):
    """What a named value measures."""

    LENGTH = "length"
    ANGLE = "angle"
    NUMBER = "number"


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeValue:
    """A named size or number after evaluation (mm, radians or plain), with its limits as they stand now."""

    name: str
    kind: SizeKind
    value: float
    low: float | None = None
    high: float | None = None
    step: float | None = None
    note: str = ""
    text: str = ""
    by: By = By.MAKER
    free: bool = True
    """Whether the maker may move it: a plain value, not worked from others."""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """The maker's own say on the marks of a part: an empty word leaves it to the rule."""

    reference_end: str = ""
    face_side: str = ""
    face_edge: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandShaped:
    """A surface shaped by hand, told and not cut in the solid. World directions and coordinates of this copy.

    `looks` is the way its face looks; `low` and `high` bound its region, infinite where the whole face is meant.
    """

    kind: str
    """scooped (hollow one way), dished (hollow all round) or pillowed (rounded over towards its edges)."""
    depth: float
    looks: Vec3
    low: Vec3
    high: Vec3
    along: str = ""
    """The axis a scoop runs along; empty: its longer way."""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPart:
    """One part in one place, shaped, without joints."""

    id: PartId
    name: str
    """As the maker wrote it, without left, right, front, back or number."""
    frame: Frame
    """Drawing frame in the world; left-handed for a mirror image of the drawn copy."""
    shape: Shape
    grain: Vec3
    """Direction of the grain in the drawing frame, length 1."""
    wood: str
    """Species key of the handbook."""
    hand: Hand = Hand.NONE
    depthwise: str = ""
    """`front` or `back` where the count makes both, else empty."""
    number: int = 0
    """1, 2, 3 for the copies of a repeat; 0 where there is none."""
    drawn: bool = True
    """Whether this copy is the one the maker drew."""
    count: str = ""
    """The file's word: pair, front and back, four, or empty."""
    sawn: str = ""
    """rift, quarter, flat, or empty."""
    blank: str = ""
    """edge-glued, laminated, pieced, one board, or empty: left to the rules."""
    marks: Marks = Marks()
    line: Path = ()
    """The batten a strip was bent along, in the drawing frame's (u, v); empty for other drawings."""
    note: str = ""
    shaped: tuple[HandShaped, ...] = ()
    from_file: str = ""
    """The drawing file that its outline was read from, if it was."""
    place: Place = NOWHERE
    grows: tuple[str, ...] = ()
    """Sides, as words of the piece, on which one number of the drawing makes the drawn copy larger."""


class JointKind(Enum):
    """What kind of joint a statement asks for; values are the file's words."""

    TENON = "tenon"
    LOOSE_TENON = "loose tenon"
    DOWEL = "dowel"
    HOUSING = "housing"
    GROOVE = "groove"
    HALVING = "halving"
    NOTCH = "notch"
    REST = "rest"
    SCREW = "screw"
    BUTTON = "button"
    GLUE = "glue"


@dataclass(frozen=True, slots=True, kw_only=True)
class PegsAsk:
    """Pegs the maker asks for."""

    count: int | Missing = MISSING
    diameter: float | Missing = MISSING
    draw: float | Missing = MISSING


@dataclass(frozen=True, slots=True, kw_only=True)
class JointAsk:
    """What the maker says of a joint; MISSING leaves it to the rules. Lengths in mm."""

    thickness: float | Missing = MISSING
    width: float | Missing = MISSING
    length: float | Missing = MISSING
    side_by_side: int | Missing = MISSING
    in_line: int | Missing = MISSING
    angle_in: str | Missing = MISSING
    """`tenon` (square mortise) or `mortise` (tenon straight in line with its part)."""
    end: str | Missing = MISSING
    """blind, through or wedged."""
    proud: float | Missing = MISSING
    wedges: int | Missing = MISSING
    tusk: float | Missing = MISSING
    shoulder: str | Missing = MISSING
    """flat, let in or scribed."""
    shoulders: tuple[tuple[str, float], ...] = ()
    """(all | top | bottom | front | back | inside | outside, mm)."""
    turned: str | Missing = MISSING
    """`with the grain` or `across`."""
    haunch: str | Missing = MISSING
    """top or bottom."""
    pegs: PegsAsk | None = None
    clearance: float | Missing = MISSING
    loose: float | Missing = MISSING
    per_crossing: int | Missing = MISSING
    size: str | Missing = MISSING
    slotted: bool = False
    slot: float | Missing = MISSING
    """Length of a slotted hole, where the maker says it; 0: a round hole after all."""
    counterbore: float | Missing = MISSING
    """How deep a screw's head is sunk."""
    count: int | Missing = MISSING
    diameter: float | Missing = MISSING
    gap: float | Missing = MISSING
    """Room round what a part is notched around."""
    ends: str | Missing = MISSING
    """Of a groove: stopped or through."""
    slips: tuple[float, int] | None = None
    on_top: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Otherwise:
    """An `except` item: where it holds, and what it says instead. Empty `at` or `of` means any."""

    ask: JointAsk
    at: tuple[PartId, ...] = ()
    ends: tuple[str, ...] = ()
    of: tuple[PartId, ...] = ()
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class JointStatement:
    """One line of `joints`: every copy in `of` that meets a copy in `into`, at whichever end."""

    number: int
    kind: JointKind
    of: tuple[PartId, ...]
    into: tuple[PartId, ...]
    ask: JointAsk = JointAsk()
    exceptions: tuple[Otherwise, ...] = ()
    at: tuple[PartId, ...] = ()
    ends: tuple[str, ...] = ()
    """Narrowed to these ends: front, back, left, right, top, bottom."""
    expect: int | Missing = MISSING
    place: Place = NOWHERE
    words: tuple[str, str] = ("", "")
    """The names as the maker wrote them, for messages."""
    places: tuple[tuple[str, Place], ...] = ()
    """Where each key of the statement stands in the text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """How tenons that meet in one part make room for one another."""

    into: tuple[PartId, ...]
    of: tuple[str, ...]
    """Part names (DraftPart.name or full ids) as written."""
    by: str
    """`mitre`, or the name whose tenon goes first."""
    gap: float | Missing = MISSING
    place: Place = NOWHERE
    number: int = 0
    """Which of `joints` it is, from 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPiece:
    """A piece as drawn. Lengths in mm."""

    name: str
    file: str
    units: str
    """`in` or `mm`."""
    hands: Hands
    wood: str
    parts: tuple[DraftPart, ...]
    joints: tuple[JointStatement, ...] = ()
    meetings: tuple[Meeting, ...] = ()
    sizes: tuple[SizeValue, ...] = ()
    middle: float | None = None
    outdoors: bool = False
    use: tuple[tuple[str, int], ...] = ()
    """(seat | table | standing load, N)."""
    face_marks: str = "outside"
    note: str = ""
