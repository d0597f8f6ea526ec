"""What every test shares: one hypothesis profile."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# The same examples every run, so that a failure is the change's. A loaded machine is no failure either.
settings.register_profile("balancer", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("balancer")
