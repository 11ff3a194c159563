"""The maker's shop: machines, cutters, allowances, fits, limits, rates. A value not given is a default and says so."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.trace import By, Sized, Trace

MM_IN = 25.4


def default(value: float, why: str = "") -> Sized:
    """A packaged default, marked as one."""
    return Sized(value, Trace(by=By.DEFAULT, rule="packaged shop", why=why, source="common practice, no source"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """One machine: its kind in generic words and its limits; a limit of None is not known. Lengths in mm."""

    kind: str
    name: str = ""
    kerf: Sized | None = None
    least_length: Sized | None = None
    least_thickness: Sized | None = None
    most_width: Sized | None = None
    most_thickness: Sized | None = None
    most_length: Sized | None = None
    positions: str = ""
    """How positions are set, in words: fence and stops, tables and stops, by eye to a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter:
    """A mortise cutter: its width; whether its mortises have round ends (a bit) or square (a chisel); its reach."""

    width: float
    round_ends: bool
    reach: float
    kind: str = ""
    by: By = By.DEFAULT


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """Oversize left on rough blanks [mm]."""

    length: Sized = default(MM_IN, "an inch in all, squaring both ends")
    width: Sized = default(0.25 * MM_IN, "jointing one edge, ripping, jointing the other")
    thickness: Sized = default(0.1875 * MM_IN, "flattening and planing both faces")
    saw_line: Sized = default(0.0625 * MM_IN, "band saw line left outside a curve")
    snipe: Sized = default(3.0 * MM_IN, "each end of a ganged blank")
    end_trim: Sized = default(MM_IN, "each end of a board, checks cut back")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """How joints fit [mm]."""

    cheeks: Sized = default(0.1, "over both cheeks of a glued tenon (JR22, JR23)")
    ends: Sized = default(0.5, "tenon width under mortise length, in all")
    depth: Sized = default(MM_IN / 16, "mortise deeper than the tenon (JR08)")
    mitre_gap: Sized = default(MM_IN / 16, "between two tenon tips (JR10)")
    loose_width: Sized = default(0.8, "loose tenon in width (JR24)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerances:
    """When a difference is worth telling [mm or radians]."""

    shoulder_gap: Sized = default(MM_IN / 64, "gap under a shoulder that closes under the clamps")
    same_part: Sized = default(0.05, "two parts are one kind within this")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """The whole shop. `widest_board` is the widest stock it can joint and plane in one piece."""

    name: str = "the packaged shop"
    machines: tuple[Machine, ...] = ()
    cutters: tuple[Cutter, ...] = ()
    allowances: Allowances = Allowances()
    fits: Fits = Fits()
    tolerances: Tolerances = Tolerances()
    widest_board: Sized = default(8 * MM_IN, "wider parts are edge-glued")
    waste: Sized = default(0.30, "share of bought stock lost, where no board plan says better")
    wall_indoors: Sized = default(6.35, "JR15")
    wall_outdoors: Sized = default(7.9, "JR15")
    quarters: tuple[str, ...] = ("4/4", "5/4", "6/4", "8/4", "10/4", "12/4")
    """Rough thicknesses that can be bought."""
    currency: str = "$"
    rates: tuple[tuple[str, Sized], ...] = ()
    times: tuple[tuple[str, Sized], ...] = ()
    clamps: tuple[tuple[float, int], ...] = ()
    """(length mm, how many)."""
    glues: tuple[str, ...] = ()
    guides: tuple[tuple[float, float], ...] = ()
    """Guide bushes: (outside diameter, largest bit that passes) [mm]."""

    def machine(self, kind: str) -> Machine | None:
        """The first machine of a kind, or None where the shop has none."""
        return next((machine for machine in self.machines if machine.kind == kind), None)
