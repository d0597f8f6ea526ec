"""`totals` as read at the bar."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, edited_house, run


def lines(*arguments: str, specs: Path | None = None) -> list[str]:
    done = run("totals", *arguments, specs=specs) if specs else run("totals", *arguments)
    assert (done.code, done.err) == (0, "")
    return done.out.splitlines()


def test_a_worked_sour(tmp_path: Path) -> None:
    """60 ml at 40 % vol + 22.5 ml juice + 22.5 ml syrup, 50 % dilution: 157.5 ml, 15.2 % vol, contraction ignored."""
    drink = "drink: Plumb Line\nmethod: shaken\ndilution: 50 %\npours:\n" + "".join(
        f"  - {pour}\n" for pour in ("60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup")
    )
    specs = copy_of_house(tmp_path, drinks__plumb=drink)
    assert lines("plumb", specs=specs)[0].startswith("Plumb Line: 157 ml at 15.3 % ABV, 14 g sugar")
    served = run("totals", "plumb", "--json", specs=specs).data["served"]
    assert served["volume_ml"] == pytest.approx(157.5, rel=0.005)
    assert served["abv_percent"] == pytest.approx(15.2, abs=0.1)


def test_unknown_sugar_is_a_lower_bound_and_named() -> None:
    found = lines("dark")
    assert "≥7 g sugar" in found[0]
    assert "  sugar unknown     herbal liqueur: add its sugar in its file" in found
    assert "  allergens unknown herbal liqueur, aromatic bitters" in found
    assert "  not counted       sugar of aromatic bitters, rinse of anise spirit" in found


def test_a_dash_of_unknown_sugar_moves_nothing() -> None:
    found = lines("capstan")
    assert "≥" not in "".join(found)
    assert "  not counted       sugar of aromatic bitters" in found


def test_allergens() -> None:
    assert "  allergens         sulphites" in lines("bollard")
    assert "  allergens         none listed by the house" in lines("anchor")
    assert "  allergens unknown aromatic bitters, orange peel" in lines("capstan")


def test_no_acid_no_word_of_it() -> None:
    assert not any("acid" in line for line in lines("night"))


def test_dilution_says_where_it_is_from() -> None:
    assert any("(stated)" in line for line in lines("capstan"))
    assert any("(weighed)" in line for line in lines("foam"))
    assert any("±4 % of mix (shaken)" in line for line in lines("anchor"))


def test_one_standard_drink() -> None:
    assert any("1 standard drink (us)" in line for line in lines("breakwater"))
    assert any("1.4 standard drinks (us)" in line for line in lines("anchor"))


def test_ounces(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: oz")
    found = lines("anchor", specs=specs)
    assert found[0].startswith("Anchor Sour: 5.3 oz at 15.1 % ABV")
    assert not any(" ml at" in line for line in found)


def test_a_long_name_stays_whole_and_its_line_runs_on() -> None:
    first, second, *_ = lines("the long")
    assert first.startswith("The Longshoreman's Second-Best Sunday Overcoat: 134 ml")
    assert f"{first} {second.strip()}".endswith("1 g acid (as citric)")


RELATED = "drink: Plank\nmethod: METHOD\npours: [60 ml dry gin, 22.5 ml plain syrup]\n"


@pytest.mark.parametrize("method", ["shaken", "stirred"])
def test_a_published_dilution_says_whose_it_is_and_how_to_get_ones_own(tmp_path: Path, method: str) -> None:
    """The relation is a book's, read in quotations only: that is said, and `calibrate` named."""
    specs = copy_of_house(tmp_path, drinks__plank=RELATED.replace("METHOD", method))
    said = " ".join(run("totals", "plank", "--steps", specs=specs).out.split())

    assert "the dilution is a published average: weigh one of yours, balancer calibrate" in said
    assert "Liquid Intelligence, 2014, p. 123" in said
    assert "not compared with its print" in said
    assert ("at −18 °C 12 points less with 120 g of it, 24 with 250 g" in said) is (method == "shaken")


@pytest.mark.parametrize("told", ["dilution: 45 %", "weighed: {before: 84.5 g, after: 120 g}"])
def test_what_was_stated_or_weighed_names_no_book(tmp_path: Path, told: str) -> None:
    specs = copy_of_house(tmp_path, drinks__plank=RELATED.replace("METHOD", "shaken") + told + "\n")
    said = run("totals", "plank", "--steps", specs=specs).out

    assert "book" not in said
    assert "calibrate" not in said


def test_cold_ice_without_an_amount_is_a_range_on_screen(tmp_path: Path) -> None:
    """How much of it goes in decides, so what a tin full of it would give stands beside the answer."""
    spec = RELATED.replace("METHOD", "shaken") + "chill: {ice temperature: -18 °C}\n"
    specs = copy_of_house(tmp_path, drinks__plank=spec)
    few, many = run("totals", "plank", "--json", specs=specs).data["dilution"]["by_ice"]

    said = " ".join(run("totals", "plank", specs=specs).out.split())
    assert (few["ice_g"], many["ice_g"]) == (120.0, 250.0)
    assert few["percent_of_mix"] - many["percent_of_mix"] > 5.0
    assert (
        f"120 g of ice taken; 250 g gives {many['percent_of_mix']:.0f} %: write yours, like chill: {{ice: 180 g}}"
        in said
    )


def test_several_unknown_are_told_with_commas_and_where_to_add(tmp_path: Path) -> None:
    specs = copy_of_house(
        tmp_path, ingredients__new="- ingredient: old rye\n- ingredient: amaro\n- ingredient: quina\n"
    )
    drink = "drink: Trio\nmethod: stirred\npours: [50 ml old rye, 20 ml amaro, 20 ml quina]\n"
    (specs / "drinks" / "trio.yaml").write_text(drink, encoding="utf-8")
    told = " ".join(run("totals", "trio", "--all", specs=specs).out.split())
    assert "alcohol unknown old rye, amaro, quina: add their abv, or kind, in the files that have them" in told
    assert "nobody knows that of old rye, amaro, quina" in told
