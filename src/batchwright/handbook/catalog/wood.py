"""Catalog entries on moisture, movement and density."""

from __future__ import annotations

from batchwright.base.source import Mark
from batchwright.handbook import density, moisture
from batchwright.handbook import movement as moving
from batchwright.handbook.catalog.entry import Answer, Entry, Kind, Parameter, Result, Values, number, told_of, words
from batchwright.handbook.catalog.plain import plain_entry
from batchwright.handbook.published import GapError
from batchwright.handbook.species import species_named, value_of

TEMPERATURE = Parameter(
    name="temperature", kind=Kind.TEMPERATURE, title="temperature of the air", unit="C",
    low=moisture.LOWEST_TEMPERATURE, high=moisture.HIGHEST_TEMPERATURE,
)  # fmt: skip
HUMIDITY = Parameter(
    name="humidity", kind=Kind.RATIO, title="relative humidity", low=0.0, high=moisture.HIGHEST_HUMIDITY
)
SPECIES = Parameter(name="species", kind=Kind.TEXT, title="wood, by its name in the handbook")
GRAVITY = Parameter(
    name="gravity", kind=Kind.NUMBER, title="specific gravity on green volume", low=0.0, high=1.0, above=True
)
MOISTURE = Parameter(name="moisture", kind=Kind.RATIO, title="moisture content", low=0.0, high=3.0)
WIDTH = Parameter(name="width", kind=Kind.LENGTH, title="size that moves", unit="mm", low=0.0, above=True)
START = Parameter(name="from", kind=Kind.RATIO, title="first moisture content", low=0.0, high=0.30)
END = Parameter(name="to", kind=Kind.RATIO, title="second moisture content", low=0.0, high=0.30)
CUT = Parameter(
    name="cut", kind=Kind.CHOICE, title="how the board was sawn",
    choices=tuple(each.value for each in moving.Cut), default="flat",
)  # fmt: skip
ACROSS = Parameter(
    name="across", kind=Kind.CHOICE, title="which size moves",
    choices=tuple(each.value for each in moving.Across), default="width",
)  # fmt: skip
RINGS = Parameter(
    name="ring_angle", kind=Kind.ANGLE, title="angle from the rings to the size, instead of the cut",
    low=0.0, high=1.5707963268, optional=True,
)  # fmt: skip


def _emc(values: Values) -> Answer:
    temperature, humidity = number(values, "temperature"), number(values, "humidity")
    low, high = moisture.CHECKED_TEMPERATURE
    dry, damp = moisture.CHECKED_HUMIDITY
    notes = ["for air sheltered from rain and sun, and wood given time to settle"]
    if not low <= temperature <= high or not dry <= humidity <= damp:
        notes.append("outside the range checked against the printed table (-1.1 to 71.1 C, 5 to 95 %)")
    return Answer(
        results=(
            Result(
                name="moisture content, Simpson (eq. 4-5)", kind=Kind.RATIO,
                value=moisture.emc(temperature, humidity), source=told_of(moisture.emc).source,
            ),
            Result(
                name="moisture content, Glass (eq. 4-6)", kind=Kind.RATIO,
                value=moisture.emc_glass(temperature, humidity), source=told_of(moisture.emc_glass).source,
            ),
        ),
        notes=tuple(notes),
    )  # fmt: skip


def _ring_angle(values: Values) -> float:
    if "ring_angle" in values:
        return number(values, "ring_angle")
    return moving.ring_angle_of(moving.Cut(words(values, "cut")), moving.Across(words(values, "across")))


def _movement(values: Values) -> Answer:
    wood = species_named(words(values, "species"))
    width = number(values, "width")
    answer = moving.movement(width, wood, _ring_angle(values), number(values, "from"), number(values, "to"))
    source = "; ".join(str(each) for each in answer.sources)
    change = Result(name="change", value=answer.change, kind=Kind.LENGTH, unit="mm", source=source)
    after = Result(name=f"{words(values, 'across')} after", value=width + answer.change, kind=Kind.LENGTH, unit="mm")
    used = "" if answer.equation == "eq. 13-2" else ", from green shrinkage"
    return Answer(results=(change, after), notes=(f"worked by {answer.equation}{used}", *answer.notes))


def _shrinkage(values: Values) -> Answer:
    wood = species_named(words(values, "species"))
    whole = value_of(wood, f"shrink_{words(values, 'way')}")
    if whole.value is None:
        raise GapError(f"no {words(values, 'way')} shrinkage is published for {wood.name}")
    part = moving.shrinkage_to(whole.value, number(values, "moisture"))
    source = f"Wood Handbook 2021, eq. 4-9 (read); {whole.source}"
    dried = Result(name="shrinkage from green", value=part, kind=Kind.RATIO, source=source, note=whole.note)
    oven = Result(name="green to oven-dry", value=whole.value, kind=Kind.RATIO, source=str(whole.source))
    return Answer(results=(dried, oven), notes=("of the green size",))


def _wood_density(values: Values) -> Answer:
    wood = species_named(words(values, "species"))
    gravity = density.gravity_of(wood, number(values, "moisture"))
    if gravity.value is None:
        raise GapError(f"no specific gravity is published for {wood.name}")
    found = density.density(gravity.value, number(values, "moisture"))
    source = f"Wood Handbook 2021, eq. 4-14 (read); {gravity.source}"
    weight = Result(name="density", value=found, kind=Kind.NUMBER, unit="kg/m3", source=source)
    specific = Result(
        name="specific gravity", value=gravity.value, kind=Kind.NUMBER, source=str(gravity.source),
        note=gravity.note,
    )  # fmt: skip
    printed = value_of(wood, "sg_12")
    notes = () if printed.value is None else (f"the table has {printed.value:g} at 12 % [{printed.source}]",)
    return Answer(results=(weight, specific), notes=notes)


ENTRIES = (
    Entry(
        name="emc", title="Equilibrium moisture content of wood in still air, by both published models",
        is_table=False, parameters=(TEMPERATURE, HUMIDITY), mark=Mark.READ,
        source="Wood Handbook 2021, eq. 4-5 and eq. 4-6 (read)", valid_for=told_of(moisture.emc).valid_for,
        covers=("moisture.emc", "moisture.emc_glass"), work=_emc, example="emc temperature=10C humidity=80%",
    ),
    Entry(
        name="movement", title=told_of(moving.movement).title, is_table=False,
        parameters=(SPECIES, WIDTH, START, END, CUT, ACROSS, RINGS), mark=Mark.READ,
        source=told_of(moving.movement).source, valid_for=told_of(moving.movement).valid_for,
        covers=("movement.movement", "movement.ring_angle_of"), work=_movement,
        example='movement species="white oak" width=12in from=6% to=14% cut=flat',
    ),
    Entry(
        name="shrinkage", title="Shrinkage of green wood when dried to a moisture content", is_table=False,
        parameters=(
            SPECIES, MOISTURE,
            Parameter(name="way", kind=Kind.CHOICE, title="direction", default="tangential",
                      choices=("tangential", "radial", "volumetric")),
        ),
        mark=Mark.READ, source=told_of(moving.shrinkage_to).source,
        valid_for=told_of(moving.shrinkage_to).valid_for, covers=("movement.shrinkage_to",), work=_shrinkage,
        example='shrinkage species="white oak" moisture=12%',
    ),
    Entry(
        name="wood_density", title="Density of a wood at a moisture content", is_table=False,
        parameters=(SPECIES, MOISTURE), mark=Mark.READ,
        source="Wood Handbook 2021, eq. 4-11 and eq. 4-14 (read)",
        valid_for=told_of(density.density).valid_for,
        covers=("density.density", "density.gravity_at", "density.gravity_of"),
        work=_wood_density, example='wood_density species="white oak" moisture=12%',
    ),
    plain_entry(
        moving.change_by_coefficient, Result(name="change", value=None, kind=Kind.LENGTH, unit="mm"),
        (
            Parameter(name="size", kind=Kind.LENGTH, title="size that moves", unit="mm", low=0.0, above=True),
            Parameter(name="coefficient", kind=Kind.NUMBER, title="fraction of the size for 1 % MC", low=0.0,
                      high=0.02, above=True),
            Parameter(name="from", kind=Kind.RATIO, title="first moisture content", low=0.06, high=0.14),
            Parameter(name="to", kind=Kind.RATIO, title="second moisture content", low=0.06, high=0.14),
        ),
        "change_by_coefficient size=9.15in coefficient=0.00245 from=8% to=11%",
    ),
    plain_entry(
        moving.change_by_shrinkage, Result(name="change", value=None, kind=Kind.LENGTH, unit="mm"),
        (
            Parameter(name="size", kind=Kind.LENGTH, title="size that moves", unit="mm", low=0.0, above=True),
            Parameter(name="shrinkage", kind=Kind.RATIO, title="shrinkage green to oven-dry", low=0.0, high=0.499,
                      above=True),
            START, END,
        ),
        "change_by_shrinkage size=100mm shrinkage=10.5% from=30% to=8%",
    ),
    plain_entry(
        moving.turned_to_rings, Result(name="movement at that angle", value=None, kind=Kind.NUMBER),
        (
            Parameter(name="tangential", kind=Kind.NUMBER, title="movement along the rings", low=0.0),
            Parameter(name="radial", kind=Kind.NUMBER, title="movement across the rings", low=0.0),
            Parameter(name="ring_angle", kind=Kind.ANGLE, title="angle from the rings to the size that moves",
                      low=0.0, high=1.5707963268),
        ),
        "turned_to_rings tangential=0.00365 radial=0.0018 ring_angle=45deg",
    ),
    plain_entry(
        density.gravity_estimated, Result(name="specific gravity", value=None, kind=Kind.NUMBER),
        (GRAVITY, MOISTURE), "gravity_estimated gravity=0.55 moisture=12%",
    ),
    plain_entry(
        density.most_moisture, Result(name="moisture content", value=None, kind=Kind.RATIO),
        (GRAVITY,), "most_moisture gravity=0.3",
    ),
    plain_entry(
        density.sinking_moisture, Result(name="moisture content", value=None, kind=Kind.RATIO),
        (GRAVITY,), "sinking_moisture gravity=0.6",
    ),
)  # fmt: skip
