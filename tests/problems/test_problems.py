"""Every kind of problem has a sample, says what it should, and stands in the reference."""

from __future__ import annotations

import re

import pytest

from tests.files.codes import loader_codes
from tests.problems.generate import PAGE, first, page
from tests.problems.samples import Sample, provoked, samples

SAMPLES = samples()
WRAPPED = {
    "cannot": "the base of all errors, which nothing raises as such",
    "out-of-range": "a formula's range; the loader calls a liquid that leaves it impossible",
    "unwritable": "a file that a command writes; the loader writes none",
    "time": "a moment in the batch log, which check reads too; no other file holds one",
}
"""Codes in modules the loader imports that no file can provoke by themselves, and why."""


@pytest.mark.parametrize(
    "sample",
    [
        pytest.param(sample, id=sample.name, marks=pytest.mark.slow if sample.code == "too-large" else ())
        for sample in SAMPLES
    ],
)
def test_sample_prints_what_it_should(sample: Sample) -> None:
    problems, printed = provoked(sample)
    assert printed == sample.printed
    assert {problem.code for problem in problems} == {sample.code} or sample.code == "several"


def test_every_code_has_a_sample() -> None:
    written = {code: modules for code, modules in loader_codes().items() if code not in WRAPPED}
    shown = {sample.code for sample in SAMPLES} - {"several"}
    assert written.keys() - shown == set(), "codes without a sample"
    assert shown - written.keys() == set(), "samples of a code that is gone"


def test_what_is_wrapped_is_still_there() -> None:
    assert set(loader_codes()) >= set(WRAPPED)


def test_several_are_several() -> None:
    for sample in SAMPLES:
        if sample.code == "several":
            codes = [problem.code for problem in provoked(sample)[0]]
            assert len(set(codes)) > 5


def test_every_sample_is_told_once_with_its_code_and_its_remedy() -> None:
    """Whole, or in a row of a table whose signs are kept from meaning anything there."""
    said = PAGE.read_text(encoding="utf-8").replace("\\", "")
    for sample in SAMPLES:
        assert said.count(f"| `{sample.code}` | {one_line(sample.title)} |") + (f"\n{sample.title}" in said) == 1
        if sample.code != "several":
            assert f"`{sample.code}`" in said
            assert one_line(first(sample).remedy.replace("\\", "")) in one_line(said)


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_the_reference_is_not_stale() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python -m tests.problems.generate"


JARGON = re.compile(
    r"\b(traceback|exception|pars|token|scalar|mapping|sequence|node|none|null|dict|string|float|integer|boolean|input|"
    r"validat|pydantic|invalid|syntax|schema|key error|value error)"
)


def test_kitchen_words_only() -> None:
    """No word of a programmer reaches a person who mends a file."""
    for sample in SAMPLES:
        for problem in provoked(sample)[0]:
            assert not JARGON.findall(f"{problem.message} {problem.remedy}".casefold()), sample.name
