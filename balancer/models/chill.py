"""How a bar chills: the `chill` key of house.yaml and of a drink."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, PlainValidator

from balancer.models.fields import FileModel, Mass, amount_schema, base_value, quantity
from balancer.units import Kind


def _within(kind: Kind, low: float, high: float, example: str) -> Any:
    check = quantity(kind, low=low, high=high, example=example)
    return PlainValidator(base_value(check)), amount_schema(example)


Ice = Annotated[float, *_within("temperature", -30, 0, "-18 °C")]
Start = Annotated[float, *_within("temperature", -15, 30, "22 °C")]
Stop = Annotated[float, *_within("temperature", -15, 30, "-2 °C")]
Vessel = Annotated[float, *_within("heat capacity", 0, 1000, "64 J/K")]


class Chill(FileModel):
    """What melts into a drink by what has to be cooled, instead of by the published relation of its method.

        chill: {ice: 120 g, ice temperature: -18 °C, start: 22 °C}     # in house.yaml: for every shaken drink
        chill: {stop: -2 °C}                                           # in a stirred drink: when it is strained

    In house.yaml it stands for every shaken drink. In a drink it goes before the house's, key by key (the loader
    fills in what the drink does not say); in a drink that is not shaken it counts only with a `stop`. What neither
    says is 120 g of ice at 0 °C, a start at 22 °C and 64 J/K. A drink's `dilution` or `weighed` goes before either.

    ice              g of ice that go in
    ice_temperature  0 °C for drained wet ice, that of the freezer for dry ice straight from it
    start            temperature of the pours and the vessel, °C
    vessel           what the vessel, the room and the hands bring, J/K; a calibration
    stop             temperature at which the drink is strained, °C; None: when it gets no colder. Above 0 °C only
                     where something was weighed: the drink, or one that gave the `vessel`
    """

    ice: Mass | None = None
    ice_temperature: Ice | None = Field(None, alias="ice temperature")
    start: Start | None = None
    vessel: Vessel | None = None
    stop: Stop | None = None

    def over(self, other: Chill | None) -> Chill:
        """These values, and those of another where nothing is said here."""
        said = {name: value for name in Chill.model_fields if (value := getattr(self, name)) is not None}
        return self if other is None else other.model_copy(update=said)
