"""`rescale` as read at the bar."""

from __future__ import annotations

from pathlib import Path

from tests.cli.runner import copy_of_house, run


def rescale(syrup: str, brix: str, *options: str) -> list[str]:
    done = run("rescale", "--syrup", syrup, "--brix", brix, *options)
    assert (done.code, done.err) == (0, "")
    return done.out.splitlines()


def test_conversions_lead() -> None:
    assert rescale("berry", "54")[0] == "change pours: berry syrup 20 → 17.5 · 22.5 → 20 ml"


def test_a_decimal_comma() -> None:
    assert rescale("berry", "46,5") == rescale("berry", "46.5 °Bx")


def test_within_tolerance_nothing_moves() -> None:
    """52 °Bx: 52 x 1.2407 / (50 x 1.2296) = +4.9 % of the syrup's own sugar, and no drink has more."""
    lines = rescale("berry", "52")
    assert lines[0] == "as written: berry syrup at 52 °Bx, spec 50"
    assert not any("→" in line for line in lines)


def test_at_standard_nothing_is_to_be_corrected() -> None:
    assert not any("correct it" in line for line in rescale("berry", "50"))


def test_a_reading_of_the_wrong_syrup_gives_no_pours() -> None:
    lines = rescale("berry", "66")
    assert lines[:2] == ["read again: berry syrup at 66 °Bx, spec 50", "  it reads like a 2:1; stir and read again"]
    assert not any("→" in line for line in lines)


def test_out_of_reach_comes_first_and_a_fixed_pour_is_named() -> None:
    lines = rescale("plain", "54")
    assert lines[0] == "correct the batch: plain syrup at 54 °Bx, spec 50"
    drinks = [line for line in lines if "sugar" in line]
    states = ["no jigger pour works" in line or "fixed" in line for line in drinks]
    assert states == sorted(states, reverse=True)
    (fixed,) = [line for line in drinks if line.startswith("  Foam Line")]
    assert fixed.split(None, 2)[2] == "its pour is fixed: sugar +9 %"
    assert "  to correct it: 80 g water per kg brings it to 50 °Bx" in lines


def test_a_cause_tells_the_flavour() -> None:
    """22.5 to 20 ml is -11 % of a flavour that goes with the pour."""
    assert any(line.endswith("; 11 % less flavour") for line in rescale("berry", "54", "anchor", "--cause", "sugar"))
    assert not any("flavour" in line for line in rescale("berry", "54", "anchor"))


def test_a_doubtful_reading_is_told() -> None:
    """Twice the uncertainty below 54 is 53.2, where 17.5 ml is no longer near enough for the fizz."""
    found = rescale("berry", "54", "--uncertainty", "0.4")
    assert "  Breakwater Fizz  20 → 17.5 ml  sugar −4 % (was +10 %); borderline" in found
    assert "borderline, given ±0.8: Breakwater Fizz" in " ".join(" ".join(found).split())


def test_a_drink_that_does_not_pour_it() -> None:
    assert rescale("berry", "54", "capstan")[0] == "none of the drinks named pours berry syrup"


def test_one_drink_that_stays_is_answered_too() -> None:
    assert rescale("berry", "54", "bollard")[-1].startswith("more: as written: Bollard")


def test_a_syrup_that_no_drink_pours(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, syrups__idle="syrup: idle syrup\nstandard: 50 °Bx\nallergens: []\n")
    done = run("rescale", "--syrup", "idle", "--brix", "54", specs=specs)
    assert (done.code, done.err) == (0, "")
    assert "  no drink pours it" in done.out.splitlines()


def test_more_than_fit_are_counted(tmp_path: Path) -> None:
    drink = "- drink: Plank {}\n  method: shaken\n  pours:\n    - 45 ml dry gin\n    - 22.5 ml berry syrup\n"
    specs = copy_of_house(tmp_path, drinks__planks="".join(drink.format(number) for number in range(10, 30)))
    lines = run("rescale", "--syrup", "berry", "--brix", "54", specs=specs).out.splitlines()
    more = next(place for place, line in enumerate(lines) if line.startswith("more: "))
    assert more == 9
    assert "16 more change: --all" in lines[more]
