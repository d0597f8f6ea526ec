"""Liquid acid stronger than any juice comes with its caution at every door that shows cautions."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

ACID = "ingredient: citric solution\nkind: seasoning\nsugar: 0 g/l\nacid: 230 g/kg\nallergens: []\n"
SYRUP = "syrup: sharp cordial\nstandard: 50 °Bx\nrecipe: [1000 g sugar, 900 g water, 100 g citric solution]\n"
SUGAR = "ingredient: sugar\nsugar: 1000 g/kg\n"
DRINK = "drink: Sharp\nmethod: shaken\npours: [60 ml gold rum, 5 ml citric solution]\n"
SAID = "protect your eyes; add it to water, never water to it"


@pytest.mark.parametrize(
    "words",
    [
        ("totals", "sharp"),
        ("make", "sharp cordial"),
        ("batch", "add", "citric solution", "--acid", "250g/l"),
        ("bottle", "sharp", "--serves", "2"),
        ("cards", "sharp", "--out", "{out}"),
        ("labels", "--out", "{out}"),
        ("export", "totals", "--out", "{out}"),
    ],
    ids=lambda words: words[0],
)
def test_every_door_says_it(tmp_path: Path, words: tuple[str, ...]) -> None:
    log = '- {"batch": "CIT-1", "syrup": "citric-solution", "event": "made", "acid": "250 g/l"}\n'
    files = {"ingredients__acid": ACID, "ingredients__sugar": SUGAR, "syrups__sharp": SYRUP, "drinks__sharp": DRINK}
    specs = copy_of_house(tmp_path, batches=log, **files)
    out = tmp_path / ("out.csv" if words[0] == "export" else "out.pdf")
    line = [word.format(out=out) for word in words]
    told = run(*line, specs=specs)
    data = run(*line, "--json", specs=specs)
    assert (told.code, data.code) == (0, 0), told
    if words[0] == "export":
        assert SAID in out.read_text(encoding="utf-8")
        return
    assert SAID in json.dumps(data.data)
    if words[0] in ("totals", "make", "batch", "bottle"):
        assert SAID in " ".join(told.out.split())
