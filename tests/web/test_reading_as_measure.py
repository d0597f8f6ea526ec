"""What the page says of a reading is what `measure` says: for readings nobody thought of, on every scale and way."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.files.house.demo import demo_folder
from balancer.output.words.numbers import trim
from balancer.units import parse_number
from tests.cli.runner import run
from tests.examples import examples
from tests.web.browsing import Node, visitor
from tests.web.sitting import Device, Shown

pytestmark = pytest.mark.slow

NOW = "2026-11-25T20:16:00+01:00"
WHAT = {
    "batch:RAS-12": "RAS-12", "batch:STR-1": "STR-1", "batch:GIN-2": "GIN-2", "batch:DEM-1": "DEM-1",
    "batch:ALM-1": "ALM-1", "liquid:agave-syrup": "agave-syrup", "liquid:passion-fruit-syrup": "passion-fruit-syrup",
    "": "",
}  # fmt: skip
"""What can be chosen on the page, and how it is typed."""

Asked = tuple[dict[str, str], list[str]]
"""The fields of the page, and the words of the command line."""


@st.composite
def questions(draw: st.DrawFn) -> Asked:
    """A reading on the page, and typed."""
    what = draw(st.sampled_from(sorted(WHAT)))
    scale = draw(st.sampled_from(["", "", "", "nD", "SG"]))
    low, high = {"": (0, 999), "nD": (13330, 15100), "SG": (1000, 1460)}[scale]
    places = {"": 1, "nD": 4, "SG": 3}[scale]
    numbers = draw(st.lists(st.integers(low, high), min_size=1, max_size=3))
    shown = [f"{number / 10**places:.{places}f}" for number in numbers]
    if draw(st.booleans()) and scale == "":
        near = draw(st.integers(440, 560))
        shown = [f"{(near + each) / 10:.1f}".replace(".", draw(st.sampled_from(",."))) for each in range(len(shown))]
    fields = {"what": what, "reading": " ".join(f"{each}{scale}" for each in shown)}
    words = [f"{each}{scale}" for each in shown] + ([WHAT[what]] if what else [])
    if draw(st.booleans()):
        celsius = draw(st.integers(-5, 45))
        fields["temperature"] = draw(st.sampled_from([f"{celsius}", f"{celsius} °C", f"{celsius}C"]))
        words += [f"--temperature={celsius}C"]
    if draw(st.booleans()):
        sample, water = draw(st.integers(1, 400)), draw(st.integers(1, 400))
        fields |= {"dilute": "yes", "sample": f"{sample}", "water": f"{water} g"}
        words += ["--dilute", f"{sample}g+{water}g"]
    if draw(st.booleans()):
        acid = draw(st.integers(0, 60))
        fields["acid"] = f"{acid}"
        words += ["--acid", f"{acid}g/kg"]
    return fields, words


@pytest.fixture(scope="module")
def bar() -> Iterator[tuple[Path, Device]]:
    """The demo house, and a device at its page."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("BALANCER_NOW", NOW)
        specs = Path(folder) / "specs"
        shutil.copytree(demo_folder(), specs)
        yield specs, Device(visitor(specs))


@given(asked=questions())
@settings(max_examples=examples(200))
def test_a_reading_on_the_page_is_that_of_the_command_line(bar: tuple[Path, Device], asked: Asked) -> None:
    specs, phone = bar
    fields, words = asked
    page = phone.get("/read", fields)
    typed = run("measure", *words, "--json", specs=specs, env={"BALANCER_NOW": NOW})
    if typed.code == 2 or "brix" not in typed.data:
        problem = typed.data["problems"][0]
        if problem["code"] == "doubt":
            assert not page.wrong()
            assert problem["message"].casefold() in page.result.casefold()
            assert not page.root.find("ol", "pours")
        else:
            told = re.sub(r"^(--\w+|READING): ", "", problem["message"])
            assert any(told in said for said in page.wrong().values()), (problem, page.wrong())
        typed = run("measure", *words, "--json", "--yes", specs=specs, env={"BALANCER_NOW": NOW})
        page = phone.get("/read", fields | {"yes": "1"})
        if "brix" not in typed.data:
            assert page.wrong()
            return
    same_answer(page, typed.data, fields)


def same_answer(page: Shown, data: dict[str, Any], fields: dict[str, str]) -> None:
    """Strength, ±, advice, pours, drinks that no pour saves, and what corrects it."""
    assert page.wrong() == {}
    assert page.root.find("data")[0].attributes["value"] == repr(data["brix"])
    big = page.root.find("p", "big")[0].text
    assert big.startswith(trim(data["brix"], 1))
    if data["proposal"] is None and "or more" not in big and "too warm" not in big:
        off = 2.0 * data["standard_uncertainty_brix"]
        assert f"±{trim(off, 1 if off >= 0.05 else 2)}" in big
    celsius = parse_number(fields.get("temperature", "20").strip(" C°"))
    assert ("too warm" in big) == (celsius > 30.0 and "or more" not in big)  # above 30 °C a reading is asked about
    for warning in data["warnings"]:
        assert warning.partition(": --")[0].casefold() in page.result.casefold()
    if not fields["what"]:
        assert not page.root.find("ol", "pours")
        return
    heading = {
        "as written": "Pour as written", "change pours": "Leave it, and pour this",
        "correct the batch": "Correct it first", "read again": "Read it again", "pull": "Discard it",
    }[data["advice"]]  # fmt: skip
    means = page.part("means-title")
    assert means is not None
    assert means.text == heading
    assert data["reason"].casefold() in page.result.casefold()
    if data["advice"] in ("read again", "pull"):
        assert not page.root.find("ol", "pours")
        assert page.part("correction-title") is None
        return
    pairs = [
        (_words(pair, "was").removeprefix("written ").removesuffix("→").strip(), _words(pair, "now"))
        for pair in page.root.find("span", "pair")
    ]
    told = [
        (trim(one["spec_ml"], 2), f"{trim(one['poured_ml'], 2)} ml")
        for one in data["conversions"]
        if one["unit"] == "ml"
    ]
    assert [(written, now.replace("pour, in doubt, ", "").removeprefix("pour ")) for written, now in pairs] == told
    for name in data["near_edge"][:3]:
        assert name in page.result
    for row in data["drinks"]:
        if row["verdict"] == "out of reach":
            assert row["name"] in page.result


def _words(node: Node, kind: str) -> str:
    return node.find("span", kind)[0].text


@given(batch=st.sampled_from(["RAS-12", "STR-1", "GIN-2", "DEM-1", "PIN-1"]), shown=st.integers(440, 547))
@settings(max_examples=examples(60))
def test_a_correction_on_the_page_is_that_of_the_command_line_once_it_is_logged(
    bar: tuple[Path, Device], batch: str, shown: int
) -> None:
    """The page reckons as if the reading were logged; here it is, and `correct` is asked."""
    specs, phone = bar
    page = phone.get("/read", {"what": f"batch:{batch}", "reading": f"{shown / 10:.1f}"})
    title = page.part("correction-title")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "specs"
        shutil.copytree(specs, copy)
        env = {"BALANCER_NOW": NOW}
        logged = run("measure", f"{shown / 10:.1f}", batch, "--log", "--yes", "--json", specs=copy, env=env)
        text, data = (run("correct", "--batch", batch, *as_json, specs=copy, env=env) for as_json in ([], ["--json"]))
    if title is None:
        assert logged.data["advice"] != "correct the batch"
        return
    answer = title.text.removeprefix("Or: ")
    first, add = data.data["first_add_g"], data.data["add_g"]
    staged = f"first {_grams(first)}" if 0.0 < first < add else ""
    if f"to each kg of {batch}" in answer:  # open: how much is left of what was weighed nobody knows
        before = data.data["mass_g"]
        assert answer.casefold().startswith(f"add {_grams(add * 1000.0 / before)} ")
        (left,) = [each.text for each in page.root.find("p", "rest") if each.text.startswith("If all ")]
        assert left.startswith(f"If all {_grams(before)} are left: add {_grams(add)} ")
        assert left.endswith(f", {staged}") if staged else ", first " not in left
        return
    assert " ".join(text.out.split()).startswith(f"{answer[0].casefold()}{answer[1:]}")
    assert f"{staged}, stir, read again".casefold() in page.result.casefold() if staged else "First " not in page.result


def _grams(mass_g: float) -> str:
    return f"{trim(mass_g, 0 if mass_g >= 9.95 else 1)} g"
