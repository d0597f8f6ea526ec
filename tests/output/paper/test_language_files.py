"""The files of words: each language has every text of English, with the same places to fill in; none is unused."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from balancer.output.paper.language import FOLDER, languages, words_of
from balancer.output.words.advice import READS
from balancer.output.words.make import CAUTION, LIQUID_CAUTION

CODE = Path(__file__).parents[3] / "balancer" / "output" / "paper"


def texts(language: str) -> dict[str, str]:
    """Every text by section and name."""

    def walk(prefix: str, table: dict[str, Any]) -> Iterator[tuple[str, str]]:
        for key, value in table.items():
            name = f"{prefix}.{key}" if prefix else key
            if isinstance(value, dict):
                yield from walk(name, value)
            elif isinstance(value, str):
                yield name, value
            else:
                yield from ((f"{name}.{place}", each) for place, each in enumerate(value))

    return dict(walk("", tomllib.loads((FOLDER / f"{language}.toml").read_text(encoding="utf-8"))))


def fields(text: str) -> list[str]:
    return sorted(re.findall(r"\{(\w+)\}", text))


@pytest.mark.parametrize("language", languages())
def test_a_language_has_every_text_with_the_same_places(language: str) -> None:
    english, other = texts("en"), texts(language)
    assert sorted(other) == sorted(english)
    assert {key: fields(text) for key, text in other.items()} == {key: fields(text) for key, text in english.items()}
    assert [key for key, text in other.items() if not text.strip()] == []


def test_on_paper_and_screen_the_same_is_said_of_acid_and_readings() -> None:
    words = words_of("en")
    assert words("prep.acid-powder") == CAUTION
    assert words("prep.acid-liquid") == LIQUID_CAUTION
    assert words("prep.reads", reading="50.3") == f"{READS} 50.3"


@pytest.mark.parametrize("section", ["prep", "chart"])
def test_no_text_of_prep_and_chart_is_left_over(section: str) -> None:
    """Each is named in Python or in a template, some by a word that is put together."""
    code = "".join(path.read_text(encoding="utf-8") for path in [*CODE.rglob("*.py"), *CODE.rglob("*.typ")])
    made = {"prep": r"why-.*|.*-note", "chart": r"(always|mostly)-(strong|weak)|boiled|watered|sugar"}[section]
    keys = [key.partition(".")[2] for key in texts("en") if key.startswith(f"{section}.")]
    unused = [key for key in keys if not re.fullmatch(made, key) and not re.search(rf"[\".]{re.escape(key)}\b", code)]
    assert unused == []
