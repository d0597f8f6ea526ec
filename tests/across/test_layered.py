"""A house on a base answers every question as it would with all of it in one folder."""

from __future__ import annotations

import contextlib
import functools
import random
import shlex
import shutil
import tempfile
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.files.house.entries import NAME_KEY, entries_of
from tests.across.houses import tried
from tests.cli.runner import CHECKOUT, run
from tests.docs.pages import NOW

pytestmark = pytest.mark.slow

DEMO: Final = CHECKOUT / "specs"
DIFFERENT: Final = {
    "ingredients": "- ingredient: {}\n  abv: 3 %\n  sugar: 333 g/l\n  acid: 33 g/l\n",
    "syrups": "- syrup: {}\n  standard: 33 °Bx\n  acid: 3 g/kg\n  keeps: 3 days\n",
    "drinks": "- drink: {}\n  method: built\n  dilution: 33 %\n  pours: [33 ml gold rum]\n",
}
"""What the base says of what the house has its own for; it must not be seen anywhere."""

QUESTIONS: Final = (
    "tonight",
    "tonight --all",
    "totals slipway",
    "totals last-lamp --steps",
    "totals --all",
    "totals slipway --against last-lamp",
    "adjust slipway --sugar -10%",
    "rescale --syrup raspberry --brix 54 --all",
    "measure 54 --syrup raspberry",
    "correct --syrup raspberry --brix 54 --mass 2kg",
    "swap slipway --out raspberry --in 'simple syrup'",
    "fits slipway --all",
    "aim 'simple syrup' --for raspberry",
    "compare --all",
    "make raspberry --mass 1kg",
    "standardise",
    "bottle slipway --serves 6",
    "chart raspberry",
    "batch list --all",
    "batch show RAS-12",
    "cards --out cards.pdf",
    "strips --out strips.pdf",
    "labels --out labels.pdf",
    "sheet rail --out rail.pdf",
    "sheet allergens --out allergens.pdf",
    "sheet prep --out prep.pdf",
    "export drinks --out drinks.csv",
    "export totals --out totals.csv",
    "export batches --out batches.csv",
    "calibrate slipway",
)


UNPRINTED: Final = tuple(question for question in QUESTIONS if ".pdf" not in question)
"""Those that take little time."""


def ask(folder: Path, questions: tuple[str, ...], *, as_json: bool) -> dict[str, object]:
    """What a house answers, in words or as JSON, and the tables that it writes."""
    found: dict[str, object] = {}
    with contextlib.chdir(folder):
        for question in questions:
            words = f"{question} --json" if as_json else question
            done = run(*shlex.split(words), specs=None, env={"BALANCER_NOW": NOW})
            found[words] = (done.code, done.out, done.err)
        found |= {path.name: path.read_bytes() for path in Path().glob("*.csv")}
    return found


@functools.cache
def answers_of_the_demo(questions: tuple[str, ...], *, as_json: bool) -> dict[str, object]:
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(DEMO, Path(folder) / "specs")
        return ask(Path(folder), questions, as_json=as_json)


def write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def layered(folder: Path, choose: random.Random) -> None:
    """The demo house, every file of it in the base, in the house, or in both with something else in the base."""
    for kind in NAME_KEY:
        names: dict[str, list[str]] = {}
        for entry in entries_of(DEMO, kind):
            names.setdefault(entry.document.path, []).append(entry.name)
        for path, listed in names.items():
            place = Path(path).relative_to(DEMO)
            where = choose.choice(["base", "own", "both"])
            text = Path(path).read_text(encoding="utf-8")
            write(folder / ("group" if where == "base" else "specs") / place, text)
            if where == "both":
                write(folder / "group" / place, "".join(DIFFERENT[kind].format(name) for name in listed))
    own, base = ["base: ../group"], ["format: 1", "house: The Group"]
    into = own
    for line in (DEMO / "house.yaml").read_text(encoding="utf-8").splitlines():
        if line.startswith(("format:", "house:", "#")):
            own.append(line)
        elif line.startswith(" "):
            into.append(line)
        else:
            into = choose.choice([own, base])
            into.append(line)
            if into is own and line.startswith(("tolerance:", "batch tolerance:", "dash:", "barspoon:")):
                key, value = line.split(":", 1)
                base.append(f"{key}: 1{value.strip()}")
    write(folder / "specs" / "house.yaml", "\n".join(own) + "\n")
    write(folder / "group" / "house.yaml", "\n".join(base) + "\n")
    # The logo counts from the folder of the file that names it, and stands in no other.
    names_it = "specs" if any(line.startswith("look:") for line in own) else "group"
    shutil.copytree(DEMO / "look", folder / names_it / "look")
    write(folder / "group" / "batches.yaml", "nonsense\n")
    shutil.copy(DEMO / "batches.yaml", folder / "specs")


def differing(choose: random.Random, questions: tuple[str, ...], *, as_json: bool) -> dict[str, object]:
    """What a layered house answers otherwise than all of it in one folder."""
    with tempfile.TemporaryDirectory() as name:
        layered(Path(name), choose)
        found = ask(Path(name), questions, as_json=as_json)
    wanted = answers_of_the_demo(questions, as_json=as_json)
    assert len(found) == len(questions) + 3
    return {words: told for words, told in found.items() if told != wanted[words]}


def test_a_layered_house_answers_as_one_folder_does() -> None:
    """Each file in the base, in the house, in both, in turn: the fast one of the next."""
    assert differing(InTurn(), UNPRINTED, as_json=True) == {}


@pytest.mark.slow
@tried(20)
@given(st.randoms(use_true_random=False), st.booleans())
def test_however_it_is_layered(choose: random.Random, as_json: bool) -> None:
    assert differing(choose, QUESTIONS, as_json=as_json) == {}


class InTurn(random.Random):
    """Chooses one after the other."""

    turn = 0

    def choice(self, seq: Any) -> Any:
        self.turn += 1
        return seq[self.turn % len(seq)]


def test_every_question_has_an_answer() -> None:
    """None of them is wrong usage, which any house answers alike."""
    codes = {
        words: told[0]
        for words, told in answers_of_the_demo(UNPRINTED, as_json=True).items()
        if isinstance(told, tuple)
    }
    assert {words: code for words, code in codes.items() if code == 2} == {}
