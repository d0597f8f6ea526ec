"""drinks/*.yaml: the specs."""

from __future__ import annotations

from pydantic import Field, PrivateAttr

from balancer.models.chill import Chill
from balancer.models.fields import Brix, FileModel, Flag, Mass, Name, Percent, Text, Texts
from balancer.models.methods import method_of
from balancer.models.pour import Pour


class Weighed(FileModel):
    """One drink on the scale, in g: the pours before ice, and the strained drink."""

    before: Mass
    after: Mass


class Drink(FileModel):
    """One spec. dilution is in % of the mix's volume; None leaves it to the weighing, `chill` or the relation.

    written_for     the strength in °Bx that its pours of a syrup are written for, where that is not the syrup's
                    standard; by the syrup, by its id once loaded
    way             the method that its own word for it means; None for words that the trade has no one meaning for
    usual_dilution  what the house says its method usually adds, in % of the mix's volume; it is not in its file
    """

    name: Name = Field(alias="drink")
    id: Name
    family: Text | None = None
    method: Text
    pours: tuple[Pour, ...]
    written_for: dict[str, Brix] = Field(default_factory=dict, alias="written for")
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
    _usual_dilution: float | None = PrivateAttr(None)

    @property
    def way(self) -> str | None:  # noqa: D102 - above
        return method_of(self.method)

    @property
    def usual_dilution(self) -> float | None:  # noqa: D102 - above
        return self._usual_dilution

    def usually_diluted(self, percent: float | None) -> Drink:
        """The same drink in a house where its method usually adds so much."""
        other = self.model_copy()
        other._usual_dilution = percent
        return other
