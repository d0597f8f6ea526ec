"""One line a ratio, its limit beside it; the exit code says whether all were kept."""

from __future__ import annotations


class Report:
    """Ratios and their limits, printed as they come."""

    def __init__(self) -> None:
        self._missed = 0

    def ratio(self, what: str, measured: float, limit: float, note: str) -> None:
        """One ratio, to be at most its limit."""
        kept = measured <= limit
        self._missed += not kept
        print(f"{what:<44} {measured:6.2f}   limit {limit:.2f}   {'kept' if kept else 'MISSED'}   ({note})")

    def exit_code(self) -> int:
        """0 when every limit was kept."""
        return 1 if self._missed else 0
