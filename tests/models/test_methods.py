"""Words that bars write for a method."""

from __future__ import annotations

import pytest

from balancer.models.methods import method_key, method_nearly, method_of


@pytest.mark.parametrize(
    ("words", "method"),
    [  # common practice
        ("shake", "shaken"),
        ("Shaken", "shaken"),
        ("SHAKE & STRAIN", "shaken"),
        ("shake and double strain", "shaken"),
        ("Shake, fine-strain", "shaken"),
        ("dry shake", "shaken"),
        ("dry shake then shake", "shaken"),
        ("reverse dry shake", "shaken"),
        ("shaken 12 s", "shaken"),
        ("Stir", "stirred"),
        ("stir & strain", "stirred"),
        ("stirred down over ice", "stirred"),
        ("build", "built"),
        ("build in glass", "built"),
        ("Built in the glass & stirred", "built"),
        ("build over ice and top", "built"),
        ("blend", "blended"),
        ("blend with ice", "blended"),
        ("swizzle", "swizzled"),
        ("throw", "thrown"),
        ("roll", "rolled"),
    ],
)
def test_words_of_the_trade(words: str, method: str) -> None:
    assert method_of(words) == method
    assert method_key(words) == method
    assert method_nearly(words) is None


@pytest.mark.parametrize(
    "words",
    ["short shake", "flash blend", "whip shake", "shake & roll", "stir in glass", "shake on crushed ice", "", "?"],
)
def test_what_adds_another_amount_of_water_is_a_word_of_the_house(words: str) -> None:
    assert method_of(words) is None
    assert method_key(words) == words.casefold()


@pytest.mark.parametrize(
    ("words", "meant"),
    [("shakn", "shaken"), ("sheken", "shaken"), ("stired", "stirred"), ("biult", "built"), ("blendd", "blended"),
     ("dry shakn & strian", "shaken")],
)  # fmt: skip
def test_slips_are_noticed(words: str, meant: str) -> None:
    assert method_of(words) is None
    assert method_nearly(words) == meant


@pytest.mark.parametrize("words", ["churned", "smoked", "carbonated", "mixed", "geschüttelt", "layered", "short shake"])
def test_other_words_are_no_slips(words: str) -> None:
    assert method_nearly(words) is None
