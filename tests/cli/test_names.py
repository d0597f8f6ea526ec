"""Names as they are typed: id, name, other name, a beginning of one, in any case."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import answered, copy_of_house, run
from tests.cli.test_swap import log


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
        (["totals", "zzz"], "unknown-name", 'no drink is called "zzz"\n  known: Anchor Sour, Breakwater Fizz,'),
        (["totals", "anchr"], "unknown-name", 'no drink is called "anchr"\n  did you mean "Anchor Sour"?'),
        (["totals", "berry syrup"], "unknown-name", 'no drink is called "berry syrup"'),
        (["totals", ""], "unknown-name", 'no drink is called ""'),
        (["totals", "b"], "ambiguous-name", '"b" may be Bollard, Breakwater Fizz\n  write more of the name'),
        (["rescale", "--syrup", "zzz", "--brix", "54"], "unknown-name", 'no syrup is called "zzz"'),
        (["rescale", "--syrup", "bery syrup", "--brix", "54"], "unknown-name", 'did you mean "berry syrup"?'),
        (
            ["rescale", "--syrup", "dry gin", "--brix", "54"],
            "wrong-kind",
            '"dry gin" is not a syrup\n  known: plain syrup',
        ),
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
    assert '"berry" may be berry syrup, berry vinegar syrup' in done.err


def test_a_long_list_of_names_is_cut() -> None:
    known = run("totals", "zzz").err
    assert "and 3 more" in known
    assert "night-watch" not in known


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["swap", "anchor", "--out", "berry", "--in", "hony"], '--in: no syrup or ingredient is called "hony"'),
        (["compare", "hony"], 'SYRUP: no syrup or ingredient is called "hony"'),
        (["aim", "plain", "--for", "hony"], '--for: no syrup or ingredient is called "hony"'),
        (
            ["correct", "--brix", "46", "--target", "50", "--with", "hony"],
            '--with: no syrup or ingredient is called "hony"',
        ),
    ],
)
def test_a_liquid_that_is_none_is_told_alike_everywhere(arguments: list[str], said: str) -> None:
    done = run(*arguments)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f'{said}\n  did you mean "honey"?')


def test_what_is_made_is_what_the_rest_of_the_line_fits(tmp_path: Path) -> None:
    """Honey is a whole name of an ingredient, and the beginning of a syrup's: only a syrup has a strength."""
    specs = copy_of_house(tmp_path)
    assert run("batch", "add", "honey", "--brix", "60", "--json", specs=specs).data["syrup"] == "honey-syrup"
    assert run("batch", "add", "lime", "--acid", "52g/l", "--json", specs=specs).data["syrup"] == "lime-juice"
    assert run("compare", "honey", "--json").data["sweeteners"][0]["id"] == "honey"


ALIKE = "syrup: lime cordial\nstandard: 50 °Bx\nallergens: []\n"


@pytest.mark.parametrize(
    ("words", "option"),
    [
        (("compare", "lime"), "SYRUP: "),
        (("compare", "berry", "--against", "lime"), "--against: "),
        (("swap", "anchor", "--out", "berry", "--in", "lime"), "--in: "),
        (("swap", "--all", "--out", "lime", "--in", "berry"), "--out: "),
        (("aim", "plain", "--for", "lime"), "--for: "),
        (("correct", "--brix", "46", "--target", "50", "--with", "lime"), "--with: "),
        (("batch", "add", "lime"), ""),
        (("make", "lime", "--acid", "60g/l"), ""),
    ],
)
def test_what_is_short_for_a_syrup_and_an_ingredient_is_never_guessed(
    tmp_path: Path, words: tuple[str, ...], option: str
) -> None:
    specs = copy_of_house(tmp_path, syrups__lime=ALIKE)
    done = run(*words, specs=specs)
    assert (done.code, done.out) == (2, "")
    assert done.err == (
        f'{option}"lime" may be the syrup "lime cordial" or the ingredient "lime juice"\n  write its whole name\n'
    )
    told = run(*words, "--json", specs=specs)
    assert (told.code, [problem["code"] for problem in told.data["problems"]]) == (2, ["ambiguous-name"])


def test_what_the_drink_pours_is_no_question(tmp_path: Path) -> None:
    """Anchor Sour pours lime juice and no cordial."""
    specs = copy_of_house(tmp_path, syrups__lime=ALIKE)
    asked = ("swap", "anchor", "--out", "lime", "--in", "plain", "--hold", "sugar", "--json")
    assert run(*asked, specs=specs).data["out"] == "lime-juice"
    done = run("swap", "anchor", "--out", "berry", "--in", "lime cord", "--json", specs=specs)
    assert (done.code, done.data["in"]) == (0, "lime-cordial")


@pytest.mark.parametrize(
    ("answer", "liquid"), [("1", "lime-cordial"), ("2", "lime-juice"), ('the ingredient "Lime Juice"', "lime-juice")]
)
def test_at_a_terminal_it_is_a_question(tmp_path: Path, answer: str, liquid: str) -> None:
    specs = copy_of_house(tmp_path, syrups__lime=ALIKE)
    words = ("batch", "add", "lime", "--mass", "1 kg", "--specs", str(specs))
    code, screen = answered("which one?", f"{answer}\n", *words)
    assert code == 0, screen
    assert '"lime" may be:' in screen
    assert '  1 the syrup "lime cordial"' in screen
    assert '  2 the ingredient "lime juice"' in screen
    assert f'"syrup": "{liquid}"' in (specs / "batches.yaml").read_text(encoding="utf-8")


def test_no_answer_is_no_guess(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, syrups__lime=ALIKE)
    code, screen = answered("which one?", "3\n", "batch", "add", "lime", "--specs", str(specs))
    assert code == 2
    assert "write its whole name" in screen
    assert not (specs / "batches.yaml").exists()


def test_of_a_name_that_several_begin_with_the_drink_pours_one(tmp_path: Path) -> None:
    more = "syrup: berry vinegar syrup\nstandard: 50 °Bx\nallergens: []\n"
    specs = copy_of_house(tmp_path, syrups__more=more)
    assert run("swap", "anchor", "--out", "ber", "--in", "plain", "--json", specs=specs).data["out"] == "berry-syrup"
    several = run("swap", "--all", "--out", "ber", "--in", "plain", specs=specs)
    assert (several.code, several.out) == (2, "")
    assert '--out: "ber" may be berry syrup, berry vinegar syrup' in several.err


def test_something_broken_is_found_by_its_beginning_and_told(tmp_path: Path) -> None:
    broken = "drink: Loose Plank\nmethod: shaken\npours:\n  - 20 ml nonsuch\n"
    specs = copy_of_house(tmp_path, drinks__loose=broken, syrups__bad="syrup: Wrecked Syrup\nstandrd: 50 °Bx\n")
    assert 'no ingredient or syrup is called "nonsuch"' in run("totals", "loose", specs=specs).err
    for arguments in (["compare", "wrecked"], ["make", "wrecked"], ["batch", "add", "wrecked", "--acid", "5g/l"]):
        done = run(*arguments, specs=specs)
        assert (done.code, done.out) == (1, "")
        assert 'unknown key "standrd"' in done.err
    page = run("sheet", "rail", "loose", "anchor", "--out", str(tmp_path / "rail.pdf"), specs=specs)
    assert (page.code, "missing from the page: Loose Plank" in page.out) == (1, True)


def test_a_batch_is_found_by_its_tape_or_its_syrup(tmp_path: Path) -> None:
    specs = log(copy_of_house(tmp_path), ("BER-1", "berry-syrup", 54.0), ("PLA-1", "plain-syrup", 50.0))
    for typed in ("BER-1", "ber 1", "berry"):
        assert run("measure", "54", "--batch", typed, "--json", specs=specs).data["syrup"] == "berry-syrup"
    wrong = run("measure", "54", "--syrup", "plain", "--batch", "BER-1", specs=specs)
    assert (wrong.code, wrong.out) == (2, "")
    assert "BER-1 is berry syrup" in wrong.err
