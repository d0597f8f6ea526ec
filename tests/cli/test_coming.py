"""What comes in a swap, as a person types it."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.desk.swapping import made_up
from balancer.errors import UsageError
from balancer.files.house.demo import demo_folder
from tests.cli.runner import copy_of_house, run


@pytest.mark.parametrize(
    "text",
    ["50 °Bx, acid 9 g/kg", "50 Bx, acid 9 g/kg", "50°Bx,acid 9g/kg", "50 brix; 9 g/kg acid", "50,0 °Bx, acid: 9 g/kg"],
)
def test_ways_to_write_a_syrup_that_does_not_exist(text: str) -> None:
    found = made_up(text, "--in")

    assert found is not None
    assert found.standard == 50.0
    assert found.acid is not None
    assert (found.acid.value, found.acid.unit) == (9.0, "g/kg")
    assert found.allergens is None


def test_its_sugars_and_what_else_a_file_tells() -> None:
    found = made_up("60 °Bx, sugars fructose 60 %, glucose 40 %, acid 8 g/l, abv 5 %, sugar share 90 %", "--in")

    assert found is not None
    assert found.sugars == pytest.approx({"fructose": 0.6, "glucose": 0.4})
    assert found.acid is not None
    assert (found.acid.unit, found.abv, found.sugar_share) == ("g/l", 5.0, 90.0)


@pytest.mark.parametrize("text", ["berry syrup", "2:1 syrup", "rich", "50 ml"])
def test_a_name_is_no_made_up_syrup(text: str) -> None:
    assert made_up(text, "--in") is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("50", '"50" is no name'),
        ("500 °Bx", '"500 °Bx" cannot be right'),
        ("50 °Bx, colour 3", 'nothing of a syrup is "colour 3"'),
        ("50 °Bx, acid 9", "9"),
        ("50 °Bx, sugars cellulose 100 %", "cellulose"),
    ],
)
def test_what_a_file_would_refuse_is_wrong_usage(text: str, said: str) -> None:
    with pytest.raises(UsageError) as caught:
        made_up(text, "--in")
    problem = caught.value.problems()[0]
    assert said in problem.message
    assert problem.message.startswith("--in: ")
    assert problem.remedy


def test_swap_fits_and_aim_take_one_and_its_allergens_are_unknown() -> None:
    swapped = run("swap", "anchor", "--out", "berry", "--in", "50 Bx, acid 9 g/kg")
    assert swapped.code == 0
    assert swapped.first.startswith("allergens of syrup of 50 °Bx and acid 9 g/kg unknown: ask before it is served")
    assert "made up: no file has it" in swapped.out
    data = run("swap", "anchor", "--out", "berry", "--in", "50 Bx, acid 9 g/kg", "--json").data
    assert data["allergens"]["unknown"] == [data["in"]]
    menu = run("swap", "--all", "--out", "berry", "--in", "50 Bx", "--json").data
    assert len(menu["drinks"]) == 3

    fits = run("fits", "anchor", "--in", "60 °Bx")
    assert "syrup of 60 °Bx: allergens unknown" in fits.out
    # 60 °Bx and no acid for 50 °Bx and none: to make it to 50 is to pour it one for one.
    aimed = run("aim", "60 °Bx", "--for", "plain", "--json").data
    assert aimed["brix"] == pytest.approx(50.0, abs=1e-6)
    assert aimed["unknown_allergens"]


def test_a_blank_before_the_unit_needs_no_quotes() -> None:
    done = run("swap", "anchor", "--out", "berry", "--in", "60", "°Bx", "--json")
    assert (done.code, done.data["brix"]) == (0, 60.0)


RAW = "ingredient: ginger\nkind: fruit\nsugar: 17 g/kg\nacid: 0 g/kg\ndensity: 0.9 g/ml\nallergens: []\n"
GINGER = "syrup: ginger syrup\nstandard: 50 °Bx\nallergens: []\n"


def test_ginger_is_the_syrup_although_there_is_ginger(tmp_path: Path) -> None:
    """The raw ginger was taken: 230 ml of it, exit code 0."""
    specs = copy_of_house(tmp_path, ingredients__raw=RAW, syrups__ginger=GINGER)
    done = run("swap", "anchor", "--out", "berry", "--in", "ginger", "--json", specs=specs)

    assert (done.code, done.data["in"]) == (0, "ginger-syrup")
    fits = run("fits", "anchor", "--in", "ginger", "--json", specs=specs)
    assert "ginger" not in [row["id"] for row in fits.data["fits"]]


def test_of_two_that_it_may_be_a_person_says_which(tmp_path: Path) -> None:
    other = "syrup: ginger cordial\nstandard: 40 °Bx\nallergens: []\n"
    specs = copy_of_house(tmp_path, ingredients__raw=RAW, syrups__ginger=GINGER, syrups__other=other)
    done = run("swap", "anchor", "--out", "berry", "--in", "ginger", specs=specs)

    assert done.code == 2
    assert '"ginger" may be the syrup "ginger syrup" or the syrup "ginger cordial"' in done.err


def test_without_a_sweetener_of_that_name_the_raw_one_is_meant(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, ingredients__raw=RAW)
    done = run("swap", "anchor", "--out", "berry", "--in", "ginger", "--json", specs=specs)

    assert (done.code, done.data["in"], done.data["verdict"]) == (1, "ginger", "not a swap")


def test_a_sour_for_a_sour_says_what_is_held(tmp_path: Path) -> None:
    lemon = "ingredient: sharp lemon\nkind: juice\nsugar: 25 g/kg\nacid: 48 g/l\nallergens: []\n"
    specs = copy_of_house(tmp_path, ingredients__sharp=lemon)
    done = run("swap", "anchor", "--out", "lime juice", "--in", "sharp lemon", specs=specs)

    assert done.code == 0
    assert " ".join(done.out.split()).startswith("Anchor Sour for the spec: lime juice replaced by 22.5 ml sharp lemon")
    assert "; acid held" in " ".join(done.out.split())
    assert "new sour" in done.out


def test_a_forgotten_comma_is_told() -> None:
    done = run("swap", "slipway", "--out", "raspberry", "--in", "50 °Bx acid 9 g/kg", specs=demo_folder())

    assert done.code == 2
    assert "put commas" in done.err
