"""What every test shares: one hypothesis profile."""

from __future__ import annotations

import gc

from hypothesis import HealthCheck, settings

from tests.examples import USUAL, examples

# The same examples every run, so that a failure is the change's. A loaded machine is no failure either.
settings.register_profile(
    "balancer",
    max_examples=examples(USUAL),
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("balancer")

# Thousands of collected tests are no rubbish, and looking through them over and over takes a tenth of the time.
gc.set_threshold(200_000, 50, 50)
