"""Signs that nobody sees, or that turn others around, in one list; what a script is written with stays."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.unseen import INSTEAD, JSON_ESCAPES, NO_TEXT, UNPRINTABLE, first_unseen, seen

BIDI = (0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))
"""Bidi_Control (Unicode 15.1, PropList.txt)."""

WRITTEN = (
    "می\u200cخواهم",  # Persian: "I want", with a non-joiner
    "क्\u200dष",  # Devanagari: a half form, with a joiner
    "ශ්\u200dරී",  # Sinhala
    "👩\u200d🍳 Julep",  # a cook
    "🏳\ufe0f\u200d🌈",
    "👩🏽\u200d🚀",
    "🏴\U000e0067\U000e0062\U000e0073\U000e0063\U000e0074\U000e007f Sour",  # the flag of Scotland
    "Crème de Cassis", "Łódź", "燈台守", "Ночь Νύχτα", "½ ¾ 20°", "a\u00a0b\u202fc", "two\nlines\tapart",
)  # fmt: skip


@pytest.mark.parametrize("text", WRITTEN)
def test_what_a_script_or_an_emoji_is_written_with_stays(text: str) -> None:
    assert seen(text) == text
    assert first_unseen(text) is None or set(text) & {"\n", "\t"}


@pytest.mark.parametrize("code", [*BIDI, *range(9), *range(11, 32), *range(127, 160), 0x2028, 0x2029])
def test_what_turns_or_steers_is_nowhere(code: int) -> None:
    assert seen(f"Two{chr(code)}Faced") == f"Two{INSTEAD}Faced"
    assert re.search(UNPRINTABLE, f"Two{chr(code)}Faced")
    assert chr(code) not in f"Two{chr(code)}Faced".translate(JSON_ESCAPES) or code < 127


@pytest.mark.parametrize("code", [0x00AD, 0x200B, 0x2060, 0x2064, 0x180E, 0x3164, 0xFEFF, 0xFFF9, 0xFFFE])
def test_what_has_no_width_is_made_visible(code: int) -> None:
    assert seen(f"Zero{chr(code)}Width") == f"Zero{INSTEAD}Width"
    assert first_unseen(f"Zero{chr(code)}Width") == (4, "cannot be seen")


@pytest.mark.parametrize(
    "text",
    ["Two\u200dFaced", "Two\u200cFaced", "\u200dFaced", "Two\u200c", "می\u200c", "Tag\U000e0067", "👩\u200d "],
)
def test_a_joiner_that_joins_nothing_is_made_visible(text: str) -> None:
    assert INSTEAD in seen(text)
    assert not {"\u200c", "\u200d", "\U000e0067"} & set(seen(text))


@given(st.text(max_size=30))
def test_as_many_signs_and_nothing_left_to_find(text: str) -> None:
    clean = seen(text)
    assert len(clean) == len(text)
    assert seen(clean) == clean
    assert not [char for char in clean if unicodedata.category(char) == "Cc" and char not in "\n\t"]
    assert not [char for char in clean if ord(char) in BIDI]


@given(st.text(max_size=30))
def test_what_no_file_may_hold_reaches_no_screen_either(text: str) -> None:
    for char in NO_TEXT.findall(text):
        assert char not in seen(text) or unicodedata.category(char) == "Cs"


def test_files_end_their_lines_as_they_like() -> None:
    assert not NO_TEXT.search("drink: One\r\nmethod:\tbuilt\n")
