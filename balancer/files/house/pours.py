"""The pours of a drink and the parts of a recipe, before validation: text or group of keys, names to ids."""

from __future__ import annotations

from collections.abc import Mapping as Mapping_
from dataclasses import dataclass, field
from types import ModuleType
from typing import Any, Final

from balancer.errors import QuantityError
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.validate import place, plain, report_colon
from balancer.models.names import NameIndex, slug
from balancer.models.pour import RINSE
from balancer.units import Quantity, find_unit, format_number, parse_pour

MOST_PARTS: Final = 100
MOST_GUESSES: Final = 300
_UNSAID: Final = {"pour": Quantity(1.0, "ml"), "of": "-"}
"""Stands for a part that is reported already, so that the model does not report it again."""


@dataclass
class Liquids:
    """What a pour may name.

    called  the name of every id
    folder  the house's, to be named in a remedy
    lost    names that only what the house replaced of its base had: what to do about each, by its slug
    """

    names: NameIndex
    called: dict[str, str]
    folder: str = "specs"
    lost: Mapping_[str, str] = field(default_factory=dict)
    _near: dict[str, str | None] = field(default_factory=dict)
    _offers: dict[tuple[str, bool], str | None] = field(default_factory=dict)

    def called_like(self, text: str) -> str | None:
        """The name most like a text, or None. Guessing is slow, so it ends after some hundred wrong names."""
        near = self.closest(text)
        return None if near is None else self.called.get(near, near)

    def closest(self, text: str) -> str | None:
        """The id whose name is most like a text, or None, as in `called_like`."""
        if text not in self._near and len(self._near) < MOST_GUESSES:
            self._near[text] = self.names.closest(text)
        return self._near.get(text)

    def remedy(self, text: str, *, by_volume: bool) -> str:
        """What to do about a name that the house does not have: what it may mean here, or in the pantry."""
        lost = self.lost.get(slug(text))
        if lost is not None:
            return lost
        near = self.called_like(text)
        usual = f'did you mean "{near}"?' if near else "add it to ingredients/ or syrups/, or mend the name"
        return self.in_pantry(text, near, by_volume=by_volume) or usual

    def in_pantry(self, text: str, near: str | None, *, by_volume: bool) -> str | None:
        """What the pantry has for a name the house lacks, and how to get it; None where near is as likely meant."""
        from balancer.files.house.pantry import pantry_remedy  # noqa: PLC0415 - read only by a house that lacks a name

        asked = (text, by_volume)
        if asked not in self._offers and len(self._offers) < MOST_GUESSES:
            self._offers[asked] = pantry_remedy(text, near, self.names, self.folder, by_volume=by_volume)
        return self._offers.get(asked)


def recipe_data(syrup: Mapping, document: Document) -> Any:
    """The parts of a syrup's recipe as data for the model; names stay as written."""
    return _Reader(document, "1000 g", "granulated sugar").read(syrup, "recipe")


def pour_data(drink: Mapping, liquids: Liquids, document: Document) -> tuple[Any, list[str]]:
    """The pours of a drink as data for the model, with ids for names, and the ids found, in order."""
    reader = _Resolver(document, "22.5 ml", "lime juice", liquids)
    return reader.read(drink, "pours"), list(reader.poured)


@dataclass
class _Reader:
    """Reads the parts one by one; amount and of are an example for its remedies."""

    document: Document
    amount: str
    of: str

    @property
    def example(self) -> str:
        """A part as it should be written."""
        return f"{self.amount} {self.of}"

    def read(self, entry: Mapping, key: str) -> Any:
        """The parts under a key of an entry, which has that key."""
        node = entry.get(key)
        like = f"write one on a line, like - {self.example}"
        if isinstance(node, Sequence) and len(node.items) > MOST_PARTS:
            message = f"{len(node.items)} parts are listed, and {MOST_PARTS} is the most that makes sense"
            self.document.report("too-many", entry.key(key) or entry, message, "split it, or check where the list ends")
            return []
        if isinstance(node, Sequence) and node.items:
            return [self._part(item) for item in node.items]
        if isinstance(node, Sequence) or (isinstance(node, Scalar) and not node.text):
            self.document.report("empty", entry.key(key) or entry, "nothing is listed here", like)
            return []
        if isinstance(node, Mapping) and node.get("pour") is None and node.get("of") is None:
            self.document.report("shape", place(entry, (key,)), "a list is wanted here", like)
            return [_UNSAID]
        return [self._part(node)] if node else []

    def _part(self, item: Node) -> Any:
        if isinstance(item, Scalar):
            return self._text(item)
        if isinstance(item, Mapping):
            return self._group(item)
        self.document.report("shape", item, "a list inside a list", f"write one on a line, like - {self.example}")
        return _UNSAID

    def _group(self, item: Mapping) -> Any:
        of = item.get("of")
        if of is None and item.get("pour") is None and item.entries and (told := self._behind(item)):
            self.document.report("number", item.entries[0][0], *told)
            return _UNSAID
        if of is None and item.get("pour") is None and report_colon(item, self.document):
            return _UNSAID
        data = plain(item)
        if isinstance(of, Scalar) and of.text.strip():
            data["of"] = self.identify(of.text, of, by_volume=_is_volume(data.get("pour")))
        return data

    def _behind(self, item: Mapping) -> tuple[str, str] | None:
        """What is wrong with a name that has its amount behind a colon, "gin: 60 ml"; None for other keys."""
        key, value = item.entries[0]
        if len(item.entries) != 1 or not isinstance(value, Scalar) or not value.text[:1].isdigit():
            return None
        told: tuple[str, str] | None = _slips().pour_slip(f"{key.text}: {value.text}", self.called, self.amount)
        return told

    def _text(self, item: Scalar) -> Any:
        text = " ".join(item.text.split())
        if not text:
            self.document.report("empty", item, "nothing is listed here", f"write it like {self.example}")
            return _UNSAID
        first, _, rest = text.partition(" ")
        if first.casefold() == RINSE:
            return self._part_of(Quantity(1.0, RINSE), rest.removeprefix("of "), item)
        try:
            amount, name = parse_pour(text)
        except QuantityError as error:
            remedy = error.remedy if error.code == "number-ambiguous" else f"write it like {self.example}"
            told = _slips().pour_slip(text, self.called, self.amount) or (error.reason, remedy)
            self.document.report(error.code, item, *told)
            return _UNSAID
        if self.is_unit_missing(amount.unit, name):
            like = f"write the unit, like {format_number(amount.value)} ml lime juice"
            told = _slips().counted_slip(text, self.called, self.amount) or (f'"{text}" has no unit', like)
            self.document.report("unit-missing", item, *told)
            return _UNSAID
        if any(map(str.isnumeric, name)) and not self.is_known(name) and (several := _slips().several_slip(text)):
            self.document.report("several-pours", item, *several)
            return _UNSAID
        return self._part_of(amount, name, item)

    def _part_of(self, amount: Quantity, name: str, item: Scalar) -> Any:
        if not name:
            example = "rinse NAME" if amount.unit == RINSE else self.example
            self.document.report(
                "name-missing", item, f'"{item.text.strip()}" does not say of what', f"write it like {example}"
            )
            return _UNSAID
        return {
            "pour": amount,
            "of": self.identify(name, _name_in(item, name, self.document), by_volume=amount.kind == "volume"),
        }

    def identify(self, text: str, at: Scalar, *, by_volume: bool) -> str:
        """What the model is to hold for a name; here the name itself."""
        del at, by_volume
        return text

    def called(self, text: str) -> str:
        """What the house calls a thing; here the name itself."""
        return text

    def is_known(self, text: str) -> bool:
        """Whether the house has a name, whole; here nobody knows."""
        del text
        return False

    def is_unit_missing(self, unit: str, name: str) -> bool:
        """Whether the word that stands for the unit is rather the beginning of a name."""
        return not unit or (find_unit(unit) is None and not name)


@dataclass
class _Resolver(_Reader):
    """Reads the pours of a drink, each name as the id it means. poured holds where each id was named first."""

    liquids: Liquids
    poured: dict[str, Scalar] = field(default_factory=dict)

    def identify(self, text: str, at: Scalar, *, by_volume: bool) -> str:
        """The id a name means, or the name itself after saying what is wrong with it."""
        names = self.liquids.names
        whole = names.whole(text)
        found = [whole] if whole is not None else []
        comment = "" if at.quoted else self.document.comment(at.end)
        longer = names.find(f"{text} {comment}") if comment else []
        if len(longer) == 1 and longer != found:
            self.document.report(
                "comment", at, f'" #" starts a comment, so "{comment}" is not part of the name',
                f'if it should be, put the whole pour in quotes: "… {text} {comment}"',
            )  # fmt: skip
            return text
        if not found:
            found = names.find(text)
            self._report_unclear(text, found, comment, at, by_volume=by_volume)
            if len(found) == 1:
                self.poured.setdefault(found[0], at)
            return found[0] if len(found) == 1 else text
        first = self.poured.setdefault(found[0], at)
        if first is not at:
            line = self.document.line_number(first.start)
            self.document.report(
                "poured-twice", at, f'"{text}" is poured twice, first in line {line}', "make one pour of the two"
            )
        return found[0]

    def called(self, text: str) -> str:
        """What the house calls a thing, by a name that may be cut short or misspelt."""
        found = self.liquids.names.find(text)
        return self.liquids.called.get(found[0], text) if len(found) == 1 else self.liquids.called_like(text) or text

    def is_known(self, text: str) -> bool:
        """Whether the house has a name, whole."""
        return self.liquids.names.whole(text) is not None

    def is_unit_missing(self, unit: str, name: str) -> bool:
        """Whether the word that stands for the unit is rather the beginning of a name."""
        return not unit or (find_unit(unit) is None and bool(self.liquids.names.find(f"{unit} {name}")))

    def _report_unclear(self, text: str, found: list[str], comment: str, at: Scalar, *, by_volume: bool) -> None:
        if len(found) == 1:
            full = self.liquids.called.get(found[0], found[0])
            remedy = f'write it in full: "{full}"'
            offer = self.liquids.in_pantry(text, full, by_volume=by_volume)
            if offer is not None:
                remedy += f"; if it is another thing, {offer[0].lower()}{offer[1:]}"
            self.document.report("short-name", at, f'"{text}" is short for "{full}"', remedy)
            return
        if found:
            some = " or ".join(f'"{self.liquids.called.get(identity, identity)}"' for identity in found[:4])
            others = " or others" if len(found) > 4 else ""
            self.document.report("ambiguous-name", at, f'"{text}" may be {some}{others}', "write the whole name")
            return
        near = self.liquids.closest(text)
        if near is not None:  # most likely a slip: a drink left out for it is missing wherever that is poured
            self.poured.setdefault(near, at)
        remedy = self.liquids.remedy(text, by_volume=by_volume)
        if comment:
            remedy = f'" #" starts a comment; if "{comment}" belongs to the name, put the whole pour in quotes'
        self.document.report("unknown-name", at, f'no ingredient or syrup is called "{text}"', remedy)


def _is_volume(amount: object) -> bool:
    """Whether a pour in keys of its own is by volume; one that cannot be read is not."""
    try:
        return parse_pour(f"{amount} -")[0].kind == "volume"
    except QuantityError:
        return False


def _name_in(item: Scalar, name: str, document: Document) -> Scalar:
    """The part of a pour that is its name, or the whole of it when it is not written in one piece."""
    end = item.end - 1 if document.text[item.end - 1 : item.end] in ("'", '"') else item.end
    if document.text[:end].endswith(name, item.start):
        return Scalar(name, end - len(name), end, quoted=item.quoted)
    return item


def _slips() -> ModuleType:
    """The module that knows what people jot down: its patterns cost time at every start, and slips are rare."""
    from balancer.models import pour_slips  # noqa: PLC0415 - see above

    return pour_slips
