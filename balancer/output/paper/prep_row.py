"""A row of the prep sheet: who it is about, how much of what, and what is to be heeded; each caution said once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Any

from balancer.engine.drink.cautions import KEEP_APART
from balancer.engine.prep.correct import Correction
from balancer.output.paper.language import Words
from balancer.output.words.numbers import to_weigh, trim

PrepRow = dict[str, Any]


def prep_row(section: str, fields: list[str], words: Words, *, tag: str, what: str, **more: Any) -> PrepRow:
    """A row as the template reads it.

    section   what to do; fields: what is written in by hand
    tag       the batch on the tape; what: the syrup
    facts     of the batch, small below it; drinks: names of those that wait for it
    pours     number, unit and name of what is weighed, large; small: more of them, below
    shows     what the refractometer should read
    lines     what else to know, see `line`
    listed    allergens; unknown: names of what has no list of them
    cautions  numbers of those in the head
    """
    row: PrepRow = {
        "section": words(f"prep.{section}"),
        "note": words(f"prep.{section}-note") if section in ("correct", "make") else "",
        "fields": fields,
        "id": tag,
        "what": what,
        "facts": [],
        "drinks": [],
        "more_drinks": "",
        "pours": [],
        "small": [],
        "shows": "",
        "lines": [],
        "listed": [],
        "unknown": [],
        "cautions": [],
        "instead": {"": words("paper.unshown")},
    }
    return row | more


def line(text: str, weight: str = "plain") -> PrepRow:
    """A line of a row: bold, which nobody should miss, or plain."""
    return {"text": text, "weight": weight}


def poured(number: str, unit: str, name: str, note: str | None = None) -> PrepRow:
    """What is weighed, on the graduated line."""
    return {"number": number, "unit": unit, "name": name, "note": note}


def grams(mass_g: float, words: Words, whole_from_g: float = 10.0) -> tuple[str, str]:
    """A mass as number and unit, as finely as a kitchen weighs."""
    number, _, unit = to_weigh(mass_g, whole_from_g).partition(" ")
    return words.number(number), unit


def shows_text(best: Correction | None, words: Words) -> str:
    """What the refractometer should read, diluted where its range ends before; empty where nothing tells."""
    if best is None:
        return ""
    if best.final_diluted is not None:
        sample, water = trim(best.final_diluted.sample_g, 0), trim(best.final_diluted.water_g, 0)
        reading = words.number(trim(best.final_diluted.reads_brix, 1))
        return words("prep.diluted", sample=sample, water=water, reading=reading)
    if best.final_reading_brix is None:
        return ""
    return words("prep.reads", reading=words.number(trim(best.final_reading_brix, 1)))


def at_standard(best: Correction | None, words: Words) -> str:
    """The same of what should be at its standard."""
    shown = shows_text(best, words)
    return words("prep.at-standard", shown=shown) if shown else ""


def besides(texts: Iterable[str], listed: Collection[str]) -> list[str]:
    """The cautions of a file that the sheet does not say at more length of what holds listed allergens."""
    return [text for text in texts if not (listed and text.casefold() == KEEP_APART)]


class PrepCautions:
    """The cautions of a sheet: each text once and numbered in the order met, with the rows it is about."""

    def __init__(self, words: Words) -> None:
        self._words = words
        self._rows: dict[str, list[str]] = {}

    def of(self, name: str, texts: Iterable[str]) -> list[int]:
        """The numbers of the cautions that hold for a row, which is named beside them."""
        numbers = []
        for text in texts:
            names = self._rows.setdefault(text, [])
            names += [name] if name not in names else []
            numbers.append(list(self._rows).index(text) + 1)
        return numbers

    def allergens(self, name: str, listed: Sequence[str], unknown: Sequence[str]) -> PrepRow:
        """What a row says of allergens; those listed are kept apart."""
        return {
            "listed": [self._words.allergen(allergen) for allergen in listed],
            "unknown": list(unknown),
            "cautions": self.of(name, [self._words("prep.apart")] if listed else []),
        }

    def listed(self) -> list[dict[str, Any]]:
        """The cautions as the head has them."""
        return [
            {"number": str(number), "caution": text, "rows": names}
            for number, (text, names) in enumerate(self._rows.items(), 1)
        ]
