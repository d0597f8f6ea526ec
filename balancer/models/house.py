"""house.yaml: what one bar decides for itself."""

from __future__ import annotations

import re
from typing import Annotated, Final, Literal, get_args

from pydantic import Field, PlainValidator, ValidationInfo

from balancer.components import StandardDrink
from balancer.errors import QuantityError
from balancer.models.chill import Chill
from balancer.models.fields import (
    BrixTolerance,
    Celsius,
    EditorSchema,
    FileModel,
    Flag,
    Mass,
    Millilitres,
    Name,
    PathText,
    Percent,
    Tolerance,
    Volume,
    amount_schema,
    base_value,
    fail,
    one_of,
    plain_text,
    quantity,
)
from balancer.models.look import HouseLook
from balancer.models.methods import method_key
from balancer.units import US_FLUID_OUNCE_ML, Measures, Quantity, find_unit, parse_number

_CLOCK: Final = re.compile(r"(?P<hour>[01]?[0-9]|2[0-3])[:.](?P<minute>[0-5][0-9])")
_RANGE: Final = re.compile(r"(?P<low>[0-9.,]+)\s*(?:-|–|to)\s*(?P<high>[0-9.,]+)(?P<unit>.*)")
_volume: Final = quantity("volume", low=0, high=100_000, example="5 ml", above=True)
_millilitres: Final = base_value(_volume)


def _own_measure(value: object, info: ValidationInfo) -> float:
    """A volume in ml. It may be written in the house's own ounce, which stands before it in the model."""
    if isinstance(value, str):
        value = _volume(value)
        if value.unit == "oz":
            return value.value * float(info.data.get("ounce", US_FLUID_OUNCE_ML))
    return _millilitres(value)


OwnMeasure = Annotated[float, PlainValidator(_own_measure), amount_schema("5 ml")]
PourStyle = Literal["jigger", "free", "scale"]


def _format(value: object) -> int:
    if plain_text(value, "1").strip() != "1":
        raise fail("format", f'format "{value}" is not known', "this program reads format 1; write format: 1")
    return 1


def _scale_range(value: object) -> tuple[float, float]:
    """'0-55 °Bx' as its two ends."""
    match = _RANGE.fullmatch(plain_text(value, "0-55 °Bx").strip())
    wrong = fail("instrument-scale", f'"{value}" is not the range of a refractometer in °Bx', "write it like 0-55 °Bx")
    if match is None:
        raise wrong
    try:
        low, high = parse_number(match["low"]), parse_number(match["high"])
    except QuantityError:
        raise wrong from None
    unit = find_unit(match["unit"])
    if not 0 <= low < high <= 95 or unit is None or unit.kind != "strength":
        raise wrong
    return low, high


def _clock(value: object) -> str:
    text = plain_text(value, '"06:00"').strip()
    match = _CLOCK.fullmatch(text)
    if match is None:
        raise fail("clock", f'"{text}" is not a time of day', 'write it in quotes, like "06:00"')
    return f"{int(match['hour']):02d}:{match['minute']}"


class Instrument(FileModel):
    """The bar's refractometer. scale in °Bx; accuracy as its maker states it, the division when absent."""

    scale: Annotated[
        tuple[float, float], PlainValidator(_scale_range), EditorSchema({"type": "string", "examples": ["0-55 °Bx"]})
    ] = (0.0, 85.0)
    division: BrixTolerance = 0.5
    atc: Flag = True
    accuracy: BrixTolerance | None = None


class Scale(FileModel):
    """The bar's weighing scale; division in g."""

    division: Mass


class House(FileModel):
    """The house's own measures, tolerances and instruments. Volumes in ml, tolerances in % and °Bx.

    base             the shared folder that the house stands on, counted from its own
    jigger_step      every multiple of it can be poured, unless there are lines; None is the usual one, see `step`
    jigger_lines     the lines of the jiggers: a pour is one line or two
    jigger_barspoon  or a line and a barspoon
    dilution         what a method usually adds, in % of the mix, by the bar's word for it
    look             how its printed pages look, key by key over that of the base
    pour_style       free: nobody is ever asked for a new pour; scale: pours go by weight, in grams
    """

    format: Annotated[int, PlainValidator(_format), EditorSchema({"enum": [1, "1"]})]
    name: Name = Field(alias="house")
    base: PathText | None = None
    ounce: Millilitres = US_FLUID_OUNCE_ML
    show: Annotated[Literal["ml", "oz"], *one_of("ml", "oz")] = "ml"
    jigger_step: Volume | None = Field(None, alias="jigger step")
    jigger_lines: tuple[OwnMeasure, ...] = Field((), alias="jigger lines")
    jigger_barspoon: Flag = Field(False, alias="jigger barspoon")
    pour_style: Annotated[PourStyle, *one_of(*get_args(PourStyle))] = Field("jigger", alias="pour style")
    tolerance: Tolerance = 5.0
    batch_tolerance: BrixTolerance = Field(1.0, alias="batch tolerance")
    dash: OwnMeasure = 0.8
    barspoon: OwnMeasure = 5.0
    teaspoon: OwnMeasure = 5.0
    tablespoon: OwnMeasure = 15.0
    drop: OwnMeasure = 0.05
    part: OwnMeasure = 30.0
    storage: Celsius = 4.0
    standard_drink: Annotated[StandardDrink, *one_of(*get_args(StandardDrink))] = Field("us", alias="standard drink")
    instrument: Instrument | None = None
    scale: Scale | None = None
    chill: Chill | None = None
    dilution: dict[str, Percent] = Field(default_factory=dict)
    glasses: dict[str, OwnMeasure] = Field(default_factory=dict)
    look: HouseLook | None = None
    day_ends: Annotated[str, PlainValidator(_clock), EditorSchema({"type": "string", "examples": ["06:00"]})] = Field(
        "06:00", alias="day ends"
    )

    @property
    def step(self) -> Quantity:
        """The jigger step, or the usual one: an eighth of an ounce where ounces are shown, else 2.5 ml."""
        return self.jigger_step or (Quantity(0.125, "oz") if self.show == "oz" else Quantity(2.5, "ml"))

    def usual_dilution(self, method: str) -> float | None:
        """What a method usually adds in this house, in % of the mix; None where house.yaml does not say."""
        wanted = method_key(method) if self.dilution else ""
        return next((percent for word, percent in self.dilution.items() if method_key(word) == wanted), None)

    def measures(self) -> Measures:
        """What this house means by an ounce, a dash, a barspoon."""
        return Measures(
            ounce=self.ounce,
            dash=self.dash,
            barspoon=self.barspoon,
            teaspoon=self.teaspoon,
            tablespoon=self.tablespoon,
            drop=self.drop,
            part=self.part,
        )
