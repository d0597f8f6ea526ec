"""Names as they are typed: id, name, other name, a beginning of one, in any case."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run


@pytest.mark.parametrize(
    ("typed", "drink"),
    [
        (["anchor-sour"], "anchor-sour"),
        (["Anchor Sour"], "anchor-sour"),
        (["ANCHOR SOUR"], "anchor-sour"),
        (["anchor", "sour"], "anchor-sour"),
        (["anc"], "anchor-sour"),
        (["The Longshoreman’s Second-Best Sunday Overcoat"], "the-longshoremans-second-best-sunday-overcoat"),
        (["the", "longshoreman's"], "the-longshoremans-second-best-sunday-overcoat"),
        (["燈台"], "燈台守の夏の夕暮れのサワー"),
    ],
)
def test_a_drink_is_found(typed: list[str], drink: str) -> None:
    done = run("totals", *typed, "--json")
    assert (done.code, done.err) == (0, "")
    assert done.data["drink"] == drink


@pytest.mark.parametrize(
    ("typed", "syrup"),
    [
        ("berry-syrup", "berry-syrup"),
        ("Berry Syrup", "berry-syrup"),
        ("BER", "berry-syrup"),
        ("sugar syrup", "plain-syrup"),  # other name
        ("1:1", "plain-syrup"),
        ("honey", "honey-syrup"),  # honey alone is an ingredient, and no syrup
    ],
)
def test_a_syrup_is_found(typed: str, syrup: str) -> None:
    done = run("rescale", "--syrup", typed, "--brix", "52", "--json")
    assert (done.code, done.err) == (0, "")
    assert done.data["syrup"] == syrup


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["totals", "zzz"], "unknown-name", 'no drink is called "zzz"\n  known: anchor-sour, breakwater-fizz,'),
        (["totals", "anchr"], "unknown-name", 'no drink is called "anchr"\n  did you mean "anchor-sour"?'),
        (["totals", "berry syrup"], "unknown-name", 'no drink is called "berry syrup"'),
        (["totals", ""], "unknown-name", 'no drink is called ""'),
        (["totals", "b"], "ambiguous-name", '"b" may be bollard, breakwater-fizz\n  write more of the name'),
        (["rescale", "--syrup", "zzz", "--brix", "54"], "unknown-name", 'no syrup is called "zzz"'),
        (["rescale", "--syrup", "bery syrup", "--brix", "54"], "unknown-name", 'did you mean "berry-syrup"?'),
        (["rescale", "--syrup", "dry gin", "--brix", "54"], "wrong-kind", '"dry gin" is not a syrup\n  known: plain-'),
        (["rescale", "--syrup", "berry", "--brix", "54", "zzz"], "unknown-name", 'no drink is called "zzz"'),
        (["rescale", "--syrup", "berry", "--brix", "54", "anchor", "b"], "ambiguous-name", '"b" may be'),
    ],
)
def test_a_name_that_is_not_one(arguments: list[str], code: str, said: str) -> None:
    done = run(*arguments)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    told = run(*arguments, "--json")
    assert (told.code, told.err) == (2, "")
    assert [problem["code"] for problem in told.data["problems"]] == [code]


def test_two_syrups_with_one_beginning(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, syrups__more="syrup: berry vinegar syrup\nstandard: 50 °Bx\nallergens: []\n")
    done = run("rescale", "--syrup", "berry", "--brix", "54", specs=specs)
    assert done.code == 2
    assert '"berry" may be berry-syrup, berry-vinegar-syrup' in done.err


def test_a_long_list_of_names_is_cut() -> None:
    known = run("totals", "zzz").err
    assert "and 3 more" in known
    assert "night-watch" not in known
