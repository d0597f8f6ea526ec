"""`pour` as typed at the bar. Expected values: hand calculation from standard sucrose tables."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import HOUSE, edited_house, run

# Density of sucrose solutions at 20 °C in g/ml, from the standard sucrose tables, rounded to four decimals.
TABLE = {46.0: 1.2079, 50.0: 1.2296, 54.0: 1.2519, 60.0: 1.2865, 66.67: 1.3265}
ERROR = 0.00005 + 0.0003
"""Half the last digit, and what the newer measurements differ from the table's (reference/sucrose_density.csv)."""


def sugar(brix: float) -> float:
    """Grams of sugar in a ml."""
    return brix / 100 * TABLE[brix]


def table_error(*strengths: float) -> float:
    """How far the table's error may move a ratio, relatively."""
    return sum(ERROR / TABLE[brix] for brix in strengths)


def pour(amount: str, standard: float, brix: float, *options: str) -> list[str]:
    return ["pour", amount, "--standard", str(standard), "--brix", str(brix), *options]


@pytest.mark.parametrize(
    ("standard", "brix", "printed", "poured"),
    [(50.0, 54.0, 20.46, 20.0), (50.0, 46.0, 24.90, 25.0), (66.67, 60.0, 25.78, 25.0)],
)
def test_hand_calculation(standard: float, brix: float, printed: float, poured: float) -> None:
    """The exact pour keeps the grams of sugar: 22.5 x 50 % x 1.2296 / (54 % x 1.2519) = 20.46 ml."""
    answer = run(*pour("22.5ml", standard, brix, "--json"), specs=None).data
    exact = 22.5 * sugar(standard) / sugar(brix)
    error = table_error(standard, brix)
    assert round(exact, 2) == printed
    assert round(answer["pour"]["exact_ml"], 2) == printed
    assert answer["pour"]["spec_ml"] == 22.5
    assert answer["pour"]["exact_ml"] == pytest.approx(exact, rel=error)
    assert answer["pour"]["poured_ml"] == poured
    written = sugar(brix) / sugar(standard)
    assert answer["sugar_as_written_percent"] == pytest.approx(100 * (written - 1), abs=100 * written * error)
    after = written * poured / 22.5
    assert answer["sugar_after_percent"] == pytest.approx(100 * (after - 1), abs=100 * after * error)


def test_percents_of_the_syrups_own_sugar() -> None:
    """54 % x 1.2519 / (50 % x 1.2296) = 1.0996; with 20 ml of 22.5, 0.9774."""
    answer = run(*pour("22.5ml", 50.0, 54.0, "--json"), specs=None).data
    assert round(answer["sugar_as_written_percent"], 2) == 9.96
    assert round(answer["sugar_after_percent"], 2) == -2.26


def test_between_two_pours_nothing_fits() -> None:
    """At 52.4 the table's neighbours give 1.2430 g/ml: +5.9 % as written, -5.8 % with 20 ml, so neither is half."""
    done = run(*pour("22.5ml", 50.0, 52.4), specs=None)
    assert done.first.startswith("no jigger pour works")
    assert "correct the batch" in done.first
    assert run(*pour("22.5ml", 50.0, 52.4, "--json"), specs=None).data["verdict"] == "out of reach"
    assert done.code == 0


@pytest.mark.parametrize("amount", ["22.5ml", "22,5 ml", "22.5 ML", "2.25cl", "¾ oz", "3/4oz", ".75 oz", "0,75oz"])
def test_one_pour_in_many_spellings(amount: str) -> None:
    """The house's ounce is 30 ml."""
    done = run(*pour(amount, 50.0, 54.0))
    assert (done.code, done.first) == (0, "pour 20 ml, not 22.5")


def test_a_pour_of_two_words_needs_no_quotes() -> None:
    assert run("pour", "22.5", "ml", "--standard", "50", "--brix", "54").first == "pour 20 ml, not 22.5"
    assert run("pour", "1", "1/2", "oz", "--standard", "50", "--brix", "54").first == "pour 40 ml, not 45"


@pytest.mark.parametrize("amount", ["1½oz", "1 1/2 oz", "1½ oz", "1.5oz"])
def test_ounces_without_a_house(amount: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No folder: the exact US ounce, and a jigger in eighths: 1 1/2 x 0.9094 = 1.364 oz, 1 3/8 is 1.375."""
    monkeypatch.chdir(tmp_path)
    done = run(*pour(amount, 50.0, 54.0), specs=None)
    assert (done.code, done.first, done.err) == (0, "pour 1 3/8 oz, not 1 1/2", "")
    data = run(*pour(amount, 50.0, 54.0, "--json"), specs=None).data
    assert data["pour"]["spec_ml"] == pytest.approx(1.5 * 29.5735295625)


@pytest.mark.parametrize("brix", ["46,5", "46.5", "46.5°Bx", "46,5 bx", "46½"])
def test_one_strength_in_many_spellings(brix: str) -> None:
    done = run("pour", "22.5ml", "--standard", "50", "--brix", brix)
    assert done.first == "pour 25 ml, not 22.5"
    assert "46.5 °Bx, spec 50" in done.out


def test_step() -> None:
    """Exact is 20.46 ml: the nearest multiple of 7 is 21, of 15 the written 22.5 itself is nearer than 15."""
    assert run(*pour("22.5ml", 50.0, 54.0, "--step", "7ml")).first == "pour 21 ml, not 22.5"
    assert run(*pour("22.5ml", 50.0, 54.0, "--step", "15ml")).first.startswith("no jigger pour works")
    assert run(*pour("22.5ml", 50.0, 54.0, "--step", "1/6 oz")).first == "pour 20 ml, not 22.5"


def test_a_pour_that_cannot_move_is_told_once() -> None:
    """The best pour is the written one: nothing is said about pouring it."""
    done = run(*pour("22.5ml", 50.0, 54.0, "--step", "15ml"))
    assert "sugar +10 %\n" in done.out


def test_tolerance() -> None:
    assert run(*pour("22.5ml", 50.0, 54.0, "--tolerance", "12")).first == "pour 22.5 ml, as written"
    assert run(*pour("22.5ml", 50.0, 54.0, "--tolerance", "9,9 %")).first == "pour 20 ml, not 22.5"


def test_a_small_pour_stays() -> None:
    done = run(*pour("5ml", 50.0, 54.0))
    assert done.first == "pour 5 ml, as written"
    assert "too small a pour to change" in done.out


def test_the_house_gives_step_tolerance_and_unit(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: oz")
    assert run(*pour("22.5ml", 50.0, 54.0), specs=specs).first == "pour 2/3 oz, not 3/4"


def test_a_reading_far_off_is_doubted() -> None:
    """22 °Bx holds less than half the sugar: somebody read water, or another syrup."""
    assert "stir, balancer measure READING, unless it is another syrup" in run(*pour("22.5ml", 50.0, 22.0), "--yes").out
    assert "read again" not in run(*pour("22.5ml", 50.0, 54.0)).out


def test_steps() -> None:
    done = run(*pour("22.5ml", 50.0, 54.0, "--steps"))
    assert "  of the batch: 13.83 ÷ 0.6761 = 20.46 ml; closest pour 20 ml" in done.out.splitlines()
    assert run(*pour("22.5ml", 50.0, 54.0, "--steps", "--json")).data["steps"][0].startswith("standard: ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            ["22.5", "--standard", "50", "--brix", "54"],
            'POUR: "22.5" has no unit\n  22.5 ml or 22.5 oz? write the unit, like 22.5ml',
        ),
        (["10g", "--standard", "50", "--brix", "54"], 'POUR: "10g" is not a volume\n  use ml, cl, l, oz'),
        (["lots", "--standard", "50", "--brix", "54"], 'POUR: "lots" does not start with a number'),
        (["0ml", "--standard", "50", "--brix", "54"], 'POUR: "0ml" cannot be poured'),
        (["200l", "--standard", "50", "--brix", "54"], "give an amount above 0 and up to 100 l"),
        (["22.5ml", "--standard", "50", "--brix", "90"], '--brix: "90" cannot be right'),
        (["22.5ml", "--standard", "50", "--brix", "-3"], '--brix: "-3" cannot be right'),
        (["22.5ml", "--standard", "50", "--brix", "0"], "give a number above 0 and up to 85 °Bx"),
        (["22.5ml", "--standard", "50", "--brix", "nan"], "give a number above 0 and up to 85 °Bx"),
        (["22.5ml", "--standard", "50", "--brix", ""], "--brix: "),
        (
            ["22.5ml", "--standard", "50", "--brix", "54ml"],
            '--brix: "54ml" is in ml\n  give a number above 0 and up to 85 °Bx',
        ),
        (["22.5ml", "--standard", "1,000", "--brix", "54"], "write 1000 or 1.0"),
        (["22.5ml", "--standard", "50", "--brix", "54", "--step", "5"], '--step: "5" has no unit'),
        (["22.5ml", "--standard", "50", "--brix", "54", "--tolerance", ""], "--tolerance: "),
        (["22.5ml", "--standard", "50", "--brix", "54", "--tolerance", "0"], "above 0 and up to 50 %"),
    ],
)
def test_wrong_usage(arguments: list[str], said: str) -> None:
    done = run("pour", *arguments)
    assert (done.code, done.out) == (2, "")
    assert said in done.err


def test_a_folder_asked_for_and_not_there_is_told(tmp_path: Path) -> None:
    """The answer stands on the common measures; whoever named a folder is told that it was not read."""
    done = run(*pour("22.5ml", 50.0, 54.0), specs=tmp_path / "nowhere")
    assert (done.code, done.first) == (0, "pour 20 ml, not 22.5")
    assert "there is no folder" in done.err


def test_without_a_folder_nothing_is_missed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = run(*pour("22.5ml", 50.0, 54.0), specs=None)
    assert (done.code, done.first, done.err) == (0, "pour 20 ml, not 22.5", "")


def test_a_broken_house_touches_the_answer(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "jigger step: 2.5 ml", "jigger step: a bit")
    done = run(*pour("22.5ml", 50.0, 54.0), specs=specs)
    assert (done.code, done.first) == (1, "pour 20 ml, not 22.5")
    assert f"{specs}/house.yaml:4:14: " in done.err
    assert HOUSE.exists()
