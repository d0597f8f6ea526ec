"""A question about a reading: what was read, what the instrument shows, and how strong that is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, NamedTuple
from urllib.parse import urlencode

from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.batch.events import batch_in_house, batch_of_id
from balancer.engine.batch.notes import in_house
from balancer.engine.drink.amount import Amount
from balancer.engine.prep.measure import Judged, judge, open_batch_of
from balancer.engine.prep.readings import Diluted, Readings, house_readings
from balancer.errors import BalancerError, UsageError
from balancer.models.batch import Batch
from balancer.web.house import sorted_by_name
from balancer.web.render import batch_link
from balancer.web.typed import Typed, in_unit

BATCH: Final = "batch:"
LIQUID: Final = "liquid:"
BY_ACID: Final = "it goes by its acid, which no refractometer tells: titrate it"


class CanBeRead(NamedTuple):
    """Something that can be read: its value in the form, and how it is shown."""

    value: str
    name: str


@dataclass(slots=True)
class ReadingAsked:
    """One question: the form, what it is about, and the answer where there is one."""

    desk: Desk
    typed: Typed
    syrup_id: str | None = None
    batch: Batch | None = None
    judged: Judged | None = None

    @property
    def query(self) -> str:
        """The question as the end of an address."""
        names = ("what", "reading", "temperature", "dilute", "sample", "water", "acid")
        return urlencode({name: self.typed.text(name) for name in names if self.typed.text(name)})


def elsewhere(desk: Desk, what: str) -> str:
    """Where something that goes by its acid is logged; empty for a syrup."""
    kind, name = what.partition(":")[::2]
    if f"{kind}:" == BATCH:
        found = batch_of_id(desk.batches, name)
        return f"{batch_link(found.id)}#reading" if found and found.liquid in desk.specs.ingredients else ""
    if f"{kind}:" == LIQUID and name in desk.specs.ingredients:
        return f"/batches/new?{urlencode({'liquid': name})}"
    return ""


NOTATION: Final = "notation"
"""The field of a reading that a number pad cannot type: several, or on another scale."""


def asked_of(desk: Desk, typed: Typed) -> ReadingAsked:
    """A form understood and judged; what is wrong stands at its fields."""
    if typed.text(NOTATION) and not typed.text("reading"):
        typed.fields = {**typed.fields, "reading": typed.text(NOTATION), NOTATION: ""}
    asked = ReadingAsked(desk, typed)
    _find(asked)
    others = {} if asked.syrup_id is None else desk.in_use.strengths
    try:
        readings = _readings(asked)
        if readings is None or typed.wrong:
            return asked
        asked.judged = judge(desk.bar, asked.syrup_id, readings, batch=asked.batch, others=others, day=desk.today)
    except UsageError as error:
        typed.refuse("temperature", error)
    except BalancerError as error:
        typed.refuse("reading", error)
    return asked


def _find(asked: ReadingAsked) -> None:
    """What was read: a batch or a syrup."""
    desk, what = asked.desk, asked.typed.text("what")
    kind, name = what.partition(":")[::2]
    try:
        if f"{kind}:" == BATCH:
            asked.batch = batch_in_house(desk.batches, desk.specs, name, desk.today)
            asked.syrup_id = asked.batch.liquid
        elif f"{kind}:" == LIQUID:
            asked.syrup_id = name
            asked.batch = open_batch_of(desk.batches, name, desk.today)
    except BalancerError as error:
        asked.typed.refuse("what", error)
    if what and asked.syrup_id in desk.specs.ingredients:
        asked.typed.refuse("what", BY_ACID)
    if what and not asked.typed.wrong and asked.syrup_id not in desk.specs.syrups:
        asked.typed.refuse("what", "no file that loaded says what this is: choose another")


def _readings(asked: ReadingAsked) -> Readings | None:
    """What was read and how; None where nothing was, or something is wrong with it."""
    typed, house = asked.typed, asked.desk.house
    seen = typed.take("reading", values.several)
    celsius = typed.take("temperature", in_unit(values.temperature, "C"))
    acid = typed.take("acid", in_unit(values.concentration, "g/kg"))
    diluted = _diluted(typed)
    if "reading" in typed.fields and not typed.text("reading"):
        typed.refuse("reading", "give what the refractometer reads, like 54")
    if seen is None or typed.wrong:
        return None
    return replace(house_readings(house, seen, celsius), diluted=diluted, acid=acid)


def _diluted(typed: Typed) -> Diluted | None:
    """Sample and water, both weighed; None where it was read as it is."""
    if typed.text("dilute") != "yes":
        return None
    found = []
    for name in ("sample", "water"):
        grams = typed.take(name, in_unit(values.mass, "g"))
        if grams is None:
            typed.refuse(name, "weigh it, and write its weight")
        else:
            found.append(Amount(grams, "g"))
    return Diluted(*found) if len(found) == 2 else None


def choices(desk: Desk) -> list[tuple[str, list[CanBeRead]]]:
    """What can be read, those first that wait for it: open and made batches, then what has none."""
    here = in_house(desk.batches)
    syrups = [batch for batch in here if batch.liquid in desk.specs.syrups]
    juices = [batch for batch in here if batch.liquid in desk.specs.ingredients]
    have = {batch.liquid for batch in here}
    sour = [one for one in sorted_by_name(desk.specs.ingredients) if one.acid and one.acid.value and one.id not in have]
    groups: list[tuple[str, list[CanBeRead]]] = [
        ("Open", [_choice(desk, batch) for batch in syrups if batch.state == "open"]),
        ("Not yet open", [_choice(desk, batch) for batch in syrups if batch.state == "made"]),
        (
            "No batch yet",
            [
                CanBeRead(f"{LIQUID}{one.id}", one.name)
                for one in sorted_by_name(desk.specs.syrups)
                if one.id not in have
            ],
        ),
        (
            "By acid, titrated",
            [
                *(_choice(desk, batch) for batch in juices),
                *(CanBeRead(f"{LIQUID}{one.id}", one.name) for one in sour),
            ],
        ),
    ]
    return [group for group in groups if group[1]]


def _choice(desk: Desk, batch: Batch) -> CanBeRead:
    return CanBeRead(f"{BATCH}{batch.id}", f"{batch.id} {desk.specs.name_of(batch.liquid)}")
