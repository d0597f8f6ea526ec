"""One card printed anew has the letters that it has among all of them."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.output.paper.typeset import Pages, typeset
from tests.across.houses import tried
from tests.cli.runner import copy_of_house, run

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
Seen = tuple[int, dict[str, Any]]
"""The step of the letters, and by drink what its card is measured by."""


def write(specs: Path, drinks: list[dict[str, Any]]) -> None:
    """Only these drinks, in a house that is there."""
    for path in (specs / "drinks").iterdir():
        path.unlink()
    for number, drink in enumerate(drinks):
        spec = {"method": "shaken", **drink}
        (specs / "drinks" / f"{number:02d}.yaml").write_text(json.dumps(spec, ensure_ascii=False), encoding="utf-8")


def seen(patch: pytest.MonkeyPatch, specs: Path, *words: str) -> Seen:
    """What `cards` sets."""
    found: list[Seen] = []

    def watched(template: Path, data: dict[str, Any], *rest: Any) -> Pages:
        pages = typeset(template, data, *rest)
        found.append((pages.told["step"], {item["name"]: item for item in (*data["items"], *data["others"])}))
        return pages

    with patch.context() as own:
        own.setattr("balancer.desk.printing.cards.typeset", watched)
        done = run("cards", *words, "--out", str(specs.parent / "cards.pdf"), specs=specs, env=NOW)
    assert done.code == 0, done.out
    (only,) = found
    return only


SIGNS = st.text(st.sampled_from("abcdef mwil"), max_size=60).map(lambda text: text.strip() or "w")


@st.composite
def menus(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Drinks whose feet are more or less long, and whose cards are more or less full."""
    found = []
    for number in range(draw(st.integers(2, 4))):
        bottles = ["60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup"][: draw(st.integers(1, 3))]
        found.append(
            {
                "drink": f"Drink {number}",
                "pours": bottles,
                "steps": draw(st.lists(SIGNS, max_size=9)),
                "by": draw(SIGNS),
                "version": draw(st.integers(1, 99)),
                "date": "2026-11-20",
            }
        )
    return found


@tried(60)
@given(menus(), st.sampled_from(["a6", "3x5"]))
def test_a_reprint_has_the_letters_of_the_whole_menu(menu: list[dict[str, Any]], size: str) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        specs = copy_of_house(Path(folder))
        write(specs, menu)
        step, cards = seen(patch, specs, "--size", size)
        assert seen(patch, specs, menu[0]["drink"], "--size", size) == (step, cards)
        write(specs, [{**menu[0], "method": "stirred"}, *menu[1:]])
        step, cards = seen(patch, specs, "--size", size, "--draft")
        assert seen(patch, specs, "--changed", "--size", size, "--draft") == (step, cards)


def test_the_cards_that_are_not_printed_are_measured_with_their_marks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    specs = copy_of_house(tmp_path)
    pours = ["60 ml gold rum"]
    write(specs, [{"drink": name, "pours": pours} for name in ("Alpha", "Beta")])
    _, all_of_them = seen(monkeypatch, specs)
    _, one = seen(monkeypatch, specs, "Alpha")
    assert len(one["Beta"]["mark"]) == 4
    assert one["Beta"]["made"] == "printed 25 Nov 2026" == all_of_them["Beta"]["made"]
    assert one == all_of_them
