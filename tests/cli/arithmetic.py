"""Checks printed working as somebody does who follows it with a pocket calculator."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

_TOKEN = re.compile(r"[0-9]+(?:\.[0-9]+)?|[()+×÷√²−]")
_REMARK = re.compile(r"\([a-z ]+\)")
_LED_IN = re.compile(r".*(?::|is worth) ")
_SPELT = {"×": "*", "÷": "/", "−": "-", "²": "**2", "√": "sqrt"}


def mistakes(lines: Iterable[str]) -> list[str]:
    """The lines whose sum, done with the numbers printed in it, is not what they say; to two last digits.

    Units and words between the numbers are passed over; a line without arithmetic says nothing.
    """
    return [line for line in lines if _is_wrong(line)]


def worked(lines: Iterable[str]) -> int:
    """How many of the lines hold arithmetic."""
    return sum(_sum_of(line) is not None for line in lines)


def _is_wrong(line: str) -> bool:
    found = _sum_of(line)
    if found is None:
        return False
    wanted, said = found
    digits = len(said.partition(".")[2])
    return abs(wanted - float(said)) > 2.0 * 10.0**-digits + 1e-3 * abs(wanted)


def _sum_of(line: str) -> tuple[float, str] | None:
    """What the left side of a line comes to, and what its right side says."""
    left, equals, right = line.partition(" = ")
    said = re.match(r"−?[0-9.]*[0-9]", right)
    tokens = _TOKEN.findall(_REMARK.sub("", _LED_IN.sub("", left)))
    if not equals or said is None or not set(tokens) & set("+×÷−√"):
        return None
    expression = " ".join(_SPELT.get(token, token) for token in tokens).replace("sqrt (", "sqrt(")
    return eval(expression, {"__builtins__": {}, "sqrt": math.sqrt}), said[0].replace("−", "-")  # noqa: S307
