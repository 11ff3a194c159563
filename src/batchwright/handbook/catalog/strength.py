"""Catalog entries on strength, beams and fasteners. Planning values: they stand in for no building code."""

from __future__ import annotations

from batchwright.base.source import Mark
from batchwright.handbook import beams, fasteners
from batchwright.handbook import strength as strong
from batchwright.handbook.catalog.entry import Answer, Entry, Kind, Parameter, Result, Values, number, told_of, words
from batchwright.handbook.catalog.plain import plain_entry
from batchwright.handbook.published import GapError
from batchwright.handbook.species import species_named, value_of

QUARTER_TURN = 1.5707963268
CAUTION = "a planning value: where a failure can hurt someone, have a licensed engineer look at it"
_KINDS = ("mor", "moe", "compression_parallel", "compression_across", "shear")


def _stress(name: str, title: str) -> Parameter:
    return Parameter(name=name, kind=Kind.STRESS, title=title, unit="MPa", low=0.0, above=True)


def _length(name: str, title: str) -> Parameter:
    return Parameter(name=name, kind=Kind.LENGTH, title=title, unit="mm", low=0.0, above=True)


GRAVITY = Parameter(
    name="gravity", kind=Kind.NUMBER, title="specific gravity of the wood at 12 % MC", low=0.2, high=1.2
)
DIAMETER = _length("diameter", "shank diameter")
FAILS = Result(name="load at failure", value=None, kind=Kind.FORCE, unit="N")


def _strength(values: Values) -> Answer:
    wood = species_named(words(values, "species"))
    kind = words(values, "property")
    dry, green = value_of(wood, f"{kind}_12"), value_of(wood, f"{kind}_green")
    if dry.value is None or green.value is None:
        raise GapError(f"the table has a gap for {kind} of {wood.name}")
    meeting = strong.meeting_moisture(wood)
    value = strong.strength_at_moisture(dry.value, green.value, number(values, "moisture"), meeting)
    source = f"Wood Handbook 2021, eq. 5-3 (read); {dry.source}"
    result = Result(name=kind, value=value, kind=Kind.STRESS, unit="MPa", source=source, note=dry.note)
    notes = (f"a mean of clear straight-grained wood; dry and green meet at {meeting:.0%} MC", CAUTION)
    return Answer(results=(result,), notes=notes)


def _share_left(values: Values) -> Answer:
    value = strong.share_left_by_slope(number(values, "slope"), words(values, "kind"))
    source = told_of(strong.share_left_by_slope).source
    return Answer(results=(Result(name="share left", value=value, kind=Kind.RATIO, source=source),))


def _temperature(values: Values) -> Answer:
    green = words(values, "state") == "green"
    value = strong.stiffness_change_by_temperature(number(values, "temperature"), green)
    source = told_of(strong.stiffness_change_by_temperature).source
    return Answer(results=(Result(name="change of stiffness", value=value, kind=Kind.RATIO, source=source),))


def _beam(values: Values) -> Answer:
    beam = beams.Beam(
        case=beams.BEAM_CASES[words(values, "case")], span=number(values, "span"),
        width=number(values, "width"), depth=number(values, "depth"), modulus=number(values, "modulus"),
    )  # fmt: skip
    load = number(values, "load")
    moment = beams.largest_moment(beam, load)
    found = told_of(beams.deflection).source
    results = (
        Result(name=f"deflection, {beam.case.where}", value=beams.deflection(beam, load), kind=Kind.LENGTH,
               unit="mm", source=found),
        Result(name="of it bending", value=beams.deflection(beam, load, with_shear=False), kind=Kind.LENGTH,
               unit="mm", source=found),
        Result(name="bending stress", value=beams.bending_stress(moment, beam.width, beam.depth),
               kind=Kind.STRESS, unit="MPa", source=told_of(beams.bending_stress).source),
        Result(name="largest moment", value=moment, kind=Kind.NUMBER, unit="N mm",
               source=told_of(beams.largest_moment).source),
    )  # fmt: skip
    return Answer(results=results, notes=("load is the whole load on the beam", CAUTION))


def _side_load(values: Values) -> Answer:
    hard = words(values, "wood_type") == "hardwood"
    value = fasteners.screw_side_load(number(values, "diameter"), number(values, "gravity"), hard)
    source = told_of(fasteners.screw_side_load).source
    name = "load at which it begins to give"
    return Answer(results=(Result(name=name, value=value, kind=Kind.FORCE, unit="N", source=source),))


def _screw_size(values: Values) -> Answer:
    gauge = number(values, "gauge")
    if gauge != int(gauge):
        raise ValueError(f"gauge must be a whole number, not {gauge:g}")
    value = fasteners.screw_diameter(int(gauge))
    source = told_of(fasteners.screw_diameter).source
    return Answer(
        results=(Result(name="shank diameter", value=value, kind=Kind.LENGTH, unit="mm", source=source),),
        notes=("measure the screw in hand before drilling for it",),
    )


_BEAM = (
    Parameter(name="case", kind=Kind.CHOICE, title="how it is held and loaded",
              choices=tuple(beams.BEAM_CASES), default="supported, load in the middle"),
    Parameter(name="load", kind=Kind.FORCE, title="whole load on the beam", unit="N", low=0.0),
    _length("span", "clear span"),
    _length("width", "width of the section, square to the load"),
    _length("depth", "depth of the section, along the load"),
    _stress("modulus", "modulus of elasticity along the grain"),
)  # fmt: skip

ENTRIES = (
    Entry(
        name="strength", title="Strength or stiffness of a wood at a moisture content", is_table=False,
        parameters=(
            Parameter(name="species", kind=Kind.TEXT, title="wood, by its name in the handbook"),
            Parameter(name="moisture", kind=Kind.RATIO, title="moisture content", low=0.0, high=3.0),
            Parameter(name="property", kind=Kind.CHOICE, title="what", choices=_KINDS, default="mor"),
        ),
        mark=Mark.READ, source=told_of(strong.strength_at_moisture).source,
        valid_for=told_of(strong.strength_at_moisture).valid_for,
        covers=("strength.strength_at_moisture", "strength.meeting_moisture"), work=_strength,
        example='strength species="white oak" moisture=16%',
    ),
    plain_entry(
        strong.strength_at_moisture, Result(name="value", value=None, kind=Kind.STRESS, unit="MPa"),
        (
            _stress("dry", "value at 12 % MC"), _stress("green", "value of green wood"),
            Parameter(name="moisture", kind=Kind.RATIO, title="moisture content", low=0.0, high=3.0),
            Parameter(name="meeting", kind=Kind.RATIO, title="moisture content where dry and green meet",
                      low=0.18, high=0.30, default=0.25),
        ),
        "strength_at_moisture dry=103MPa green=66MPa moisture=8% meeting=24%",
    ),
    plain_entry(
        strong.hankinson, Result(name="strength at that angle", value=None, kind=Kind.STRESS, unit="MPa"),
        (
            _stress("along", "strength along the grain"), _stress("across", "strength across the grain"),
            Parameter(name="angle", kind=Kind.ANGLE, title="angle between load and grain", low=0.0,
                      high=QUARTER_TURN),
            Parameter(name="exponent", kind=Kind.NUMBER, title="exponent", low=1.5, high=2.5, default=2.0),
        ),
        "hankinson along=51.3MPa across=7.4MPa angle=45deg",
    ),
    Entry(
        name="slope_of_grain", title=told_of(strong.share_left_by_slope).title, is_table=False,
        parameters=(
            Parameter(name="slope", kind=Kind.NUMBER, title="slope of grain, 0.1 for 1 in 10", low=0.0, high=0.2),
            Parameter(name="kind", kind=Kind.CHOICE, title="which strength", default="bending",
                      choices=tuple(strong.SLOPE_COLUMNS)),
        ),
        mark=Mark.MEMORY, source=told_of(strong.share_left_by_slope).source,
        valid_for=told_of(strong.share_left_by_slope).valid_for, covers=("strength.share_left_by_slope",),
        work=_share_left, example="slope_of_grain slope=0.1",
    ),
    Entry(
        name="stiffness_by_temperature", title=told_of(strong.stiffness_change_by_temperature).title,
        is_table=False,
        parameters=(
            Parameter(name="temperature", kind=Kind.TEMPERATURE, title="temperature of the wood", unit="C",
                      low=-26.2, high=65.6),
            Parameter(name="state", kind=Kind.CHOICE, title="dry (12 % MC) or green", choices=("dry", "green"),
                      default="dry"),
        ),
        mark=Mark.READ, source=told_of(strong.stiffness_change_by_temperature).source,
        valid_for=told_of(strong.stiffness_change_by_temperature).valid_for,
        covers=("strength.stiffness_change_by_temperature",), work=_temperature,
        example="stiffness_by_temperature temperature=100F",
    ),
    plain_entry(
        strong.design_stress, Result(name="design stress", value=None, kind=Kind.STRESS, unit="MPa"),
        (
            _stress("mean", "mean strength of clear wood"),
            Parameter(name="variation", kind=Kind.RATIO, title="coefficient of variation", low=0.0, high=0.5),
            Parameter(name="divisor", kind=Kind.NUMBER, title="divisor for duration and safety", low=0.5,
                      high=10.0),
            Parameter(name="strength_ratio", kind=Kind.RATIO, title="share left for grain and knots", low=0.0,
                      high=1.0, above=True, default=1.0),
        ),
        "design_stress mean=105MPa variation=16% divisor=2.3",
    ),
    Entry(
        name="beam", title="Deflection and bending stress of a straight beam", is_table=False, parameters=_BEAM,
        mark=Mark.READ, source=told_of(beams.deflection).source, valid_for=told_of(beams.deflection).valid_for,
        covers=("beams.deflection", "beams.bending_stress", "beams.section_modulus", "beams.largest_moment"),
        work=_beam, example="beam load=1000N span=1200mm width=90mm depth=40mm modulus=12300MPa",
    ),
    plain_entry(
        beams.shear_stress, Result(name="shear stress", value=None, kind=Kind.STRESS, unit="MPa"),
        (
            Parameter(name="shear", kind=Kind.FORCE, title="shear force", unit="N", low=0.0),
            _length("width", "width of the section"), _length("depth", "depth of the section"),
        ),
        "shear_stress shear=5000N width=40mm depth=90mm",
    ),
    plain_entry(
        fasteners.screw_withdrawal, FAILS, (DIAMETER, _length("thread", "thread in the wood"), GRAVITY),
        "screw_withdrawal diameter=4.83mm thread=25mm gravity=0.68",
    ),
    plain_entry(
        fasteners.nail_withdrawal, FAILS, (DIAMETER, _length("length", "length in the wood"), GRAVITY),
        "nail_withdrawal diameter=3.33mm length=38mm gravity=0.48",
    ),
    plain_entry(
        fasteners.lag_screw_withdrawal, FAILS, (DIAMETER, _length("thread", "thread in the wood"), GRAVITY),
        "lag_screw_withdrawal diameter=7.9mm thread=40mm gravity=0.68",
    ),
    plain_entry(
        fasteners.drift_bolt_withdrawal, FAILS, (DIAMETER, _length("length", "length in the wood"), GRAVITY),
        "drift_bolt_withdrawal diameter=12.7mm length=100mm gravity=0.68",
    ),
    plain_entry(
        fasteners.dowel_bearing, Result(name="bearing strength", value=None, kind=Kind.STRESS, unit="MPa"),
        (GRAVITY,), "dowel_bearing gravity=0.68",
    ),
    Entry(
        name="screw_side_load", title=told_of(fasteners.screw_side_load).title, is_table=False,
        parameters=(
            DIAMETER, GRAVITY,
            Parameter(name="wood_type", kind=Kind.CHOICE, title="hardwood or softwood", default="hardwood",
                      choices=("hardwood", "softwood")),
        ),
        mark=Mark.READ, source=told_of(fasteners.screw_side_load).source,
        valid_for=told_of(fasteners.screw_side_load).valid_for, covers=("fasteners.screw_side_load",),
        work=_side_load, example="screw_side_load diameter=4.83mm gravity=0.60",
    ),
    Entry(
        name="screw_diameter", title=told_of(fasteners.screw_diameter).title, is_table=False,
        parameters=(Parameter(name="gauge", kind=Kind.NUMBER, title="gauge number", low=4.0, high=24.0),),
        mark=Mark.READ, source=told_of(fasteners.screw_diameter).source,
        valid_for=told_of(fasteners.screw_diameter).valid_for, covers=("fasteners.screw_diameter",),
        work=_screw_size, example="screw_diameter gauge=10",
    ),
    plain_entry(
        fasteners.lag_screw_across_grain, Result(name="factor", value=None, kind=Kind.NUMBER),
        (Parameter(name="diameter", kind=Kind.LENGTH, title="shank diameter", unit="mm", low=4.8, high=25.4),),
        "lag_screw_across_grain diameter=9.5mm",
    ),
)  # fmt: skip
