"""Lines that fit the columns: nothing is lost, every line fits, and each letter is looked at a few times only."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.output.words import numbers
from balancer.output.words.look import Look, looking
from balancer.output.words.numbers import cut, fitting, width
from balancer.output.words.page import wrap

TEXTS = st.text(alphabet="ab燈\u0301 →5", max_size=400)


class Counting:
    """The table of Unicode, in which so much may be looked up and no more."""

    def __init__(self) -> None:
        self.left = 0

    def combining(self, char: str) -> int:
        self.left -= 1
        assert self.left >= 0, "each letter is looked at over and over"
        return unicodedata.combining(char)

    def east_asian_width(self, char: str) -> str:
        return unicodedata.east_asian_width(char)


@pytest.fixture
def counting(monkeypatch: pytest.MonkeyPatch) -> Counting:
    table = Counting()
    monkeypatch.setattr(numbers, "unicodedata", table)
    return table


@pytest.mark.parametrize("letter", ["燈", "é", "燈 ", "x"])
def test_each_letter_is_looked_at_a_few_times_however_long_the_text(counting: Counting, letter: str) -> None:
    """Every beginning of 10,000 letters without a blank was measured, for each line anew: it took over ten minutes."""
    text = letter * 10_000
    counting.left = 4 * len(text)
    lines = wrap(text, 4)
    assert "".join("".join(lines).split()) == "".join(text.split())
    counting.left = 200
    assert len(cut(text, 60)) <= 60


@given(TEXTS, st.sampled_from([0, 2, 4, 20]), st.sampled_from([50, 61, 80, 160]))
def test_every_line_fits_and_no_letter_is_lost(text: str, indent: int, columns: int) -> None:
    with looking(Look(columns)):
        lines = wrap(text, indent)
    assert all(width(line) <= columns for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(line.startswith(" " * indent) for line in lines[1:] if line.strip())


@given(TEXTS, st.integers(0, 90))
def test_as_much_fits_as_does(text: str, columns: int) -> None:
    """By trying every length."""
    ends = [end for end in range(len(text) + 1) if width(text[:end]) <= columns]
    assert fitting(text, columns) == max(ends)
    assert width(cut(text, columns)) <= max(columns, 1)
