"""How strong the syrups of an answer were taken to be: for the spec, or for tonight."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from balancer.engine.drink.liquid import Liquid
from balancer.engine.swaps.at import At, Strength
from balancer.output.words.numbers import brix, some

FOR_THE_SPEC: Final = "for the spec"
_MOST: Final = 4

Concerned = Iterable[tuple[Liquid, Strength]]
"""Syrups, and how strong each was taken to be."""


def for_what(at: At, concerned: Concerned) -> str:
    """What an answer is for: the spec, or tonight with the batches that count."""
    if not at.is_tonight:
        return FOR_THE_SPEC
    read = [f"{strength.batch} {brix(strength.brix)}" for _, strength in concerned if strength.batch]
    return f"for tonight, {some(read, _MOST)}" if read else "for tonight"


def assumed(at: At, concerned: Concerned) -> list[str]:
    """Whose strength nobody read tonight, so that it stands at its standard; nothing for the spec."""
    if not at.is_tonight:
        return []
    unread = [liquid for liquid, strength in concerned if not strength.batch and liquid.id != at.made_up]
    return [_assumed(at, liquid) for liquid in unread]


def open_too(concerned: Concerned) -> list[str]:
    """What else is open of a syrup, and which batch counts."""
    rows = [strength for _, strength in concerned if strength.also_open and strength.batch]
    return [f"{some(each.also_open, 3)} open too: {each.batch} counts" for each in rows]


def batch_note(strength: Strength | None) -> str:
    """The batch that was read, and its strength, behind a name; nothing at standard."""
    return f" ({strength.batch}, {brix(strength.brix)})" if strength and strength.batch else ""


def strengths_data(at: At, concerned: Concerned) -> dict[str, Any]:
    """The same as JSON."""
    return {
        "at": at.setting,
        "strengths": [
            {
                "syrup": liquid.id,
                "brix": strength.brix,
                "batch": strength.batch,
                "also_open": list(strength.also_open),
                "past": list(at.past.get(liquid.id, ())),
            }
            for liquid, strength in concerned
        ],
    }


def _assumed(at: At, liquid: Liquid) -> str:
    past, unbelieved = at.past.get(liquid.id, ()), at.unbelieved.get(liquid.id, ())
    if past:
        return f"{liquid.name}: {' and '.join(past)} past its last day, assumed at standard"
    if unbelieved:
        return f"{liquid.name}: {' and '.join(unbelieved)} too far off to believe, assumed at standard"
    return f"{liquid.name}: not read, assumed at standard"
