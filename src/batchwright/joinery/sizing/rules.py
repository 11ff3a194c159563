"""The rules of joint sizes, one function each: a number with its trace, from the handbook's joint rules (JR01...).

Lengths in mm. What the maker asks for never comes here; these fill the holes he leaves.
"""

from __future__ import annotations

from collections.abc import Sequence

from batchwright.base.trace import By, Sized, Trace
from batchwright.handbook.joint_rules import joint_rule
from batchwright.joinery.words import cite
from batchwright.model.shop import Cutter, Shop

INCH = 25.4
COMMON_WIDTHS = tuple(INCH * n / 16 for n in (4, 5, 6, 8, 10, 12))
"""Mortise chisels most shops own, 1/4 to 3/4 in, used where the shop lists none (common practice, no source)."""
THICKER = 1.5
"""The mortised part counts as much thicker from this ratio on (JR03 gives none; common practice, no source)."""


def low_of(rule_id: str) -> float:
    """The least value a rule names."""
    low = joint_rule(rule_id).low
    assert low is not None, f"{rule_id} names no least value"
    return low


def ruled(value: float, rule_id: str, why: str) -> Sized:
    """A number decided by a rule, with the rule's source and marks."""
    return Sized(value, Trace(by=By.RULE, rule=rule_id, why=why, source=cite(rule_id)))


def asked(value: float, word: str) -> Sized:
    """A number the maker wrote."""
    return Sized(value, Trace(by=By.MAKER, rule=word, why="as written in the piece file"))


def drawn(value: float, why: str) -> Sized:
    """A number the drawing gives."""
    return Sized(value, Trace(by=By.GEOMETRY, why=why))


def cutters_of(shop: Shop) -> tuple[Cutter, ...]:
    """The shop's mortise cutters, or the common chisels where it lists none."""
    if shop.cutters:
        return shop.cutters
    return tuple(Cutter(width=width, round_ends=False, reach=75.0, kind="chisel") for width in COMMON_WIDTHS)


def widths_in(shop: Shop, units: str) -> tuple[float, ...]:
    """Widths of the shop's cutters that its maker names in a unit, 64ths of an inch or half millimetres; else all."""
    widths = [cutter.width for cutter in cutters_of(shop)]
    step = 0.5 if units == "mm" else INCH / 64.0
    named = [width for width in widths if abs(width / step - round(width / step)) < 0.01]
    return tuple(named or widths)


def cutter_for(width: float, cutters: Sequence[Cutter], depth: float = 0.0) -> Cutter | None:
    """The shop's cutter of a width, one that reaches the depth if there is one."""
    fitting = [cutter for cutter in cutters if abs(cutter.width - width) < 0.05]
    deep = [cutter for cutter in fitting if cutter.reach >= depth]
    return next(iter([*deep, *fitting]), None)


def thickness_third(stock: float) -> Sized:
    """JR01: one third of the stock, for members of like thickness."""
    return ruled(stock / 3.0, "JR01", "one third of the stock")


def thickness_to_cutter(target: Sized, ceiling: float, cutters: Sequence[Cutter]) -> Sized:
    """JR02: pitched to the cutter in hand, the smallest at or over the target that leaves the walls; else the largest
    below the ceiling."""
    widths = sorted({cutter.width for cutter in cutters})
    over = [width for width in widths if target.value - 0.01 <= width <= ceiling + 0.01]
    under = [width for width in widths if width <= ceiling + 0.01]
    why = f"{target.trace.why}, {target.value:.1f} mm, to the cutter in hand"
    if over:
        return ruled(over[0], "JR02", why)
    if under:
        return ruled(under[-1], "JR02", f"{why}, held under {ceiling:.1f} mm by the walls")
    return ruled(min(target.value, ceiling), "JR02", f"{why}; no cutter is small enough")


def thickness_in_thicker(stock: float, other: float) -> Sized | None:
    """JR03: half the stock where the mortised part is much thicker; None where it is not."""
    if other < THICKER * stock:
        return None
    return ruled(stock / 2.0, "JR03", "up to half the stock, the other part being much thicker")


def width_beside_haunch(rail: float) -> Sized:
    """JR04: two thirds of the rail are tenon, one third haunch."""
    return ruled(rail * 2.0 / 3.0, "JR04", "rail width in three: one third haunch, two thirds tenon")


def haunch_length(thickness: float) -> Sized:
    """JR06: about as deep as it is thick."""
    return ruled(thickness, "JR06", "about as deep as it is thick")


def small_shoulder() -> Sized:
    """JR07: a small shoulder that covers the mortise's end."""
    return ruled(low_of("JR07"), "JR07", "covers a bruised end of the mortise")


def depth_clearance(shop: Shop) -> Sized:
    """JR08: the mortise deeper than the tenon, by the shop's fit."""
    return shop.fits.depth


def twin_number(stock: float) -> Sized:
    """JR11: two side by side when a third of the stock exceeds about 20 mm."""
    third = stock / 3.0
    why = f"a third of the stock is {third:.1f} mm"
    return ruled(2.0 if third > 20.0 else 1.0, "JR11", why)


def in_line_number(width: float) -> Sized:
    """JR12: two in line when the tenon would be wider than the widest the rule allows."""
    most = joint_rule("JR12").high or 150.0
    return ruled(2.0 if width > most else 1.0, "JR12", f"{width:.0f} mm wide; one up to {most:.0f} mm")


def advised_width(thickness: float) -> float:
    """JR12: the width from which splitting is advised: six times the thickness, or 100 mm [mm]."""
    return min(6.0 * thickness, 100.0)


def bottom_wall() -> Sized:
    """JR16: wood left between a blind mortise's bottom and the outside."""
    return ruled(low_of("JR16"), "JR16", "wood left beyond the mortise")


def side_wall(shop: Shop, outdoors: bool) -> Sized:
    """JR15: wood left beside a mortise, by the shop's limits."""
    return shop.wall_outdoors if outdoors else shop.wall_indoors


def least_length(thickness: float) -> float:
    """JR14: the least length of a tenon that carries [mm]."""
    return max(low_of("JR14"), 3.0 * thickness)


def length_in(depth: float, thickness: float, clearance: float) -> Sized:
    """JR13, JR14, JR16: five times the thickness, at most two thirds of the depth, at least 25 mm or three times the
    thickness, and always so that the wall beyond the mortise is left."""
    wall = bottom_wall().value
    most = depth - wall - clearance
    two_thirds, five = depth * 2.0 / 3.0, 5.0 * thickness
    least = least_length(thickness)
    told = round(depth, 6)  # a depth just between two tenths is told alike for both hands
    wanted = ruled(two_thirds, "JR13", f"two thirds of {told:.1f} mm")
    if five < two_thirds:
        wanted = ruled(five, "JR14", f"five times the thickness, less than two thirds of {told:.1f} mm")
    if wanted.value < least:
        wanted = ruled(least, "JR14", f"at least 25 mm and three times the thickness, in {depth:.1f} mm")
    if wanted.value > most:
        wanted = ruled(most, "JR16", f"as deep as leaves {wall:.0f} mm beyond the mortise in {depth:.1f} mm")
    return wanted


def relish() -> Sized:
    """JR17: wood between a mortise and the end of its part."""
    return ruled(low_of("JR17"), "JR17", "wood to the end of the part, so that it does not shear out")


def peg_draw() -> Sized:
    """JR18: draw of a peg hole in furniture of dense hardwood."""
    return ruled(low_of("JR18"), "JR18", "hole in the tenon nearer the shoulder")


def peg_diameter(thickness: float) -> Sized:
    """JR19: 6 mm for tenons up to 12 mm, 8 up to 16, 10 beyond."""
    value = 6.0 if thickness <= 12.0 else (8.0 if thickness <= 16.0 else 10.0)
    return ruled(value, "JR19", f"for a tenon {thickness:.1f} mm thick")


def peg_setback(diameter: float, length: float) -> Sized:
    """JR20: twice the diameter from the shoulder; less, down to one and a half, where three diameters to the tenon's
    end would not be left."""
    wanted = 2.0 * diameter
    held = max(1.5 * diameter, min(wanted, length - 3.0 * diameter))
    why = "twice the diameter from the shoulder"
    if held < wanted:
        why = f"{held / diameter:.1f} diameters from the shoulder, to leave wood to the end of a {length:.0f} mm tenon"
    return ruled(held, "JR20", why)
