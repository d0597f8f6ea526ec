"""The label of a bottled drink: what it says, all of it from the one answer that `bottle` gives."""

from __future__ import annotations

from datetime import date

from balancer.engine.service.bottle import FREEZER_HEADSPACE_PERCENT, Bottle
from balancer.engine.service.bottle_serve import LeftOut
from balancer.models.house import House
from balancer.output.paper.label_print import LabelFact, LabelText, day_on_label, keep_at
from balancer.output.paper.language import Words
from balancer.output.words.amounts import large_volume
from balancer.output.words.bottle import from_batches
from balancer.output.words.known import known_number
from balancer.output.words.numbers import trim
from balancer.output.words.page import house_volume
from balancer.units import format_quantity


def bottle_label(result: Bottle, house: House, mixed: date, words: Words) -> LabelText:
    """What is read from a shelf away is what to pour for a serve, and the last day."""
    return LabelText(
        key=result.drink.name,
        title=result.drink.name,
        big=LabelFact(words("label.serve"), words.number(house_volume(result.serve_ml, house))),
        details=[*_from(result, words), _holds(result, house, words), *_ice(result, words)],
        facts=[
            LabelFact(words("label.alcohol"), _alcohol(result, words)),
            *_same_day(result, words),
            *_at_service(result, words),
            LabelFact(words("label.made"), day_on_label(mixed, mixed, words)),
        ],
        use_by=day_on_label(result.last_day, mixed, words) if result.last_day else None,
        listed=[*map(words.allergen, result.allergens), *_added(result, words)],
        unknown=[*result.allergens_unknown, *(item.name for item in result.left_out if item.allergens_unknown)],
        cautions=[_caution(name, text, words) for name, text in result.cautioned],
        storage=keep_at(house.storage, words),
        care=_freezer(result, words),
        dense=True,
    )


def _holds(result: Bottle, house: House, words: Words) -> LabelFact:
    number, volume = trim(result.serves, 1), words.number(large_volume(result.whole.volume_ml, house))
    key = "label.one-serve" if number == "1" else "label.serves"
    return LabelFact(words("label.holds"), words(key, volume=volume, number=words.number(number)))


def _from(result: Bottle, words: Words) -> list[LabelFact]:
    ids = words.row(from_batches(result))
    return [LabelFact(words("label.from"), ids)] if ids else []


def _alcohol(result: Bottle, words: Words) -> str:
    """Its ABV as far as it is known; never 0 where it is not."""
    number = known_number(trim(result.whole.abv_percent, 1), least=result.is_least("abv"), unknown="")
    return words("label.abv", number=words.number(number)) if number else words("label.abv-unknown")


def _ice(result: Bottle, words: Words) -> list[LabelFact]:
    """That the water of its ice is in the bottle, where it is."""
    melts = any(line.is_melt for line in result.lines)
    return [LabelFact(words("label.water-in"), words("label.water-in-it"))] if melts else []


def _same_day(result: Bottle, words: Words) -> list[LabelFact]:
    if not result.sour:
        return []
    return [LabelFact(words("label.same-day"), words("label.same-day-in", names=words.row(result.sour)))]


def _at_service(result: Bottle, words: Words) -> list[LabelFact]:
    """What is not in the bottle."""
    if not result.left_out:
        return []
    what = "; ".join(left_out(item, words) for item in result.left_out)
    return [
        LabelFact(words("label.at-service"), words("label.add-shaken" if result.perishable else "label.add", what=what))
    ]


def left_out(item: LeftOut, words: Words) -> str:
    """A pour that is not in the bottle, for one serve, and what it brings for guests who may not have it."""
    listed = words.row(words.allergen(name) for name in item.allergens or ())
    brings = words.row([*filter(None, [listed]), *[words("label.allergens-unknown")] * item.allergens_unknown])
    if item.why == "egg or dairy":
        said = words("label.left-serve", what=words.number(f"{format_quantity(item.amount)} {item.name}"))
        return f"{said} ({brings})" if brings else said
    return f"{item.name} ({words.row([words(f'label.left-{item.why}'), *([brings] if brings else [])])})"


def _added(result: Bottle, words: Words) -> list[str]:
    """What is listed only of what goes in at service."""
    later = {name: None for item in result.left_out for name in item.allergens or () if name not in result.allergens}
    return [words("label.added", allergen=words.allergen(name)) for name in later]


def _caution(name: str, text: str, words: Words) -> str:
    said = words.caution(text)
    return said if said != text else f"{name}: {text}"


def _freezer(result: Bottle, words: Words) -> str:
    """That it may burst in a freezer, where ice forms in it, or nobody knows."""
    return "" if result.freezes == "no" else words("label.freezer", percent=trim(FREEZER_HEADSPACE_PERCENT, 0))
