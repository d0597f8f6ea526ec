"""Words that `fits` says on the screen and in JSON alike."""

from __future__ import annotations

from balancer.errors import BalancerError
from balancer.models.drink import Drink

Failed = tuple[Drink, BalancerError]
