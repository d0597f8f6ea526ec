"""drinks/*.yaml: the specs."""

from __future__ import annotations

from pydantic import Field

from balancer.models.chill import Chill
from balancer.models.fields import FileModel, Flag, Mass, Name, Percent, Text, Texts
from balancer.models.pour import Pour


class Weighed(FileModel):
    """One drink on the scale, in g: the pours before ice, and the strained drink."""

    before: Mass
    after: Mass


class Drink(FileModel):
    """One spec. dilution is in % of the mix's volume; None leaves it to the weighing, `chill` or the relation."""

    name: Name = Field(alias="drink")
    id: Name
    family: Text | None = None
    method: Text
    pours: tuple[Pour, ...]
    dilution: Percent | None = None
    weighed: Weighed | None = None
    chill: Chill | None = None
    glass: Text | None = None
    ice: Text | None = None
    strain: Text | None = None
    time: Text | None = None
    garnish: Text | None = None
    steps: Texts = ()
    extras: Texts = ()
    zero_proof: Flag = Field(False, alias="zero proof")
    notes: Texts = ()
    version: Text | None = None
    date: Text | None = None
    by: Text | None = None
