"""The words of advice as they stand on the screen."""

from __future__ import annotations

from balancer.engine.service.advice import Advice
from balancer.engine.service.rescale import Rescale
from balancer.output.words.numbers import brix


def advice_word(advice: Advice) -> str:
    """What to do about a batch; JSON says "pull" for what the trade discards."""
    return "discard" if advice.word == "pull" else advice.word


def beside_text(result: Rescale) -> list[str]:
    """Which other syrups were not taken at standard."""
    others = ", ".join(f"{liquid.name} {brix(strength)}" for liquid, strength in result.beside)
    return [f"as open batches read: {others} (--alone: at standard)"] if others else []
