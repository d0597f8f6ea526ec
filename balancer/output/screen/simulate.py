"""`simulate` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from balancer.engine.simulate.result import Courses, Simulation
from balancer.models.look import ENGLISH
from balancer.output.paper.language import words_of
from balancer.output.paper.printed_page import files_text
from balancer.output.paper.simulate_words import (
    assumed,
    assumed_briefly,
    courses_text,
    drink_text,
    figures_text,
    missing_text,
    sentence,
    steady_text,
    syrup_text,
)
from balancer.output.words.look import is_whole
from balancer.output.words.numbers import count, pad, some, width
from balancer.output.words.page import few, page, watch
from balancer.output.words.tables import room_beside

_SYRUPS: Final = 2
_DRINKS: Final = 3
_GAP: Final = 2
_NAME: Final = 18
_ALL: Final = "--all shows "


def simulate_text(
    result: Simulation,
    lost: Sequence[str] = (),
    *,
    is_part: bool = False,
    is_slow: bool = False,
    files: Sequence[Path] | None = None,
    left_off: Sequence[str] = (),
) -> str:
    """The answer of `simulate`: of 100 drinks how many are out, then by syrup and by drink, the worst first.

    lost      names of drinks that did not load
    is_part   whether only some drinks were asked about: what of them does not count is always said
    is_slow   whether what makes it fast is not installed
    files     the printed page, as written; None when nobody asked for one
    left_off  what the font of the printed page has no signs for
    """
    words = words_of(ENGLISH)
    syrups, more_syrups = few(result.syrups, _SYRUPS, "syrups")
    drinks, more_drinks = few(result.drinks, _DRINKS, "drinks")
    listed = [(syrup_text(one, words), one.out) for one in syrups]
    listed += [(drink_text(one, words), one.out) for one in drinks]
    rows = _table(listed)
    rows += [watch(row) for row in missing_text(result, lost, words)]
    rows += [f"not on the page, the font cannot show it: {some(left_off, 4)}"] if left_off else []
    rows += [steady_text(result, words)] if is_part and result.steady and not is_whole() else []
    rows += assumed(result, words) if is_whole() else [assumed_briefly(result, words)]
    left = len(result.untold) + len(lost)
    first = sentence(result, words)
    first += f"; {count(left, 'drinks')} not told, see below" if left else ""
    first += f"; page → {files_text(files)}" if files else ""
    further = [text.removeprefix(_ALL) for text in (*more_syrups, *more_drinks)]
    more = [] if is_whole() else [_ALL + ", ".join([*further, "all that was assumed"])]
    more += ["--sd 2 gives a spread, --sd raspberry=3 one syrup's"] if result.logged or result.untold else []
    more += ["faster with numpy: pip install 'balancer[simulate]'"] if is_slow else []
    more += [] if files is not None else ["--out F.pdf prints it"]
    return page(first, rows, "; ".join(more))


def _table(listed: Sequence[tuple[str, Courses]]) -> list[str]:
    """A head and a row each; the figures stand below a name that is too long for its column."""
    words = words_of(ENGLISH)
    heads = courses_text(words)
    broad = [width(head) + _GAP for head in heads]
    name = max(min(room_beside(*broad), max(width(called) for called, _ in listed)), _NAME)
    rows = [pad("of 100", name) + _cells(heads, broad)]
    for called, out in listed:
        cells = _cells(figures_text(out, words), broad)
        rows += [f"{pad(called, name)}{cells}"] if width(called) <= name else [called, f"{pad('', name)}{cells}"]
    return rows


def _cells(texts: Sequence[str], broad: Sequence[int]) -> str:
    return "".join(f"{text:>{room}}" for text, room in zip(texts, broad, strict=True))
