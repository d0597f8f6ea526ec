"""A change of a file as lines: whatever changes, the lines put together again are the new file."""

from __future__ import annotations

import difflib

from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.output.words.edit import FileChange
from tests.examples import USUAL, examples

LINES = st.lists(st.sampled_from(["a", "b", "c", "", "version: 3"]), max_size=12)


@settings(max_examples=examples(3 * USUAL), deadline=None)
@given(LINES, LINES, LINES, LINES)
def test_the_hunks_make_the_new_file_of_the_old(
    head: list[str], old: list[str], new: list[str], tail: list[str]
) -> None:
    before, after = [*head, *old, *tail], [*head, *new, *tail]
    change = FileChange("f", "".join(f"{line}\n" for line in before), "".join(f"{line}\n" for line in after))
    made, at = list[str](), 0
    for hunk in change.hunks():
        made += before[at : hunk.above]
        assert before[hunk.above : hunk.above + len(hunk.taken)] == hunk.taken
        assert len(made) == hunk.new_above
        made += hunk.put
        at = hunk.above + len(hunk.taken)
    assert [*made, *before[at:]] == after
    assert bool(change.diff()) is (before != after)


def test_it_reads_like_the_standard_library_s() -> None:
    old, new = list("abcdefgh"), list("abXdeefh")
    change = FileChange("f", "\n".join(old), "\n".join(new))
    assert change.diff() == list(difflib.unified_diff(old, new, "f", "f", n=0, lineterm=""))
    assert change.shown("written: ")[0] == "written: f, lines 3, 6, 7"
    assert change.line == 3


def test_a_new_file() -> None:
    change = FileChange("f", "", "a\nb\n")
    assert change.diff() == ["--- /dev/null", "+++ f", "@@ -0,0 +1,2 @@", "+a", "+b"]
    assert change.shown() == ["f, a new file", "+a", "+b"]
