"""Whatever one line of the log holds, the other bottles are poured from: no command ever fails of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.cli.runner import copy_of_house, run
from tests.examples import examples
from tests.files.log import hostile

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
SOUND = (
    b'- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 54, "at": "2026-11-24T12:00:00+00:00"}',
    b'- {"batch": "BER-1", "event": "open", "at": "2026-11-24T13:00:00+00:00"}',
)
COMMANDS = [
    ("tonight",),
    ("tonight", "--json"),
    ("tonight", "--date", "2026-11-24", "--json"),
    ("batch", "list", "--all"),
    ("batch", "list", "--json"),
    ("check",),
    ("check", "--json"),
    ("compare", "--json"),
    ("swap", "anchor", "--out", "berry", "--json"),
    ("measure", "52", "--batch", "BER-1", "--json"),
]


@pytest.fixture(scope="module")
def specs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One house for all examples; each writes its own log."""
    return copy_of_house(tmp_path_factory.mktemp("hostile"))


@settings(max_examples=examples(80), deadline=None)
@given(hostile.lines, st.integers(0, len(SOUND)), st.sampled_from(COMMANDS))
@example(b'- {"batch": "BER-1", "event": "reading", "brix": ' + b"9" * 310 + b"}", 2, ("tonight",))
@example(b'- {"batch": "BER-1", "event": "open", "at": "0001-01-01T00:00:00+14:00"}', 1, ("tonight",))
@example(b'- {"batch": "BER-1", "event": "reading", "note": "\\ud800"}', 2, ("batch", "list", "--json"))
def test_one_line_stops_no_command(specs: Path, line: bytes, place: int, words: tuple[str, ...]) -> None:
    """In this process, so that a fault of the program comes out as the exception it is."""
    log = specs / "batches.yaml"
    log.write_bytes(b"".join(each + b"\n" for each in (*SOUND[:place], line, *SOUND[place:])))
    done = run(*words, specs=specs, env=NOW)
    assert done.code in (0, 1)
    assert "fault of the program" not in done.out + done.err
    if words[0] in ("tonight", "batch"):
        assert "BER-1" in done.out
    if words == ("tonight", "--json"):
        (ours,) = (batch for batch in done.data["batches"] if batch["batch"] == "BER-1")
        assert ours["batch_brix"] == 54.0
    if "--json" in words and done.err:
        for problem in json.loads(done.err)["problems"]:
            assert (problem["path"], problem["line"]) == (str(log), place + 1)


@settings(max_examples=examples(12), deadline=None)
@given(hostile.lines)
@example(
    b'- {"batch": "ODD-1", "event": "made", "syrup": "berry-syrup", "brix": 50, "by": "\\ud800", "note": "\\u0000"}'
)
def test_one_line_stops_no_label(specs: Path, line: bytes) -> None:
    (specs / "batches.yaml").write_bytes(b"".join(each + b"\n" for each in (*SOUND, line)))
    done = run("labels", "--out", str(specs / "labels.pdf"), "--json", specs=specs, env=NOW)
    assert done.code in (0, 1)
    assert "BER-1" in [label["batch"] for label in done.data["labels"]]
