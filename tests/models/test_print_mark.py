"""Four signs that staff tell one card from another by."""

from __future__ import annotations

import hashlib
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from balancer.models.print_mark import LENGTH, SIGNS, print_mark

CONTENT = st.binary(max_size=8).map(lambda text: hashlib.sha256(text).hexdigest())

CONFUSED = (
    "0OQD", "1IL", "2Z", "3E", "49", "5S", "6G", "8B", "UV", "MN", "PT", "JK", "69", "FS",
)  # fmt: skip
"""What is taken for one another by hand, by ear or upside down; common practice in codes that people read out."""


def test_no_two_signs_are_taken_for_each_other_and_none_makes_a_word() -> None:
    assert len(set(SIGNS)) == len(SIGNS)
    assert [alike for alike in CONFUSED if len(set(alike) & set(SIGNS)) > 1] == []
    assert not set("AEIOUY" + "0134") & set(SIGNS), "vowels, and the digits that stand for them"


@given(CONTENT)
def test_a_mark_is_four_signs_none_twice_in_a_row(content: str) -> None:
    mark = print_mark(content)
    assert len(mark) == LENGTH == 4
    assert set(mark) <= set(SIGNS)
    assert all(one != next_ for one, next_ in pairwise(mark))
    assert print_mark(content) == mark


@given(CONTENT)
def test_it_can_be_kept_apart_from_any_other(content: str) -> None:
    mark = print_mark(content)
    other = print_mark(content, apart_from=mark)
    assert other != mark
    assert print_mark(content, apart_from=other) == mark


def test_nothing_but_noughts_has_marks_too() -> None:
    """The least number there is; 11 signs, then 10 each."""
    assert print_mark("0" * 64) == "7979"
    assert print_mark("0" * 64, apart_from="7979") == "9797"


def test_marks_are_spread_evenly() -> None:
    """Of 11,000 marks a thousand cards share few: 1000²/2/11,000 = 45 pairs are expected."""
    marks = [print_mark(hashlib.sha256(str(number).encode()).hexdigest()) for number in range(1000)]
    assert 15 <= len(marks) - len(set(marks)) <= 90
