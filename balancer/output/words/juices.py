"""Words of a juice that is off tonight, in a drink that pours it."""

from __future__ import annotations

from collections.abc import Iterable

from balancer.engine.service.drink_tonight import BottlePour, DrinkTonight
from balancer.models.house import House
from balancer.output.words.amounts import change_of
from balancer.output.words.tonight import acid_text


def still_applies(found: DrinkTonight, house: House, besides: Iterable[str] = ()) -> list[str]:
    """The juices of a drink that pour a new amount tonight, a sentence each, for an answer that takes them as written.

    besides  ids of what that answer itself pours otherwise
    """
    left = {*besides}
    return [
        f"{bottle.batch.id} {pour.part.liquid.name}: tonight {change_of(bottle.written, bottle.poured, house)}"
        " still applies"
        for pour in found.pours
        if pour.part.pour.of not in left
        for bottle in pour.bottles[:1]
        if bottle.batch and bottle.juice and bottle.state == "new pour"
    ]


def juice_why(bottle: BottlePour, house: House) -> str:
    """Why a juice is poured so; empty of what is none."""
    if bottle.juice is None or bottle.batch is None:
        return ""
    lead = f"{bottle.batch.id}: {acid_text(bottle.juice)}"
    if bottle.state != "new pour":
        return f"{lead}, poured as written"
    return f"{lead}, so {change_of(bottle.written, bottle.poured, house)} keeps the drink as sour"
