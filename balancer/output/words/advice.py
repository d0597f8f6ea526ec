"""The words of advice as they stand on the screen."""

from __future__ import annotations

from balancer.engine.service.advice import Advice


def advice_word(advice: Advice) -> str:
    """What to do about a batch; JSON says "pull" for what the trade discards."""
    return "discard" if advice.word == "pull" else advice.word
