"""The label of a bottled drink, as it is typed, and what comes out of the printer."""

from __future__ import annotations

import contextlib
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from balancer.output.paper.label_sizes import larger, size_of
from tests import pdf
from tests.cli.runner import CHECKOUT, Run, run
from tests.cli.test_labels import unspaced
from tests.cli.test_strips import house_with, made, said, sour

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
DEMO = CHECKOUT / "specs"


def bottle(folder: Path, *words: str, specs: Path = DEMO, out: str = "b.pdf") -> tuple[Run, Path]:
    with contextlib.chdir(folder):
        return run("bottle", *words, "--out", out, specs=specs, env=NOW), folder / out


def test_the_label_says_what_the_screen_says(tmp_path: Path) -> None:
    done, path = bottle(tmp_path, "slipway", "--serves", "12", "--from", "RAS-12")
    assert done.code == 0
    assert done.first.startswith("12 serves of Slipway Sour: 1.88 l")
    assert "1 label for a 62 mm roll → b.pdf" in said(done)
    text = unspaced(pdf.text(path))
    assert text.startswith(
        "THE FERRY SLIP Slipway Sour pour 157 ml from RAS-12, LIM-1 holds 1.88 l, 12 serves ice water"
    )
    assert "alcohol 15.3 % ABV on the day lime juice goes in made Wed 25 Nov use by Wed 25 Nov keep at 4 °C" in text
    assert "allergens none listed by the house" in text


@pytest.mark.parametrize("drink", ["slipway", "last lamp", "cormorant", "eelgrass", "winter berth", "lock keeper"])
def test_every_figure_is_that_of_json(tmp_path: Path, drink: str) -> None:
    """Rounded as the screen rounds: whole ml, one decimal of the ABV."""
    data: dict[str, Any] = bottle(tmp_path, drink, "--serves", "6", "--json")[0].data
    text = unspaced(pdf.text(tmp_path / "b.pdf"))
    assert f"pour {data['serve_ml']:.0f} ml" in text
    assert f"holds {data['total']['volume_ml']:.0f} ml, 6 serves" in text
    abv = data["total"]["abv_percent"]
    assert f"alcohol {re.sub('[.]0$', '', f'{abv:.1f}')} % ABV" in text
    for name in data["allergens"]:
        assert re.search(rf"contains (?:.* )?{name}", text)
    for name in data["allergens_unknown"]:
        assert re.search(rf"allergens not known .*{name}", text)
    for batch in data["went_in"]:
        assert batch in text
    for item in data["left_out"]:
        assert re.search(rf"at service add .*{item['name']}", text)
        assert all(f"{name} (added)" in text or name in data["allergens"] for name in item["allergens"] or [])
    for caution in data["cautions"]:
        assert caution in text
    assert ("allergens none listed" in text) == (not re.search("contains|allergens not known", text))
    assert data["printed"]["files"] == ["b.pdf"]


def test_unknown_alcohol_is_said_and_never_none(tmp_path: Path) -> None:
    """A drink whose only spirit has no ABV in its file, of which nobody knows allergens or how long it keeps."""
    odd = {
        "drink": "Odd One",
        "method": "built",
        "dilution": "20 %",
        "pours": ["40 ml odd spirit", "10 ml berry syrup"],
    }
    specs = house_with(tmp_path, made("BER-1", "berry-syrup", 50.0), odd)
    spirit = "ingredient: odd spirit\nkind: spirit\nsugar: 0 g/l\ndensity: 0.95 g/ml\n"
    (specs / "ingredients" / "odd.yaml").write_text(spirit, encoding="utf-8")
    done, path = bottle(tmp_path, "odd one", "--serves", "6", specs=specs)
    text = " ".join(pdf.text(path).split())
    assert "alcohol not known" in text
    assert "0 % ABV" not in text
    assert "allergens not known odd spirit" in text
    assert "use by keep" in text  # a line to write on
    assert "a full bottle may burst in a freezer" in text
    assert done.code == 0


def test_what_may_not_be_bottled_has_no_label(tmp_path: Path) -> None:
    odd = {"drink": "Odd One", "method": "swirled", "pours": ["40 ml dry gin", "10 ml berry syrup"]}
    done, path = bottle(tmp_path, "odd one", "--serves", "6", specs=house_with(tmp_path, [], odd))
    assert done.code == 1
    assert "dilution" in done.err
    assert not path.exists()


def test_small_labels_lose_figures_before_what_is_safe(tmp_path: Path) -> None:
    done, path = bottle(tmp_path, "last lamp", "--serves", "6", "--size", "a4-21", "--copies", "21")
    assert "21 labels of 63.5 × 38.1 mm, on 1 page of A4 → b.pdf" in said(done)
    text = " ".join(pdf.text(path).split())
    assert text.count("sulphites") == text.count("red bitter aperitif") == text.count("Tue 22 Dec") == 21
    told = bottle(tmp_path, "slipway", "--serves", "6", "--size", "2x1", "--json")[0].data["printed"]
    assert told["size"] == "2x1"
    assert {"by", "details"} <= set(told["left_off"])


@pytest.mark.parametrize(
    ("drink", "name", "size"),
    [
        ("cormorant", "Cormorant's Collar", "2x1"),
        ("cormorant", "Cormorant's Collar", "letter-30"),
        ("winter berth", "Winter Berth", "a4-21"),
    ],
)
def test_a_label_without_room_is_refused_with_the_smallest_that_has_it_and_the_recipe_told(
    tmp_path: Path, drink: str, name: str, size: str
) -> None:
    done, path = bottle(tmp_path, drink, "--serves", "6", "--size", size)
    assert done.code == 1
    assert done.first.startswith(f"6 serves of {name}: ")
    assert "does not fit" in done.err
    assert not path.exists()
    asked = size_of(size)
    (named,) = re.findall(r"it fits on --size ([^,]+), or a roll: --size 62", done.err)
    assert size_of(named) in list(larger(asked))
    for other in larger(asked):
        fits = bottle(tmp_path, drink, "--serves", "6", "--size", other.word)[0].code == 0
        assert fits == (other.word == named)
        if fits:
            break
    assert bottle(tmp_path, drink, "--serves", "6", "--size", "62")[0].code == 0


def test_a_bottle_is_not_logged_while_its_label_is_to_be_asked_for_again(tmp_path: Path) -> None:
    folder = tmp_path / "bar"
    shutil.copytree(DEMO, folder)
    before = (folder / "batches.yaml").read_bytes()
    words = ["reedbed", "--serves", "6", "--from", "RAS-12", "--log"]
    refused = bottle(tmp_path, *words, "--size", "letter-30", "--json", specs=folder)[0]
    assert (refused.code, refused.data["printed"], refused.data["from"]["logged"]) == (1, None, False)
    assert (folder / "batches.yaml").read_bytes() == before
    assert bottle(tmp_path, *words, "--json", specs=folder)[0].data["from"]["logged"]
    assert (folder / "batches.yaml").read_bytes() != before


def test_options_of_a_label_want_a_label(tmp_path: Path) -> None:
    done = run("bottle", "slipway", "--serves", "6", "--copies", "3", specs=DEMO, env=NOW)
    assert done.code == 2
    assert "say where: --out label.pdf" in done.err
    assert bottle(tmp_path, "slipway", "--serves", "6", out="b.doc")[0].code == 2
    assert bottle(tmp_path, "slipway", "--serves", "6", "--size", "a5")[0].code == 2


def test_hostile_names_stay_text(tmp_path: Path) -> None:
    name = '#import "x" *bold* $x$ <b> ' + "Donaudampfschiff" * 8
    odd = {"drink": name, "method": "stirred", "pours": ["40 ml dry gin", "10 ml berry syrup"], "id": "odd"}
    done, path = bottle(tmp_path, "odd", "--serves", "6", specs=house_with(tmp_path, [], odd))
    assert (done.code, done.err) == (0, "")
    text = pdf.text(path).replace("\u200b", "").replace(" ", "")
    assert "#import“x”*bold*$x$<b>" in text
    assert text.count("Donaudampfschiff") == 8
    assert all(3.5 < word.left < word.right < 58.5 for word in pdf.words(path))


def test_two_open_batches_are_both_on_the_label(tmp_path: Path) -> None:
    """ORG-1 and ORG-2, into which nut syrup went: its tree nuts are said; of what is shaken in, that it is raw egg."""
    nuts = {"syrup": "nut syrup", "standard": "50 °Bx", "keeps": "30 days", "allergens": ["tree nuts"]}
    plain = {"syrup": "plain one", "standard": "50 °Bx", "keeps": "30 days", "allergens": []}
    strong = sour("Strong", "5 ml plain one") | {"dilution": "10 %", "extras": ["1 egg white"]}
    log = [
        *made("ORG-1", "plain-one", 50.0),
        *made("NUT-1", "nut-syrup", 50.0)[:1],
        *made("ORG-2", "plain-one", 50.0, refers=["NUT-1"]),
    ]
    specs = house_with(tmp_path, log, nuts, plain, strong)
    done, path = bottle(tmp_path, "strong", "--serves", "4", specs=specs)
    text = unspaced(pdf.text(path))
    assert "from ORG-1 / ORG-2" in text
    assert "contains tree nuts" in text
    assert "raw egg" in text
    assert "ORG-1 and ORG-2 are open: last day and allergens are those of both" in said(done)
    assert "say which: --from ORG-1" in said(done)
    named, path = bottle(tmp_path, "strong", "--serves", "4", "--from", "ORG-1", specs=specs)
    assert "ORG-2" not in unspaced(pdf.text(path))
    assert "tree nuts" not in unspaced(pdf.text(path))
    assert "say which" not in said(named)
