"""The words on paper: every language says all of it, and nothing else is said."""

from __future__ import annotations

import ast
import re
import string
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import CardCaution, card
from balancer.engine.drink.cautions import ACID_POWDER, RAW_EGG, STRONG_ACID
from balancer.files.house.load import load
from balancer.models.look import PrintLook
from balancer.output.paper import language
from balancer.output.paper.cards import SIZES, card_item, cards_page
from balancer.output.paper.imposition import Size, alone
from balancer.output.paper.language import FOLDER, languages, words_of
from balancer.output.paper.typeset import TEMPLATES, typeset
from tests import pdf
from tests.cli.runner import CHECKOUT

PAPER = Path(language.__file__).parent
PANTRY = CHECKOUT / "balancer" / "pantry"
AT = datetime(2026, 11, 25, tzinfo=UTC)
DAY = date(2026, 11, 25)
LOOKED_UP = {"unit", "allergen", "caution", "date", "number", "list", "method", "word"}
"""Sections whose keys stand for what a bar writes, or are read by name in language.py."""


def table(name: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def entries(part: dict[str, Any], path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    for key, value in part.items():
        if isinstance(value, dict):
            yield from entries(value, (*path, key))
        else:
            yield (*path, key), value


def fields(value: Any) -> set[str | None]:
    texts = value if isinstance(value, list) else [value]
    return {name for text in texts for _, name, _, _ in string.Formatter().parse(text)} - {None}


def pantry() -> Iterator[dict[str, Any]]:
    for path in sorted(PANTRY.glob("*.yaml")):
        found = YAML(typ="safe", pure=True).load(path.read_text(encoding="utf-8"))
        yield from found if isinstance(found, list) else [found]


def test_there_are_two_languages_at_least() -> None:
    assert {"de", "en"} <= set(languages())


@pytest.mark.parametrize("name", languages())
def test_every_language_has_the_same_keys_and_places_to_fill_in(name: str) -> None:
    english, other = dict(entries(table("en"))), dict(entries(table(name)))
    assert set(other) == set(english)
    assert {key: fields(value) for key, value in other.items()} == {
        key: fields(value) for key, value in english.items()
    }
    assert {key for key, value in other.items() if not value} == set()
    assert {key: len(value) for key, value in other.items() if isinstance(value, list)} == {
        key: len(value) for key, value in english.items() if isinstance(value, list)
    }


def made_keys(source: str) -> Iterator[tuple[str, list[str]]]:
    """Section and pattern of every key that some code puts together: f"strip.{why}"."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
            texts = [str(part.value) if isinstance(part, ast.Constant) else None for part in node.values]
            section, _, rest = (texts[0] or "").partition(".")
            yield (
                section,
                [*([rest] if rest else []), *(".+" if text is None else re.escape(text) for text in texts[1:])],
            )


def test_no_word_is_unused_and_none_is_missing() -> None:
    code = [path.read_text(encoding="utf-8") for path in PAPER.glob("*.py")]
    every = [path.read_text(encoding="utf-8") for path in PAPER.parents[1].rglob("*.py")]
    looks = "\n".join(path.read_text(encoding="utf-8") for path in (PAPER / "templates").glob("*.typ"))
    known = {section: set(part) for section, part in table("en").items()}
    asked = {
        tuple(text.split(".")) for text in re.findall(r'"([a-z]+\.(?!typ"|pdf"|html")[a-z0-9-]+)"', "\n".join(every))
    }
    made = {
        (section, re.compile("".join(parts)), set(parts) != {".+"})
        for text in code
        for section, parts in made_keys(text)
        if section in known
    }
    quoted = set(re.findall(r'"([a-z0-9][a-z0-9 -]*)"', "\n".join(every)))
    by_part = {
        (section, key)
        for section, pattern, is_narrow in made
        for key in known[section]
        if pattern.fullmatch(key) and (is_narrow or {key, key.replace("-", " ")} & quoted)
    }
    shown = set(re.findall(r"\.([a-z][a-z-]*)", looks))
    plain = {(section, key) for section, keys in known.items() if section not in LOOKED_UP for key in keys}
    assert {key for key in plain - asked - by_part if key[1] not in shown} == set(), "unused"
    assert {key for key in asked if key[0] in known and key[1] not in known[key[0]]} == set(), "missing"
    in_looks = set(re.findall(r"\bwords\.([a-z][a-z-]*)", looks)) - {"map", "len", "at", "filter", "split", "enumerate"}
    assert in_looks - set().union(*known.values()) == set(), "missing in a template"


@pytest.mark.parametrize("name", languages())
def test_every_caution_and_allergen_of_the_pantry_is_known(name: str) -> None:
    cautions = {text for entry in pantry() for text in entry.get("cautions", ())} | {RAW_EGG, STRONG_ACID, ACID_POWDER}
    allergens = {text for entry in pantry() for text in entry.get("allergens", ())}
    assert len(cautions) > 5
    assert len(allergens) > 3
    assert cautions - set(table(name)["caution"]) == set()
    assert allergens - set(table(name)["allergen"]) == set()


def test_tree_nuts_and_cereals_are_translated_by_their_names() -> None:
    """The tree nuts and cereals of Regulation (EU) No 1169/2011, Annex II, in its German wording (from memory)."""
    german = {
        "almonds": "Mandeln", "hazelnuts": "Haselnüsse", "walnuts": "Walnüsse", "pecans": "Pekannüsse",
        "brazil nuts": "Paranüsse", "pistachios": "Pistazien", "macadamia nuts": "Macadamianüsse", "wheat": "Weizen",
        "rye": "Roggen", "barley": "Gerste", "oats": "Hafer", "spelt": "Dinkel",
    }  # fmt: skip
    assert {name: words_of("de").allergen(name) for name in german} == german
    assert words_of("de").allergen("Almonds") == "Mandeln"
    assert words_of("de").allergen("own nuts") == "own nuts"


@pytest.mark.parametrize("name", languages())
def test_whatever_a_bar_is_called_it_is_printed(name: str) -> None:
    """What was filled in is not looked at for places to fill in."""
    words = words_of(name)
    said = words.caution("contains caffeine", "{x} of {0}")
    assert said.startswith("{x} of {0}: ")
    assert said.endswith(words.caution("contains caffeine"))
    assert words.caution("own {words}", "rum") == "rum: own {words}"
    assert words.caution("own {words}") == "own {words}"
    assert words.caution(RAW_EGG, "egg white") == words.caution(RAW_EGG), "it names the egg itself"


def full_cards(name: str) -> bytes:
    """Cards that together say everything there is to say, with none of the bar's own words in English."""
    bar = Bar(load(CHECKOUT / "specs").specs)
    cautions, allergens = list(table("en")["caution"]), list(table("en")["allergen"])
    own = {
        "name": "Xxx", "method": "xxx", "time": "9 s", "glass": "xxx", "ice": "xxx", "garnish": "xxx", "strain": "xxx",
        "extras": ("xxx",), "steps": ("xxx",) * 2, "by": "xxx", "version": "7", "date": "2026-03-14",
    }  # fmt: skip
    made = []
    for number, one in enumerate(card(bar, drink) for drink in bar.specs.drinks.values()):
        made.append(
            replace(
                one,
                drink=one.drink.model_copy(update=own),
                pours=tuple(replace(line, liquid=replace(line.liquid, name="xxx")) for line in one.pours),
                cautions=tuple(CardCaution("xxx", text) for text in cautions[number : number + 1]),
                allergens=tuple(allergens[number :: len(bar.specs.drinks)]),
                unknown=("xxx",) if number else (),
            )
        )
    long = replace(made[0], drink=made[0].drink.model_copy(update={"steps": ("xxx",) * 20}))
    unlisted = replace(made[0], allergens=(), cautions=())
    layout = alone(Size(*SIZES["a6"].sheet))
    house = bar.specs.house.model_copy(update={"name": "Xxx"})
    page = cards_page([*made, long, unlisted], house, SIZES["a6"], layout, "ml", words_of(name), DAY, {}, extras=True)
    return typeset(TEMPLATES / "card.typ", page, "pdf", AT, PrintLook(language=name))[0]


def words_in(value: object) -> set[str]:
    return set(re.findall(r"[a-zäöüß]{3,}", str(value).casefold()))


def test_in_german_nothing_on_a_card_is_english(tmp_path: Path) -> None:
    path = tmp_path / "cards.pdf"
    path.write_bytes(full_cards("de"))
    said = " ".join(pdf.text(path).split())
    assert b"<rdf:li>de<" in path.read_bytes(), "a reader speaks German"
    english, german = (set().union(*(words_in(value) for _, value in entries(table(name)))) for name in ("en", "de"))
    found = words_in(said)
    assert found & (english - german) == set()
    wanted = {
        "enthält", "unbekannt", "garnitur", "achtung", "gedruckt", "fassung", "standardgläser", "fortsetzung",
        "koffein", "allergene", "sellerie", "abseihen", "auffüllen", "rinse", "glas", "eis", "säuglinge", "haus",
    }  # fmt: skip
    assert wanted - found == set()
    assert "22,5" in said
    assert "22.5" not in said


@pytest.mark.parametrize(
    ("method", "strain", "ice", "said"),
    [
        ("shaken", "double", "none", ("geschüttelt", "doppelt", "keins")),
        ("Stirred", "Single", "fresh cubes", ("gerührt", "einfach", "fresh cubes")),
        ("shake hard", "fine, twice", "crushed", ("shake hard", "fine, twice", "crushed")),
    ],
)
def test_known_words_of_a_drink_are_said_in_the_language_and_others_as_written(
    method: str, strain: str, ice: str, said: tuple[str, str, str]
) -> None:
    bar = Bar(load(CHECKOUT / "specs").specs)
    made = next(card(bar, drink) for drink in bar.specs.drinks.values())
    drink = made.drink.model_copy(update={"method": method, "strain": strain, "ice": ice})
    item = card_item(replace(made, drink=drink), bar.specs.house, "ml", words_of("de"), extras=False)
    strained = [row["text"] for row in item["details"] if row["word"] == "abseihen"]
    assert (item["method"], strained[0], item["ice"]) == said
