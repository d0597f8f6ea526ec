"""What is doubted before it is used: amounts and strengths far outside what a bar has."""

from __future__ import annotations

from typing import Final

IMPLAUSIBLE_PERCENT: Final = 20.0
"""A syrup's own sugar this far off its standard, in %, is read again before anyone pours by it."""
