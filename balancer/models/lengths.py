"""How long what a person writes may be: told before anything is logged or written, wherever it was typed."""

from __future__ import annotations

from typing import Final, Literal

from balancer.errors import UsageError

LimitedText = Literal["by", "note", "name"]

MOST: Final[dict[LimitedText, int]] = {"by": 40, "note": 500, "name": 300}
"""Letters of who did it, of a remark, and of a name or an id."""

_SHOWN: Final = 40


def too_long(text: str, most: int) -> tuple[str, str] | None:
    """What is wrong with a text of more letters than that, and what to do; None where it is no longer."""
    if len(text) <= most:
        return None
    return f'"{text[:_SHOWN]}…" goes on for {len(text):,} letters', f"write at most {most:,}"


def refuse_long(what: LimitedText, text: str | None, option: str = "") -> None:
    """Raises UsageError for a text that is longer than such a one may be; option is where it was typed."""
    fault = too_long(" ".join((text or "").split()), MOST[what])
    if fault is not None:
        raise UsageError("too-long", f"{option}: {fault[0]}" if option else fault[0], fault[1])
