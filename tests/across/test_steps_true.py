"""Every line of working that any command prints is true with a pencil, from the printed digits."""

from __future__ import annotations

import re
import shlex
import tempfile
from functools import cache
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.across.houses import Bar, ask, bars, tried
from tests.across.working import Equation, NoSuchSumError, equations, numbers_in
from tests.cli.runner import CHECKOUT, run

pytestmark = pytest.mark.slow

DEMO: Final = CHECKOUT / "specs"
SAID: Final[dict[str, tuple[str, ...]]] = {
    "pour": ("pour 22.5ml --standard 50 --brix 54", "pour 3/4oz --standard 66.7 --brix 62.3"),
    "totals": (
        "totals slipway",
        "totals port-hand",
        "totals last-lamp",
        "totals slow-bell",
        "totals mooring",
        "totals slipway --against winter",
        "totals --sort sugar",
    ),
    "rescale": (
        "rescale --syrup raspberry --brix 54",
        "rescale --syrup ginger --brix 46.5",
        "rescale --syrup pineapple --brix 57.3",
        "rescale --syrup honey-syrup --brix 47.1",
    ),
    "tonight": ("tonight", "tonight --date 2026-11-24"),
    "measure": (
        "measure 54 --syrup raspberry",
        "measure 53.2 53.7 53.4 --syrup pineapple --zero 0.4",
        "measure 48 --syrup raspberry --temperature 26C --no-atc",
        "measure 26.1 --syrup simple --dilute 100g+100g",
        "measure 25 --syrup simple --dilute 30ml+30ml",
    ),
    "correct": (
        "correct --batch STR-1",
        "correct --batch RAS-12",
        "correct --syrup ginger --brix 46 --mass 2kg",
        "correct --syrup ginger --brix 46 --volume 2l --with rich",
        "correct --brix 54 --volume 2l --target 50 --with water",
    ),
    "swap": (
        "swap slipway --out raspberry --in honey --hold sugar,acid,volume",
        "swap chandlers --out ginger --in lime-cordial --hold sugar,acid",
        "swap --all --out raspberry --in strawberry",
    ),
    "bottle": ("bottle slow-bell --serves 12", "bottle slipway --volume 750ml --from RAS-12"),
    "adjust": ("adjust slipway --sugar -10% --acid +5%", "adjust chandlers --volume 200ml", "adjust salt --abv 10%"),
    "aim": ("aim pineapple --for raspberry", "aim strawberry --for raspberry", "aim simple --for honey-syrup"),
    "make": (
        "make raspberry --mass 2kg",
        "make raspberry --strength 52 --volume 2l",
        "make lime-cordial",
        "make lime-cordial --acid 45g/l",
        "make simple --volume 1l",
    ),
}
"""What is asked of the demo house, by command; every command that has --steps is here."""


@cache
def demo_numbers() -> frozenset[str]:
    texts = [path.read_text(encoding="utf-8") for path in sorted(DEMO.rglob("*.yaml"))]
    return frozenset(numbers_in(*texts))


def claims(line: str, specs: Path, given: frozenset[str]) -> list[Equation]:
    """The equations that a command prints; none where it has no answer."""
    done = ask(specs, *shlex.split(line), "--steps", "--json")
    assert done.code in (0, 1), f"{line}\n{done.out}{done.err}"
    return list(equations(done.data.get("steps", []), given | numbers_in(line)))


def assert_true(found: list[Equation]) -> None:
    for one in found:
        assert one.is_true, f"false: {one.line}\n  {one.sides}"


def commands_with_steps() -> set[str]:
    """From the help alone, down to the commands of a command."""
    found: set[str] = set()
    open_ones: list[tuple[str, ...]] = [()]
    while open_ones:
        words = open_ones.pop()
        text = run(*words, "--help", specs=None).out
        _, heading, listed = text.partition("\nCommands:\n") if words else ("", "all of it", text)
        if heading:
            open_ones += [(*words, name) for name in re.findall(r"^  (\S+)  ", listed, re.MULTILINE)]
        if "--steps" in text:
            found.add(" ".join(words))
    return found


def test_every_command_that_shows_its_working_is_here() -> None:
    assert commands_with_steps() == set(SAID)


@pytest.mark.parametrize("line", [line for lines in SAID.values() for line in lines])
def test_the_demo_house(line: str) -> None:
    found = claims(line, DEMO, demo_numbers())
    assert found, "nothing is claimed"
    assert_true(found)


@given(bar=bars(), data=st.data())
@tried(28)
def test_any_house(bar: Bar, data: st.DataObject) -> None:
    syrup = data.draw(st.sampled_from(bar.syrups))
    other = data.draw(st.sampled_from(bar.syrups))
    brix = data.draw(st.integers(-90, 90).map(lambda off: min(max(syrup.standard + off / 10.0, 24.0), 79.0)))
    drink = data.draw(st.sampled_from(sorted(bar.drinks)))
    lines = ["tonight", f"totals {drink}", f"rescale --syrup {syrup.id} --brix {brix:.1f}"]
    lines += [f"measure {brix:.1f} --syrup {syrup.id}", f"bottle {drink} --serves 7"]
    if abs(brix - syrup.standard) > 0.2:
        lines.append(f"correct --syrup {syrup.id} --brix {brix:.1f} --mass 1350g")
    lines.append(f"adjust {drink} --sugar {data.draw(st.sampled_from(['-12%', '+9%']))} --acid +3%")
    if other.id != syrup.id:
        lines.append(f"aim {syrup.id} --for {other.id}")
        if other.name in bar.drinks[drink] and syrup.name not in bar.drinks[drink]:
            lines.append(f"swap {drink} --out {other.id} --in {syrup.id}")
    with tempfile.TemporaryDirectory() as folder:
        specs = bar.write(Path(folder))
        texts = [path.read_text(encoding="utf-8") for path in specs.rglob("*.yaml")]
        given_numbers = frozenset(numbers_in(*texts))
        for line in lines:
            assert_true(claims(line, specs, given_numbers))


def one(line: str, *exact: str) -> Equation:
    (found,) = equations([line], set(exact))
    return found


@pytest.mark.parametrize(
    ("line", "is_true"),
    [
        ("a: 22.5 × 0.6148 = 13.83 g sugar", True),
        ("a: 22.5 × 0.6148 = 13.84 g sugar", False),
        ("a: (22.5 × 0.6791 − 22.5 × 0.6175) ÷ 14.28 = 9.7 %", True),
        ("a: (22.5 × 0.6791 − 22.5 × 0.6175) ÷ 14.28 = −9.7 %", False),
        ("a: (22.5 × 0.6791 − 22.5 × 0.6175) ÷ 14.28 = 9.9 %", False),
        ("  poured 2.5: (2.5 × 0.8990 − 15 × 0.9709) ÷ 21.36 = 0.1 %", False),
        ("first: 1.04 °Bx off is worth 1300.00 g × 1.04 ÷ 50 = 27.14 g", True),
        ("first: 1.04 °Bx off is worth 1300.00 g × 1.04 ÷ 50 = 29.14 g", False),
        ("  √(0.14² + 0.29²) = 0.32; the ± is twice that", True),
        ("  √(0.14² + 0.29²) = 0.35; the ± is twice that", False),
        ("  1000 g × (50 − 46.8) ÷ (100 − 50) = 64.00 g", True),
        ("  1000 g × (50 − 46.8) ÷ (100 − 50) = 68.00 g", False),
        ("a: 22.5 × 0.6148 = 15 × 0.9222 = 13.83 g", True),
        ("a: 22.5 × 0.6148 = 15 × 0.9333 = 13.83 g", False),
        ("batch: 2000 ml × 1.2079 g/ml (density table) = 2415.89 g", True),
        ("batch: 2000 ml × 1.2079 g/ml (density table) = 2425.89 g", False),
    ],
)
def test_the_pencil_itself(line: str, is_true: bool) -> None:
    """Worked by hand: (15.280 − 13.894) ÷ 14.28 = 9.71 %; (2.248 − 14.564) ÷ 21.36 = −57.7 %; √0.1037 = 0.322."""
    assert one(line, "22.5", "15", "2.5", "50", "46.8", "2000").is_true is is_true


def test_a_line_that_nobody_can_read_is_an_error_and_words_are_none() -> None:
    assert list(equations(["added = mass × (target − batch) ÷ (additive − target)"], set())) == []
    with pytest.raises(NoSuchSumError):
        list(equations(["a: 3 × ÷ = 4 g"], set()))


@pytest.mark.parametrize("line", [lines[0] for lines in SAID.values()])
def test_every_falsified_line_is_found(line: str) -> None:
    """The result of every line moved by a thirtieth and some last digits: not one may pass."""
    steps = ask(DEMO, *shlex.split(line), "--steps", "--json").data["steps"]
    exact = demo_numbers() | numbers_in(line)
    for found in equations(steps, exact):
        number = re.search(r"[0-9]+(?:\.[0-9]+)?", found.result)
        assert number is not None
        places = len(number[0].partition(".")[2])
        wrong = f"{float(number[0]) * 1.03 + 25 * 10.0**-places:.{places}f}"
        at = found.line.rindex(found.result) + number.start()
        (falsified,) = equations([found.line[:at] + wrong + found.line[at + len(number[0]) :]], exact)
        assert not falsified.is_true, falsified.line
