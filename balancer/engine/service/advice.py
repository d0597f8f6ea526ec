"""What to do about one batch, in the fixed order of the rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.engine.service.decision import Verdict

AdviceWord = Literal["as written", "change pours", "correct the batch", "read again", "pull"]

_RANK: Final[Mapping[Verdict, int]] = {"as written": 0, "new pour": 1, "out of reach": 2}
"""The less, the better for the drink."""

_RATIOS: Final = ((50.0, "1:1"), (60.0, "3:2"), (200.0 / 3.0, "2:1"))


class Advice(NamedTuple):
    """One word of advice, and the one sentence that gives its reason."""

    word: AdviceWord
    reason: str

    @property
    def is_unsure(self) -> bool:
        """Whether nobody should pour by this batch before something else is done."""
        return self.word in ("read again", "pull")


def advise(  # noqa: PLR0913 - one for each thing known of a batch
    verdicts: Sequence[tuple[str, Verdict]],
    *,
    brix: float,
    standard_brix: float,
    syrup_sugar_percent: float,
    tolerance_percent: float,
    batch_tolerance_brix: float,
    in_service: bool = True,
    confirmed: bool = False,
    small_pours: bool = False,
    elsewhere: Sequence[str] = (),
    at_standard: Mapping[str, Verdict] | None = None,
) -> Advice:
    """The advice on a batch, by its syrup's standard: a batch is never corrected for a drink that this does not help.

    verdicts             drink name and verdict, for every drink that pours the syrup
    syrup_sugar_percent  how far the syrup's own sugar per ml is off, %
    in_service           the batch is open and being poured
    confirmed            an implausible reading has been repeated
    elsewhere            names of drinks that are off as written because of another syrup
    at_standard          verdicts with the batch at its standard, by name, of drinks written for another strength
    small_pours          some verdicts are as written only because the pour is too small to change
    """
    if abs(syrup_sugar_percent) > IMPLAUSIBLE_PERCENT:
        if confirmed:
            return Advice("pull", f"it holds {_amount(syrup_sugar_percent)} sugar than its standard, read twice")
        return Advice("read again", f"{_guess(brix)}; stir and read again")
    at_best = at_standard or {}
    if all(verdict == "as written" for _, verdict in verdicts):
        if not verdicts:
            return Advice("as written", "no drink pours it")
        if elsewhere:
            are = "is" if len(elsewhere) == 1 else "are"
            return Advice("as written", f"its own pours stay; {_names(elsewhere)} {are} off with another syrup")
        aside = ", but for pours too small to change" if small_pours else ""
        return Advice("as written", f"every drink keeps its sugar within {tolerance_percent:g} % as written{aside}")
    if not in_service and abs(brix - standard_brix) > batch_tolerance_brix:
        return Advice("correct the batch", f"it is not open yet, and more than {batch_tolerance_brix:g} °Bx off")
    helped = [(name, verdict) for name, verdict in verdicts if _RANK[at_best.get(name, "as written")] < _RANK[verdict]]
    stuck = [name for name, verdict in helped if verdict == "out of reach"]
    if stuck:
        return Advice("correct the batch", f"no pour is right for {_names(stuck)}")
    if helped and not in_service:
        names = _names([name for name, _ in helped])
        return Advice("correct the batch", f"it is not open yet, and {names} would need another pour")
    return _in_service(verdicts)


def _in_service(verdicts: Sequence[tuple[str, Verdict]]) -> Advice:
    """The advice where correcting the batch is not called for: what has a pour pours it."""
    moved = sum(verdict == "new pour" for _, verdict in verdicts)
    apart = [name for name, verdict in verdicts if verdict == "out of reach"]
    reasons = [f"no pour is right for {_names(apart)}, written for another strength than its standard"] * bool(apart)
    if not moved:
        return Advice("as written", *reasons)
    drinks, them = ("one drink is", "it") if moved == 1 else (f"{moved} drinks are", "each")
    return Advice("change pours", "; ".join([f"{drinks} off, and there is a pour for {them}", *reasons]))


def _amount(percent: float) -> str:
    return f"{abs(percent):.0f} % {'more' if percent > 0 else 'less'}"


def _guess(brix: float) -> str:
    ratio = next((name for strength, name in _RATIOS if abs(brix - strength) <= 1.5), None)
    return f"it reads like a {ratio}" if ratio else f"{brix:.1f} °Bx is far from what this syrup should be"


def _names(names: Sequence[str]) -> str:
    if len(names) <= 2:
        return " and ".join(names)
    return f"{names[0]}, {names[1]} and {len(names) - 2} more"
