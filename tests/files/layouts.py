"""Seven layouts of twenty-five invented drinks, written as bars write their sheets, from data that is kept beside.

The same number always makes the same sheet. What was written is the oracle: nothing here reads a sheet. Two drinks of
each sheet hold what nobody can read as an amount, and have to be told.
"""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

COUNT: Final = 25
SPOILT: Final = 2
GLASSES: Final = "glasses: {coupe: 500 ml, nick and nora: 500 ml, rocks: 500 ml, highball: 500 ml}\n"
"""Large ones, so that no drink of chance is doubted for its glass."""

TOP_ML: Final = 90.0

_FIRST: Final = ("Tin", "Marsh", "Reed", "Slack", "Heron", "Copper", "Quay", "Lantern", "Fog", "Ebb", "Salt", "Gull")
_LAST: Final = ("Sour", "Fizz", "Light", "Song", "Bell", "Tide", "Signal", "Cooler", "Hitch", "Wharf", "Smoke", "Kite")

KINDS: Final = {
    "spirit": ("gold rum", "dry gin", "rye whiskey"),
    "modifier": ("white vermouth", "herbal liqueur"),
    "sour": ("lime juice", "lemon juice"),
    "sweet": ("plain syrup", "berry syrup", "honey syrup"),
    "bitters": ("aromatic bitters",),
    "top": ("soda water",),
}
SAID: Final = {
    "dry gin": ("dry gin", "Dry Gin", "Gin"),
    "lime juice": ("lime juice", "Lime juice (fresh)", "fresh lime juice", "Lime"),
    "lemon juice": ("lemon juice", "lemon juice, fresh", "Lemon Juice", "Lemon"),
    "plain syrup": ("plain syrup", "Simple"),
    "aromatic bitters": ("aromatic bitters", "Aromatic Bitters", "house bitters"),
    "soda water": ("soda water", "Soda"),
}
"""What bars write for a thing; what the house does not answer to is in the map."""

MAP: Final = """\
unit: ml
top: 90 ml
ingredients: {Gin: dry gin, Lime: lime juice, Lemon: lemon juice, Simple: plain syrup, Soda: soda water,
              house bitters: aromatic bitters, Rum: gold rum, Rye: rye whiskey}
glasses: {Collins: highball}
"""
METHODS: Final = (
    ("shake", "shaken", "shake"),
    ("Shake & double strain", "shaken", "Shake & double strain"),
    ("Stir and strain", "stirred", "Stir and strain"),
    ("BUILD", "built", "BUILD"),
    ("Blend", "blended", "Blend"),
    ("throw", "thrown", "throw"),
    ("smoke under a cloche", None, "smoke under a cloche"),
    ("Shake hard, fine strain into a chilled coupe.", "shaken", "Shake hard, fine strain"),
)
"""What is written, the method that it means, and the words that are kept."""

GLASS: Final = (
    ("coupe", "coupe"), ("chilled coupe", "coupe"), ("Coupe glass", "Coupe glass"), ("N&N", "nick and nora"),
    ("Collins", "highball"), ("rocks", "rocks"), ("", None),
)  # fmt: skip
GARNISH: Final = ("lime wheel", "lemon twist", "")
UNREADABLE: Final = ("juice of half", "3-Apr", "some", "1,000", "2-3")


@dataclass
class Pour:
    """One pour. A topping without an amount has no value."""

    kind: str
    of: str
    value: float | None
    unit: str
    unreadable: str = ""

    @property
    def expected(self) -> tuple[float, str, str, bool]:
        """Amount, unit, ingredient's id, and whether it tops."""
        is_top = self.kind == "top"
        value, unit = (TOP_ML, "ml") if self.value is None else (self.value, self.unit)
        return value, unit, self.of.replace(" ", "-"), is_top


@dataclass
class Drink:
    """One drink as it is meant, and as its method and glass are written."""

    name: str
    pours: list[Pour]
    method: tuple[str, str | None, str]
    glass: tuple[str, str | None]
    garnish: str
    notes: str = ""

    @property
    def is_sound(self) -> bool:
        """Whether everything of it can be read."""
        return not any(pour.unreadable for pour in self.pours)


@dataclass
class Sheet:
    """One sheet, the map it comes in with, and what it means."""

    text: str
    map: str
    drinks: list[Drink] = field(default_factory=list)


def drinks(chance: random.Random) -> list[Drink]:
    """Twenty-five drinks, no two of one name."""
    names = chance.sample([f"{first} {last}" for first in _FIRST for last in _LAST], COUNT)
    found = []
    for name in names:
        kinds = ["spirit", "sour", "sweet"]
        kinds += [kind for kind in ("modifier", "bitters", "top") if chance.random() < 0.5]
        pours = [_pour(kind, chance) for kind in sorted(kinds, key=list(KINDS).index)]
        found.append(
            Drink(name, pours, chance.choice(METHODS), chance.choice(GLASS), chance.choice(GARNISH), "as on the menu")
        )
    for drink in chance.sample(found, SPOILT):
        next(pour for pour in drink.pours if pour.kind == "sour").unreadable = chance.choice(UNREADABLE)
    return found


def _pour(kind: str, chance: random.Random) -> Pour:
    of = chance.choice(KINDS[kind])
    if kind == "bitters":
        return Pour(kind, of, float(chance.choice((1, 2, 3))), "dash")
    if kind == "top":
        return Pour(kind, of, chance.choice((None, 60.0, 120.0)), "ml")
    if chance.random() < 0.4:
        return Pour(kind, of, chance.choice((0.5, 0.75, 1.0, 1.5, 2.0)), "oz")
    return Pour(kind, of, chance.choice((7.5, 10.0, 15.0, 22.5, 30.0, 45.0, 60.0)), "ml")


def amount(pour: Pour, chance: random.Random, *, bare: bool) -> str:
    """An amount as somebody writes it; bare amounts are in ml."""
    if pour.unreadable:
        return pour.unreadable
    if pour.value is None:
        return chance.choice(("top", "Top up", "TOP"))
    if pour.unit == "dash":
        word = chance.choice((" dashes", "d", " d", " dash"))
        return f"{pour.value:g}{word}"
    if pour.unit == "oz":
        spelt = {0.5: ("½", "1/2", ".5"), 0.75: ("¾", "3/4", ".75"), 1.0: ("1",), 1.5: ("1½", "1 1/2"), 2.0: ("2",)}
        return f"{chance.choice(spelt[pour.value])}{chance.choice((' oz', 'oz'))}"
    number = f"{pour.value:g}"
    number = number.replace(".", chance.choice((".", ",")))
    if bare and chance.random() < 0.6:
        return number
    return f"{number}{chance.choice((' ml', 'ml', ' mL'))}"


def called(pour: Pour, chance: random.Random) -> str:
    """A name as somebody writes it."""
    return chance.choice(SAID.get(pour.of, (pour.of, pour.of.title())))


def whole(pour: Pour, chance: random.Random) -> str:
    """A whole pour in one text."""
    name = called(pour, chance)
    if pour.kind == "top" and not pour.unreadable:
        if pour.value is None:
            return chance.choice((f"top {name}", f"top with {name}", f"Top up with {name}"))
        said = amount(pour, chance, bare=False)
        return chance.choice((f"top with {said} {name}", f"{said} {name} (top)", f"{said} {name}, to top"))
    said = amount(pour, chance, bare=False)
    return f"{said} {name}" if chance.random() < 0.85 or pour.unreadable or "," in name else f"{name}: {said}"


def _cells(pour: Pour, chance: random.Random) -> tuple[str, str]:
    """The amount and the name of a pour in cells of their own; what tops with an amount says so in its name."""
    name = called(pour, chance)
    if pour.kind == "top" and pour.value is not None:
        name = f"{name} (top)"
    return amount(pour, chance, bare=True), name


def _prepared(drink: Drink, *, garnish_in_method: bool) -> tuple[str, str]:
    """The cells of the method and the garnish; the garnish may stand in the method."""
    if garnish_in_method and drink.garnish:
        return f"{drink.method[0].rstrip('.')}. Garnish: {drink.garnish}", ""
    return drink.method[0], drink.garnish


def _csv(rows: list[list[str]], delimiter: str) -> str:
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue()


def long_list(chance: random.Random) -> Sheet:
    """A row for each pour below a title, the name merged over its rows, parted by semicolons."""
    found = drinks(chance)
    rows = [["Autumn specs"], [], ["Cocktail", "Ingredient", "Qty", "Technique", "Glassware", "Garnish", "Bar notes"]]
    for drink in found:
        method, garnish = _prepared(drink, garnish_in_method=chance.random() < 0.3)
        for index, pour in enumerate(drink.pours):
            said, name = _cells(pour, chance)
            about = [method, drink.glass[0], garnish, drink.notes] if not index else ["", "", "", ""]
            rows.append([drink.name if not index else "", name, said, *about])
        rows += [[]] * chance.choice((0, 0, 1, 2))
    return Sheet(_csv(rows, ";"), MAP, found)


def numbered(chance: random.Random) -> Sheet:
    """A row for each drink, with numbered columns of ingredients and amounts."""
    found = drinks(chance)
    head = ["Drink name", *(f"{word} {n}" for n in range(1, 7) for word in ("Ingredient", "Amount")), "Method", "Glass"]
    rows = [[*head, "Garnish", "Cost"]]
    for drink in found:
        method, garnish = _prepared(drink, garnish_in_method=chance.random() < 0.3)
        cells = [cell for pour in drink.pours for cell in reversed(_cells(pour, chance))]
        cells += [""] * (12 - len(cells))
        rows.append([drink.name, *cells, method, drink.glass[0], garnish, "2.40"])
        rows += [[]] * chance.choice((0, 0, 1))
    return Sheet(_csv(rows, ","), MAP, found)


def by_ingredient(chance: random.Random) -> Sheet:
    """A column for each ingredient, headed by its name, below a title and a blank row."""
    found = drinks(chance)
    heads = {
        "gold rum": "Rum", "dry gin": "Gin", "rye whiskey": "Rye", "white vermouth": "white vermouth",
        "herbal liqueur": "Herbal liqueur", "lime juice": "Lime juice (fresh)", "lemon juice": "Lemon",
        "plain syrup": "Simple", "berry syrup": "Berry Syrup", "honey syrup": "honey syrup",
        "aromatic bitters": "Aromatic bitters (dashes)", "soda water": "Soda",
    }  # fmt: skip
    rows = [["The bar book"], [], ["Cocktail", *heads.values(), "Method", "Glass", "Garnish", "Cost"]]
    for drink in found:
        method, garnish = _prepared(drink, garnish_in_method=chance.random() < 0.3)
        said: dict[str, str] = {}
        for pour in drink.pours:
            text = amount(pour, chance, bare=True)
            if pour.kind == "bitters":
                text = chance.choice((text, f"{pour.value:g}"))
            said[pour.of] = f"top {text}" if pour.kind == "top" and pour.value is not None else text
        rows.append([drink.name, *(said.get(of, "") for of in heads), method, drink.glass[0], garnish, "3.10"])
        drink.pours.sort(key=lambda pour: list(heads).index(pour.of))
        rows += [[]] * chance.choice((0, 0, 1))
    return Sheet(_csv(rows, chance.choice(",;\t")), MAP, found)


def blocks(chance: random.Random) -> Sheet:
    """A block for each drink, blank lines between, no headings and nothing in quotes."""
    found = drinks(chance)
    lines = ["AUTUMN MENU", ""]
    for drink in found:
        method, garnish = _prepared(drink, garnish_in_method=chance.random() < 0.3)
        lines.append(drink.name)
        bullet = chance.choice(("", "", "- ", "• "))
        lines += [f"{bullet}{whole(pour, chance)}" for pour in drink.pours]
        lines.append(f"Method: {method}")
        lines += [f"Glass: {drink.glass[0]}"] if drink.glass[0] else []
        lines += [f"Garnish: {garnish}"] if garnish else []
        lines += [""] * chance.choice((1, 1, 2))
    return Sheet("\n".join(lines) + "\n", MAP, found)


def _roles(chance: random.Random, *, paired: bool) -> Sheet:
    found = drinks(chance)
    head = {"spirit": "Spirit", "modifier": "Modifier", "sour": "Sour", "sweet": "Sweet", "bitters": "Bitters",
            "top": "Top"}  # fmt: skip
    columns = [word for kind in head for word in ([head[kind], "Amount"] if paired else [head[kind]])]
    rows = [["Cocktail", *columns, "Method", "Glass", "Garnish", "Notes"]]
    for drink in found:
        method, garnish = _prepared(drink, garnish_in_method=chance.random() < 0.3)
        cells = []
        for kind in head:
            pour = next((one for one in drink.pours if one.kind == kind), None)
            if pour is None:
                cells += ["", ""] if paired else [""]
            elif paired:
                cells += reversed(_cells(pour, chance))
            else:
                cells.append(whole(pour, chance))
        rows.append([drink.name, *cells, method, drink.glass[0], garnish, drink.notes])
        drink.pours.sort(key=lambda pour: list(head).index(pour.kind))
        rows += [[]] * chance.choice((0, 0, 1))
    return Sheet(_csv(rows, chance.choice(",;")), MAP, found)


def roles(chance: random.Random) -> Sheet:
    """A column for each role, with whole pours in it."""
    return _roles(chance, paired=False)


def paired_roles(chance: random.Random) -> Sheet:
    """A column for each role, with the amount in the column behind."""
    return _roles(chance, paired=True)


def one_cell(chance: random.Random) -> Sheet:
    """All pours in one cell, on lines of their own or parted by semicolons."""
    found = drinks(chance)
    rows = [["Recipe book", ""], ["Name", "Spec", "Method", "Glass", "Garnish"]]
    for drink in found:
        method, garnish = _prepared(drink, garnish_in_method=chance.random() < 0.3)
        between = chance.choice(("\n", "; "))
        rows.append([drink.name, between.join(whole(p, chance) for p in drink.pours), method, drink.glass[0], garnish])
        rows += [[]] * chance.choice((0, 0, 1))
    return Sheet(_csv(rows, chance.choice(",;")), MAP, found)


LAYOUTS: Final[dict[str, Callable[[random.Random], Sheet]]] = {
    "a row for each pour": long_list,
    "numbered columns": numbered,
    "a column for each ingredient": by_ingredient,
    "blocks": blocks,
    "role columns": roles,
    "role columns with amounts beside": paired_roles,
    "all pours in one cell": one_cell,
}


def sheet(layout: str, number: int) -> Sheet:
    """A sheet of a layout; the same number makes the same one."""
    return LAYOUTS[layout](random.Random(f"{layout} {number}"))  # noqa: S311 - the same every time is what is wanted
