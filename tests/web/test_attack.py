"""What is forged, oversized, malformed or guessed is refused by a page that is served as a bar serves it."""

from __future__ import annotations

import pytest

from tests.web.attack import KEYS, run

pytestmark = pytest.mark.slow


@pytest.mark.slow
def test_everything_is_refused() -> None:
    found = {one.kind: one for one in run()}
    assert [str(one) for one in found.values() if one.through] == []
    assert all(one.answers.total() >= 6 for one in found.values())
    wrong = found["wrong key, and the right one after them"].answers
    assert wrong.total() == KEYS + 1
    assert wrong[403] == 5  # the others were not even compared
