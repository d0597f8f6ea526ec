"""Fractions and units as they go on paper."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.output.paper.language import languages, words_of
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
        ("'twas the '90s", "’twas the ’90s"),
        ("'Twere 'neath the '90s' sky", "’Twere ’neath the ’90s’ sky"),
        ('"Best" of the \'90s, "so \'good\'"', "“Best” of the ’90s, “so ‘good’”"),
        ('("Best"), "No 2"', "(“Best”), “No 2”"),
        ('5\'6", 1/2", 12" and ½" of "it"', '5\'6", 1/2", 12" and ½" of “it”'),
        ("12\" and 6\" of 'it'", '12" and 6" of ‘it’'),
        ('one " alone, or "never closed', 'one " alone, or "never closed'),
        ("6' 2\" tall, 0.5\" of ice, 3'", "6' 2\" tall, 0.5\" of ice, 3'"),
        ("½' and 12'6", "½' and 12'6"),
        ('say "hi"', "say “hi”"),
    ],
)
def test_numbers_stay_with_their_units(text: str, wanted: str) -> None:
    assert printable(text) == wanted


def test_quotation_marks_are_those_of_the_language() -> None:
    assert printable("'kurz', \"lang\" und Chandler's", words_of("de").quotes) == "‚kurz‘, „lang“ und Chandler’s"


@given(st.text(st.sampled_from("ab' 12½-/'\",(s")), st.sampled_from(languages()))
def test_of_a_text_only_quotes_change_and_never_those_of_inches(text: str, language: str) -> None:
    quotes = words_of(language).quotes
    found = printable(text, quotes).replace(NO_BREAK, " ")
    assert len(found) == len(text)
    changed = [(before, after) for before, after in zip(text, found, strict=True) if before != after]
    assert {before for before, _ in changed} <= {"'", '"'}
    assert {after for before, after in changed if before == '"'} <= set(quotes[2:])
    assert {after for before, after in changed if before == "'"} <= {*quotes[:2], "’"}
    opened = 0
    for at, (before, after) in enumerate(zip(text, found, strict=True)):
        if before == '"' and before != after:
            assert after == quotes[2 + opened % 2], "they go in pairs"
            assert opened % 2 or not (at and text[at - 1].isalnum()), "after a figure none begins"
            opened += 1
    assert opened % 2 == 0


@given(st.lists(st.sampled_from(["5'6\"", '1/2"', '12"', '½"', "3'"]), min_size=1), st.sampled_from(languages()))
def test_feet_and_inches_stay(parts: list[str], language: str) -> None:
    assert printable(" of it, ".join(parts), words_of(language).quotes) == " of it, ".join(parts)


@given(st.text(st.sampled_from("a' 1½-'\"n")))
def test_a_text_is_made_printable_once(text: str) -> None:
    assert printable(printable(text)) == printable(text)


@given(st.text())
def test_no_letter_is_lost(text: str) -> None:
    def plain(value: str) -> str:
        spelt = (
            value.replace("‘", "'")
            .replace("’", "'")
            .replace("“", '"')
            .replace("”", '"')
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
