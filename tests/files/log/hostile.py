"""Lines that no bar writes and every log may hold one day: what is wrong with them, and nothing else."""

from __future__ import annotations

from typing import Final

from hypothesis import strategies as st

KEYS: Final = (
    *("batch", "syrup", "event", "brix", "uncertainty", "acid", "cause", "mass", "made", "discard", "by", "at"),
    *("refers", "note", "nonsuch"),
)
NUMBERS: Final = (
    *("9" * 310, "-" + "9" * 310, "9" * 5_000, "0." + "1" * 5_000, "1e400", "-1e400", "1e300", "-1e300", "1e-300"),
    *("5e-324", "NaN", "Infinity", "-Infinity", "true", "0", "-0.0"),
)
MOMENTS: Final = (
    *("0001-01-01", "9999-12-31", "1969-12-31", "2201-01-01", "0001-01-01T00:00:00+14:00"),
    *("9999-12-31T23:59:59-14:00", "1969-12-31T23:59:59Z", "2201-01-01T00:00:00Z", "2026-02-30"),
)
TEXTS: Final = (
    *(r"\ud800", r"a\udfffb", r"\u0000", "x" * 100_000, "9" * 310 + " °Bx", "1e400 g/l", "1/0", "٣", r"\ud83d\ude00"),
    *(r"\u202e", r"\u0007", " ", "{}", "- {", '\\"'),
)
VALUES: Final = (
    *NUMBERS,
    *(f'"{text}"' for text in (*NUMBERS, *MOMENTS, *TEXTS)),
    *("[" * 60 + "]" * 60, "[" * 100_000, '{"a": ' * 60 + "1" + "}" * 60, '{"batch": "BER-1"}', "[]", "{}", "null"),
    *(f'["{text}"]' for text in (*MOMENTS, *TEXTS)),
    "[" + ", ".join(['"BER-1"'] * 200) + "]",
)
BEGINNINGS: Final = (
    '"batch": "ODD-1", "event": "reading"',
    '"batch": "ODD-1", "event": "open"',
    '"batch": "ODD-1", "syrup": "berry-syrup", "event": "made"',
    '"batch": "ODD-1", "syrup": "lime-juice", "event": "made"',
    '"batch": "ODD-1", "event": "undo", "refers": ["2001-01-01T00:00:00+00:00"]',
    '"event": "open"',
)

keys: Final = st.dictionaries(st.sampled_from(KEYS), st.sampled_from(VALUES), min_size=1, max_size=3)
"""Keys with values as JSON text."""


def _line(beginning: str, wrong: dict[str, str], end: str) -> bytes:
    """A JSON object, in which a key may stand twice."""
    pairs = [f'"{key}": {value}' for key, value in wrong.items()]
    return f"- {{{', '.join([beginning, *pairs])}{end}".encode()


lines: Final = st.one_of(
    st.builds(_line, st.sampled_from(BEGINNINGS), keys, st.sampled_from(("}", "}", "}", "", "}}", "}  # ours"))),
    st.binary(max_size=40).map(lambda raw: raw.translate(None, b"\r\n")),
    st.sampled_from([b"\x00" * 50, b"\xff\xfe- {", b"\xef\xbb\xbf", b"x" * 1_000_000, b"- {" * 1_000, b"\xed\xa0\x80"]),
)
"""A line by itself, as bytes without a line end. What counts in it, if anything, is of a batch of its own."""
