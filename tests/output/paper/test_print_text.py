"""Fractions and units as they go on paper."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.output.paper.print_text import NO_BREAK, fraction, printable
from balancer.units import format_fraction, parse_number


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("½ ¾ ⅛ ⅓", "½ ¾ ⅛ ⅓"),  # the font has these as one sign
        ("⅔ oz", f"2⁄3{NO_BREAK}oz"),
        ("1⅔ oz", f"1\u202f2⁄3{NO_BREAK}oz"),
        ("22.5 ml", f"22.5{NO_BREAK}ml"),
        ("50 °Bx", f"50{NO_BREAK}°Bx"),
        ("12 s on ice", f"12{NO_BREAK}s on ice"),
        ("2 slices", "2 slices"),
        ("3 large olives", "3 large olives"),
        ("45 % vol", f"45{NO_BREAK}% vol"),
        ("", ""),
        ("Chandler's Cup", "Chandler’s Cup"),
        ("the pilots' punch", "the pilots’ punch"),
        ("don't; it's", "don’t; it’s"),
        ("rock 'n' rye", "rock ’n’ rye"),
        ("'Twas 'round '98", "’Twas ’round ’98"),
        ("called 'the short one', cold", "called ‘the short one’, cold"),
        ("'One' and 'Two's'", "‘One’ and ‘Two’s’"),
        ("the 90's", "the 90’s"),
        ("6' 2\" tall, 0.5\" of ice, 3'", "6' 2\" tall, 0.5\" of ice, 3'"),
        ("½' and 12'6", "½' and 12'6"),
        ('say "hi"', 'say "hi"'),
    ],
)
def test_numbers_stay_with_their_units(text: str, wanted: str) -> None:
    assert printable(text) == wanted


def test_quotation_marks_are_those_of_the_language() -> None:
    assert printable("'kurz' und Chandler's", ("‚", "‘")) == "‚kurz‘ und Chandler’s"


@given(st.text(st.sampled_from("a' 1½-'\"n")))
def test_a_text_is_made_printable_once(text: str) -> None:
    assert printable(printable(text)) == printable(text)


@given(st.text())
def test_no_letter_is_lost(text: str) -> None:
    def plain(value: str) -> str:
        spelt = (
            value.replace("‘", "'")
            .replace("’", "'")
            .replace("⁄", "")
            .replace("\u202f", "")
            .replace(NO_BREAK, "")
            .replace(" ", "")
        )
        return "".join(char for char in spelt if not char.isnumeric())

    assert plain(printable(text)) == plain(text)


@given(st.integers(0, 20), st.sampled_from([(1, 2), (1, 3), (2, 3), (1, 4), (3, 4), (1, 8), (5, 8), (1, 16), (3, 5)]))
def test_a_fraction_reads_as_the_same_number(whole: int, part: tuple[int, int]) -> None:
    value = whole + part[0] / part[1]
    plain = format_fraction(value, glyphs=False)
    assert plain is not None
    assert parse_number(fraction(plain)) == pytest.approx(value, abs=1e-12)
    assert "/" not in fraction(plain)
