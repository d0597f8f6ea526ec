"""What to do about a batch: each rule, and which of two that hold comes first."""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.service.advice import Advice, advise
from balancer.engine.service.decision import Verdict

AS_WRITTEN: tuple[str, Verdict] = ("Eelgrass", "as written")
NEW_POUR: tuple[str, Verdict] = ("Slipway", "new pour")
STUCK: tuple[str, Verdict] = ("Marline Hitch", "out of reach")


def advice(*verdicts: tuple[str, Verdict], **changed: Any) -> Advice:
    """The advice on a batch of 50 °Bx that reads 53, sugar 7 % up, unless said otherwise."""
    batch = {
        "brix": 53.0,
        "standard_brix": 50.0,
        "syrup_sugar_percent": 7.0,
        "tolerance_percent": 5.0,
        "batch_tolerance_brix": 1.0,
    }
    return advise(verdicts, **(batch | changed))


@pytest.mark.parametrize("percent", [20.1, -20.1])
def test_an_implausible_strength_comes_before_everything(percent: float) -> None:
    """More than 20 % off is rather a slip of the hand: read again, even when no drink would move."""
    assert advice(AS_WRITTEN, syrup_sugar_percent=percent).word == "read again"
    assert advice(STUCK, syrup_sugar_percent=percent, in_service=False).word == "read again"


@pytest.mark.parametrize(("percent", "said"), [(44.0, "44 % more"), (-30.0, "30 % less")])
def test_an_implausible_strength_read_twice_is_pulled(percent: float, said: str) -> None:
    """Confirmed, it is the batch and not the sample."""
    found = advice(NEW_POUR, syrup_sugar_percent=percent, confirmed=True)

    assert found.word == "pull"
    assert said in found.reason


def test_confirming_a_plausible_strength_changes_nothing() -> None:
    """Twenty per cent exactly is not more than twenty."""
    assert advice(NEW_POUR, syrup_sugar_percent=20.0, confirmed=True).word == "change pours"


@pytest.mark.parametrize(("brix", "ratio"), [(66.0, "2:1"), (59.0, "3:2"), (50.9, "1:1")])
def test_what_it_may_have_been_mixed_up_with_is_named(brix: float, ratio: str) -> None:
    """1:1, 3:2 and 2:1 by weight are 50, 60 and 66.7 °Bx."""
    assert advice(NEW_POUR, brix=brix, syrup_sugar_percent=40.0).reason == (
        f"it reads like a {ratio}; stir and read again"
    )


def test_a_strength_like_no_ratio_is_only_called_far_off() -> None:
    """Nothing is guessed between the usual ratios."""
    assert advice(NEW_POUR, brix=36.0, syrup_sugar_percent=-30.0).reason.startswith("36.0 °Bx is far from")


@pytest.mark.parametrize("in_service", [True, False])
def test_when_no_drink_moves_it_is_poured_as_written(in_service: bool) -> None:
    """Even a batch outside its own tolerance: the drinks decide."""
    found = advice(AS_WRITTEN, AS_WRITTEN, in_service=in_service)

    assert found.word == "as written"


def test_a_syrup_that_no_drink_pours() -> None:
    """Nothing to change, and it says why."""
    assert advice() == Advice("as written", "no drink pours it")


@pytest.mark.parametrize("verdict", [NEW_POUR, STUCK])
def test_a_closed_batch_out_of_tolerance_is_corrected(verdict: tuple[str, Verdict]) -> None:
    """Prep has the time that service has not."""
    found = advice(AS_WRITTEN, verdict, in_service=False)

    assert found.word == "correct the batch"
    assert "not open yet" in found.reason
    assert "1 °Bx" in found.reason


def test_an_open_batch_changes_pours_when_every_drink_has_one() -> None:
    """Service goes on."""
    one, two = advice(AS_WRITTEN, NEW_POUR), advice(NEW_POUR, NEW_POUR)

    assert one.word == two.word == "change pours"
    assert "one drink" in one.reason
    assert "2 drinks" in two.reason


def test_one_drink_out_of_reach_is_enough_to_correct() -> None:
    """The jigger has no pour for it, and it is named."""
    found = advice(NEW_POUR, STUCK, AS_WRITTEN)

    assert found.word == "correct the batch"
    assert "Marline Hitch" in found.reason
    assert "Slipway" not in found.reason


def test_a_closed_batch_within_tolerance_is_corrected_too_when_a_drink_moves() -> None:
    """Changing pours is for batches in service; the last rule takes the rest."""
    found = advice(NEW_POUR, brix=50.9, in_service=False)

    assert found == Advice("correct the batch", "it is not open yet, and Slipway would need another pour")


def test_the_edge_of_the_batch_tolerance_is_inside() -> None:
    """1 °Bx off with a tolerance of 1 °Bx is not outside it."""
    assert "more than" not in advice(NEW_POUR, brix=51.0, in_service=False).reason
    assert "more than" in advice(NEW_POUR, brix=51.1, in_service=False).reason


def test_many_names_are_shortened() -> None:
    """A reason is one sentence."""
    stuck: list[tuple[str, Verdict]] = [(name, "out of reach") for name in ("A", "B", "C", "D")]

    assert advice(*stuck).reason.endswith("A, B and 2 more")
