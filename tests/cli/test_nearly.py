"""What is typed nearly right is never taken for what writes, and a file is never taken for a drink."""

from __future__ import annotations

from balancer.files.house.demo import demo_folder
from tests.cli.runner import run


def test_an_option_that_is_only_like_the_one_that_writes_is_not_taken_for_it() -> None:
    done = run("adjust", "slipway", "--drier", specs=demo_folder())

    assert done.code == 2
    assert "--write" not in done.err


def test_a_file_in_the_place_of_a_drink_is_told_how_it_is_compared() -> None:
    done = run("adjust", "menu/slip.yaml", "--sugar", "-10%", specs=demo_folder())

    assert done.code == 2
    assert "balancer totals DRINK --against FILE" in done.err
