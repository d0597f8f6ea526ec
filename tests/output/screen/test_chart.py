"""The chart in characters, and its sentence."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from balancer.engine.prep.chart import Chart, chart
from balancer.output.data.chart import chart_data
from balancer.output.paper.chart_words import sentence
from balancer.output.paper.language import words_of
from balancer.output.screen.chart import chart_text
from balancer.output.words.numbers import width
from tests.engine.builders import syrup
from tests.engine.prep.test_chart import FLOWRATES, UNEVEN, around, batch, charted

MOVED = [*around(50.0, *UNEVEN), *around(47.5, *UNEVEN[:9])]


@pytest.mark.parametrize(
    ("values", "keys", "said"),
    [
        (around(53.0, *UNEVEN), {}, "always strong: every one of 10 batches, by 3 °Bx on average"),
        (around(53.0, *UNEVEN), {}, "on average: weigh the sugar, 60 g less per kg of syrup"),
        (around(47.0, *UNEVEN), {}, "always weak: every one of 10 batches, by 3 °Bx on average"),
        (around(47.0, *UNEVEN), {}, "on average: weigh the sugar, 60 g more per kg of syrup"),
        (around(53.0, *UNEVEN), {"cause": "boiled"}, "keep the lid on, 60 g more water per kg of syrup"),
        (around(47.0, *UNEVEN), {"cause": "watered"}, "weigh the water, 60 g less per kg of syrup"),
        (around(47.0, *UNEVEN), {"cause": "boiled"}, "weigh the sugar, 60 g more per kg of syrup"),
        ([*around(51.2, *UNEVEN), 49.9], {}, "mostly strong: 10 of 11 batches"),
        (FLOWRATES, {}, "up and down: by 3.3 °Bx around 50.8: weigh sugar and water"),
        (around(50.0, *UNEVEN), {}, "of 50 °Bx; change nothing"),
        ([*around(50.0, *UNEVEN), 51.5], {}, "but for BER-11: ask what was different"),
        (MOVED, {}, "moved: since BER-11 about 2.5 °Bx weaker than before, now 2.5 under: ask what changed then"),
        ([51.0, 50.0], {}, "too few batches to say: 2 with a reading, 8 are needed"),
        ([], {}, "no batch of it has a reading yet: 8 are needed to say anything"),
    ],
)  # fmt: skip
def test_one_sentence_says_what_and_what_to_change(values: list[float], keys: dict[str, Any], said: str) -> None:
    result = charted(values, **keys)
    sentence_said = sentence(result, words_of("en"))
    assert said in sentence_said
    assert " ".join(chart_text(result).split()).startswith(f"berry syrup: {sentence_said}")


@pytest.mark.parametrize(
    "values", [[], [50.0], FLOWRATES, MOVED, [50.1] * 9, FLOWRATES * 12, around(500.0 / 11, *UNEVEN)]
)
@pytest.mark.parametrize("by", [None, "Ana"])
def test_it_fits_a_terminal(values: list[float], by: str | None) -> None:
    batches = [batch(number, value, by=by if number % 2 else "Joss") for number, value in enumerate(values, 1)]
    lines = chart_text(chart(syrup("berry syrup"), batches, 1.0)).splitlines()
    assert max(width(line) for line in lines) <= 80
    rows = [line for line in lines[1:] if " |" in line or not line.startswith(("    ", "more"))]
    assert len(rows) <= 8


def plot(result: Chart) -> dict[float, str]:
    """The rows of the drawing by their level."""
    cut = [line.partition(" |") for line in chart_text(result).splitlines() if " |" in line]
    return {float(level): drawn for level, _, drawn in cut}


def test_each_batch_is_drawn_once_at_its_level() -> None:
    """The handbook's values to the nearest level, counted from the standard."""
    rows = plot(charted(FLOWRATES))
    levels = sorted(rows)
    step = levels[1] - levels[0]
    for place, value in enumerate(FLOWRATES):
        marked = [level for level, drawn in rows.items() if drawn.ljust(40)[2 * place + 1] in "oX"]
        assert len(marked) == 1
        assert abs(marked[0] - value) <= step / 2.0 + 1e-9


def test_the_standard_is_a_level_of_its_own_and_named() -> None:
    rows = plot(charted(around(53.0, *UNEVEN)))
    assert rows[50.0].endswith("standard")
    assert set(rows[50.0].removesuffix(" standard")) == {"-"}


def test_the_drawing_needs_neither_colour_nor_unicode() -> None:
    drawn = "".join(plot(charted([*FLOWRATES, 70.0])).values())
    assert drawn.isascii()
    assert "\x1b" not in drawn
    assert drawn.count("X") == 1


def test_of_many_batches_the_latest_are_drawn() -> None:
    text = chart_text(charted(FLOWRATES * 12))
    assert "the last 29 of 120: BER-92 to BER-120, left to right" in " ".join(text.split())


def test_json_holds_every_batch_and_line() -> None:
    data = chart_data(charted(FLOWRATES))
    assert data["says"] == "up and down"
    assert data["centre_brix"] == pytest.approx(50.81)
    assert [held["brix"] for held in data["batches"]] == FLOWRATES
    assert data["batches"][0]["range_brix"] is None
    assert data["batches"][1]["range_brix"] == pytest.approx(2.0)
    empty = chart_data(charted([]))
    assert (empty["centre_brix"], empty["offset_brix"], empty["batches"]) == (None, None, [])


@pytest.mark.parametrize("count", [1, 2, 7])
def test_few_batches_are_drawn_without_limits(count: int) -> None:
    """Two batches gave limits of three of their steps; JSON has null, and the steps themselves stay."""
    result = charted(FLOWRATES[:count])
    text = chart_text(result)
    assert "limit" not in text
    assert "mean" not in text
    assert sum(row.count("o") for row in (row.removesuffix("standard") for row in plot(result).values())) == count
    data = chart_data(result)
    assert [data[key] for key in ("centre_brix", "lower_brix", "upper_brix", "sigma_brix", "mean_range_brix")] == (
        [None] * 5
    )
    steps = [abs(after - before) for before, after in pairwise(FLOWRATES[:count])]
    assert [held["range_brix"] for held in data["batches"]] == [None, *map(pytest.approx, steps)]
