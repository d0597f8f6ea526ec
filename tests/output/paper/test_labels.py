"""The words of a label."""

from __future__ import annotations

import pytest

from balancer.output.paper.labels import strength_text
from balancer.units import Quantity
from tests.engine.builders import bar
from tests.engine.service.test_labels import one
from tests.engine.service.test_strips import MENU
from tests.engine.service.test_tonight import batch


@pytest.mark.parametrize(
    ("liquid", "brix", "changes", "says"),
    [
        ("berry-syrup", 54.04, {}, "54 °Bx, spec 50"),
        ("berry-syrup", 50.0, {"verified": False}, "50 °Bx predicted, read it"),
        ("berry-syrup", 66.7, {"verified": False}, "66.7 °Bx? read it again"),
        ("berry-syrup", None, {"verified": False}, "strength not read"),
        ("lime-juice", None, {}, "acid not read"),
        ("lime-juice", None, {"acid": Quantity(52.0, "g/l")}, "acid 52 g/l"),
        ("lime-juice", 8.2, {"acid": Quantity(52.0, "g/l")}, "8.2 °Bx, acid 52 g/l"),
    ],
)
def test_strength_says_whether_it_was_read(
    liquid: str, brix: float | None, changes: dict[str, object], says: str
) -> None:
    assert strength_text(one(bar(*MENU), batch("ONE-1", liquid, brix, **changes))) == says
