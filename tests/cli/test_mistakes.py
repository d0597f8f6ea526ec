"""Every typing mistake says what is wrong and what to do, and what it says to do is accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.cli.app import COMMANDS
from tests.cli.mistakes import MISTAKES, PAGE, Mistake

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.name)
def test_what_is_wrong_and_what_to_do(mistake: Mistake) -> None:
    """A typed slip gives no answer; a file's is told by check. Nothing but the record is a snapshot."""
    done = mistake.typed()
    said = done.out + done.err
    assert done.code == (1 if mistake.files else done.code) != 0
    assert [words for words in mistake.says if words not in said] == []
    assert mistake.text(done) in PAGE.read_text(encoding="utf-8"), "if wanted: python -m tests.cli.mistakes"


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.name)
def test_the_remedy_works(mistake: Mistake) -> None:
    done = mistake.followed()
    assert (done.code, done.out != "") == (0, True), done.err


def test_the_record_is_whole() -> None:
    """At least forty, of every command, and nothing in the record that nobody makes any more."""
    assert len(MISTAKES) >= 40
    names = [mistake.name for mistake in MISTAKES]
    assert len(set(names)) == len(names)
    tried = {mistake.right.partition(" ")[0] for mistake in MISTAKES}
    assert set(COMMANDS) - tried == set()
    record = Path(PAGE).read_text(encoding="utf-8")
    assert [line for line in record.splitlines() if line.startswith("# ")] == [f"# {name}" for name in names]
