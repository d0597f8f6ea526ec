"""The page on safety is one, is at hand wherever the package is, and is named where somebody may be hurt."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT, copy_of_house, run

PAGE = CHECKOUT / "docs" / "safety.md"


def test_it_is_printed_without_its_marks_and_needs_no_folder() -> None:
    done = run("safety", specs=None)
    assert (done.code, done.err, done.first) == (0, "", "SAFETY")
    assert not re.search(r"\]\(|\*\*|^#|`", done.out, re.MULTILINE)
    words = PAGE.read_text(encoding="utf-8").replace("**", "")
    for said in ("local rules and licensed practice decide", "sweet almonds only", "Add acid to water", "use by ____"):
        assert said in " ".join(words.split())
        assert said in " ".join(done.out.split())


def test_json_has_every_section() -> None:
    titles = re.findall(r"^## (.*)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    sections = run("safety", "--json", specs=None).data["sections"]
    assert [section["title"] for section in sections] == ["Safety", *titles]
    assert all(section["text"] for section in sections)


def test_a_topic_is_a_word_of_a_title() -> None:
    done = run("safety", "freez", specs=None)
    assert done.first == "BOTTLES, GLASS, FREEZING"
    assert "leave a tenth empty" in done.out
    assert "amygdalin" not in done.out
    lost = run("safety", "unicorns", specs=None)
    assert (lost.code, lost.out) == (2, "")
    assert "Strong acids" in lost.err


def test_a_wheel_carries_it() -> None:
    """Where `files/safety.py` looks first."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]
    assert project["targets"]["wheel"]["force-include"]["docs/safety.md"] == "balancer/safety.md"
    assert "docs" in project["targets"]["sdist"]["include"]


@pytest.mark.parametrize(
    "line",
    [
        "bottle 'anchor sour' --serves 2",
        "batch add berry --brix 50",
        "labels --out {out}",
        "make sharp",
    ],
)
def test_it_is_named_where_somebody_may_be_hurt(tmp_path: Path, line: str) -> None:
    sharp = "syrup: sharp\nstandard: 50 °Bx\nrecipe: [1000 g sugar, 1000 g water, 20 g citric acid]\n"
    log = '- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 50}\n'
    specs = copy_of_house(
        tmp_path, syrups__sharp=sharp, ingredients__sugar="ingredient: sugar\nsugar: 1000 g/kg\n", batches=log
    )
    done = run(*shlex.split(line.format(out=tmp_path / "a.pdf")), specs=specs)
    assert "balancer safety" in " ".join(done.out.split())
