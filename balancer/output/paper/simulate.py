"""What measuring is worth as a page for the office: every drink with its figures, and how far drinks are off."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import floor
from typing import Any, Final

from balancer.engine.simulate.glasses import BINS
from balancer.engine.simulate.result import Courses, Simulation
from balancer.models.house import House
from balancer.output.paper.chart import NAME_LETTERS, step_of
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import printed_texts
from balancer.output.paper.simulate_words import (
    assumed,
    courses_text,
    drink_text,
    figures_text,
    missing_text,
    sentence,
    syrup_text,
)
from balancer.output.words.numbers import cut, trim

_ROWS: Final = 15
_SYRUPS: Final = 5
_LETTERS: Final = 44
_EVERY_PERCENT: Final = 5
_TICKS: Final = 5


def simulate_page(
    result: Simulation, lost: Sequence[str], house: House, day: date, words: Words, paper: PaperSheet
) -> dict[str, Any]:
    """What the template is given: figures in parts of 100, which it places, and texts.

    lost  names of drinks that did not load
    """
    kind, date_text = words("simulate.kind"), words.long_day(day)
    reach = result.reach_percent
    curves = [[100.0 * count / sum(row) for count in row[BINS - reach : BINS + reach]] for row in result.bins]
    most = 1.05 * max(max(row) for row in curves)
    rows, further = _rows(result, words)
    item = {
        "name": "simulate",
        "title": words("simulate.title"),
        "date": date_text,
        "house": cut(house.name, NAME_LETTERS),
        "running": f"{cut(house.name, NAME_LETTERS)} · {kind} · {date_text}",
        "said": _held(sentence(result, words), words),
        "courses": list(courses_text(words)),
        "rows": rows,
        "curves": curves,
        "span": [-reach, reach],
        "most": most,
        "up": _ticks(most, words),
        "along": [
            {"value": value, "text": words.number(trim(value, 0)) + " %"}
            for value in range(-reach, reach + 1, _EVERY_PERCENT if reach < BINS // 2 else 2 * _EVERY_PERCENT)
        ],
        "tolerance": result.tolerance_percent,
        "tolerance-text": f"±{words.number(trim(result.tolerance_percent, 1))} %",
        "missing-rows": missing_text(result, lost, words),
        "notes": [*further, *assumed(result, words)],
        "left_off": [],
        "instead": {
            "": kind,
            "house": "",
            "running": f"{kind} · {date_text}",
            "said": words("paper.unshown"),
            "name": words("paper.unshown"),
            "missing-rows": words("paper.unshown"),
        },
    }
    return {
        "title": f"{house.name}: {kind}",
        "alt": alt_text(result, words),
        "layout": {"page": list(paper.turned)},
        "words": words.section("paper") | words.section("simulate"),
        "items": [printed_texts(item, words.quotes)],
    }


def alt_text(result: Simulation, words: Words) -> str:
    """All that the drawing shows, in words: the answer, and every drink with its figures."""
    heads = courses_text(words)
    said = [sentence(result, words)]
    for name, out in _named(result, words):
        figures = [f"{head} {figure}" for head, figure in zip(heads, figures_text(out, words), strict=True)]
        said.append(f"{name}: {words.row(figures)}")
    return "; ".join(said)


def _held(said: str, words: Words) -> str:
    """A sentence in which no line ends within a figure of two words."""
    for figure in (words("simulate.under-one"), words("simulate.over-99")):
        said = said.replace(figure, figure.replace(" ", "\N{NO-BREAK SPACE}"))
    return said


def _named(result: Simulation, words: Words) -> list[tuple[str, Courses]]:
    syrups = [(syrup_text(one, words), one.out) for one in result.syrups]
    return [*syrups, *((drink_text(one, words), one.out) for one in result.drinks)]


def _rows(result: Simulation, words: Words) -> tuple[list[dict[str, Any]], list[str]]:
    """The rows of the list, the whole menu first, and what is said of those that it has no room for."""
    syrups = [(syrup_text(one, words), one.out) for one in result.syrups[:_SYRUPS]]
    left = _ROWS - 1 - len(syrups)
    drinks = [(drink_text(one, words), one.out) for one in result.drinks[:left]]
    more_syrups, more_drinks = len(result.syrups) - len(syrups), len(result.drinks) - len(drinks)
    listed = [(words("simulate.every-drink"), result.out), *syrups, *drinks]
    rows = [
        {
            "name": cut(name, _LETTERS),
            "figures": figures_text(out, words),
            "at": list(out),
            "whole": at == 0,
            "begins": at in (1, 1 + len(syrups)),
        }
        for at, (name, out) in enumerate(listed)
    ]
    further = [words.count("simulate.more-syrups", more_syrups)] if more_syrups else []
    return rows, further + ([words.count("simulate.more-drinks", more_drinks)] if more_drinks else [])


def _ticks(most: float, words: Words) -> list[dict[str, Any]]:
    step = step_of(most / _TICKS)
    return [{"value": step * at, "text": words.number(trim(step * at, 2))} for at in range(floor(most / step) + 1)]
