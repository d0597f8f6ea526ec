"""What is to be said of anything that is poured or weighed: as its file says, and what holds in any bar."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final, Literal, NamedTuple

from balancer.components import ETHANOL, WATER
from balancer.engine.drink.doubts import MOST_JUICE_ACID_G_PER_L
from balancer.engine.drink.liquid import Liquid
from balancer.models.syrup import Syrup

RAW_EGG: Final = "raw egg"
STRONG_ACID: Final = "strong acid: protect your eyes; add it to water, never water to it"
ACID_POWDER: Final = "acid powder hurts eyes and lungs: add it to water, never water to it"
POWDER_STINGS: Final = "the powder stings eyes and lungs"
KEEP_APART: Final = "keep its bottle and jigger apart from the others"
"""As the pantry and files have them: the prep sheet says the same at more length, of acid powder and of allergens."""

_MOST_WATER_OF_A_POWDER: Final = 0.09
"""g/g; crystals of citric acid monohydrate are 8.6 % water, lactic acid is sold with 10 % and more."""

_EGG: Final = re.compile(r"\begg(s|white|whites|yolk|yolks)?\b", re.IGNORECASE)
_EYES: Final = re.compile(r"\beyes?\b", re.IGNORECASE)

AcidForm = Literal["powder", "liquid"]


class DrinkCaution(NamedTuple):
    """Something to say with a drink, and of what; an extra has no id but its text."""

    id: str
    name: str
    text: str


def strong_acid(liquid: Liquid) -> AcidForm | None:
    """How something comes that is sourer than any juice, and so handled as an acid; None for everything else.

    Citric solution for the bar holds about 250 g/l, lactic acid is sold at 80 % and more (common practice).
    """
    if 1000.0 * liquid.acid_per_g * (liquid.density or 1.0) <= MOST_JUICE_ACID_G_PER_L:
        return None
    is_dry = liquid.per_g[WATER] < _MOST_WATER_OF_A_POWDER and not liquid.per_g[ETHANOL]
    return "powder" if is_dry else "liquid"


def cautions(liquid: Liquid) -> tuple[str, ...]:
    """What to say with a liquid or powder: as its file says and, where that leaves it out, of egg and strong acid."""
    own = liquid.cautions
    found = [RAW_EGG] if leaves_out_egg(liquid, own) else []
    form = strong_acid(liquid)
    if form is not None and not any(_EYES.search(text) for text in own):
        found.append(ACID_POWDER if form == "powder" else STRONG_ACID)
    return (*own, *found)


def drink_cautions(poured: Iterable[Liquid], extras: Iterable[str]) -> tuple[DrinkCaution, ...]:
    """What to say with everything that is in a drink, in the spec's order, each once; of extras that they are egg."""
    found = [DrinkCaution(liquid.id, liquid.name, text) for liquid in poured for text in cautions(liquid)]
    found += [DrinkCaution(text, text, RAW_EGG) for text in extras if names_egg([text])]
    return tuple(dict.fromkeys(found))


def leaves_out_egg(source: Liquid | Syrup, said: Sequence[str]) -> bool:
    """Whether something has egg by its allergens, or by its name where they are not all listed, and nothing said does.

    said  the cautions that are given with it
    """
    named = [*([source.name] if source.allergens_unknown else []), *(source.allergens or ())]
    return names_egg(named) and not names_egg(said)


def names_egg(texts: Sequence[str]) -> bool:
    """Whether egg is named in some texts; eggplant is none."""
    return any(_EGG.search(text) for text in texts)
