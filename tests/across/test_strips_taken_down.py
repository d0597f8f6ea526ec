"""Which strips come off the rail and which labels are printed again: said alike by every command, and true of them."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.across.half_half import half_half
from tests.cli.runner import Run, run
from tests.web.browsing import visitor
from tests.web.sitting import Device

pytestmark = pytest.mark.slow

NOW = "2026-11-25T18:40+01:00"
HUNG = "take RAS-12's off the rail: its pours hung on this bottle"
OWN = "take it off the rail: its pours were for the strength before"


@pytest.fixture
def specs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BALANCER_NOW", NOW)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return half_half(tmp_path)


def ask(specs: Path, *words: str) -> Run:
    return run(*words, specs=specs, env={"BALANCER_NOW": NOW})


def said(specs: Path, *words: str) -> str:
    return " ".join(ask(specs, *words).out.split())


def on_rail(specs: Path, folder: Path) -> dict[str, Any]:
    """What hangs there, were all printed now: of each bottle its pours and what ends it."""
    data = ask(specs, "strips", "--json", "--out", str(folder / "strips.pdf")).data
    keys = ("until", "conversions", "own_pours", "ask", "hangs_on", "allergens_gained")
    return {strip["batch"]: {key: strip[key] for key in keys} for strip in data["strips"]}


def on_bottles(specs: Path, folder: Path) -> dict[str, Any]:
    """What stands on the bottles of itself, were every label printed now."""
    data = ask(specs, "labels", "--json", "--out", str(folder / "labels.pdf")).data
    keys = ("verified", "acid", "discard", "conversions", "own_pours")
    return {
        label["batch"]: {"brix": label["brix"] and round(label["brix"], 1), **{key: label[key] for key in keys}}
        for label in data["labels"]
    }


@pytest.mark.parametrize(
    ("words", "own"),
    [
        (("batch", "correct", "STR-1"), OWN),
        (("batch", "reading", "STR-1", "50"), OWN),
        (("measure", "50.4", "--batch", "STR-1", "--log"), OWN),
        (("batch", "empty", "STR-1"), "take it off the rail"),
        (("batch", "discard", "STR-1"), "take it off the rail"),
        (("batch", "add", "strawberry", "50", "--open", "--replaces", "STR-1"), "take STR-1's off the rail"),
    ],
)
def test_whatever_ends_the_other_bottle_takes_both_strips_down(specs: Path, words: tuple[str, ...], own: str) -> None:
    """RAS-12, at its standard, has 15 → 20 ml in Half Half only because STR-1 is strong."""
    done = said(specs, *words)
    assert own in done
    assert HUNG in done


@pytest.mark.parametrize(
    ("words", "is_told"),
    [
        (("batch", "correct", "STR-1"), True),
        (("batch", "reading", "STR-1", "50"), True),
        (("batch", "reading", "STR-1", "54.62"), False),
        (("measure", "50.4", "--batch", "STR-1", "--log"), True),
        (("batch", "empty", "STR-1"), False),
        (("batch", "add", "strawberry", "50", "--open"), False),
    ],
)
def test_the_bottles_own_label_is_told_of(specs: Path, words: tuple[str, ...], is_told: bool) -> None:
    """Its strip came off, and its label went on to say the strength before."""
    done = ask(specs, *words, "--json").data
    assert (done["batch"] in done["labels"]["print_again"]) == is_told
    assert ask(specs, "batch", "undo", "--json").code == 0
    assert ("print it again, if the bottle has one" in said(specs, *words)) == is_told


def test_json_names_them_and_undoing_brings_them_back(specs: Path) -> None:
    done = ask(specs, "batch", "correct", "STR-1", "--json").data
    assert sorted(done["strips"]["take_off"]) == ["RAS-12", "STR-1"]
    assert (done["strips"]["print_again"], done["strips"]["print_new"], done["strips"]["stay"]) == ([], [], [])
    back = ask(specs, "batch", "undo", "--json").data
    assert sorted(back["strips"]["print_new"]) == ["RAS-12", "STR-1"]
    assert back["strips"]["take_off"] == []


def test_what_changes_no_strip_says_nothing(specs: Path) -> None:
    assert "rail" not in said(specs, "batch", "correct", "HON-1", "--mass", "1100g")
    assert ask(specs, "measure", "50.3", "--batch", "SIM-1", "--json").data["strips"] is None


def test_the_page_says_the_same_sentences(specs: Path) -> None:
    phone = Device(visitor(specs))
    page = phone.get("/batches/STR-1")
    done = phone.press(page, "Log the correction", brix="50")
    told = done.part("done")
    assert told is not None
    assert f"Strip: {OWN}." in told.text
    assert f"Other strips: {HUNG}." in told.text
    undone = phone.press(done, "Undo", "done").part("done")
    assert undone is not None
    assert "Other strips: print RAS-12's: it has pours now." in undone.text


def test_the_page_corrects_nothing_that_is_within_its_tolerance(specs: Path) -> None:
    """RAS-12 reads 50.0 and pours otherwise only because of STR-1, which the page corrects."""
    phone = Device(visitor(specs))
    assert phone.get("/batches/RAS-12").part("correction-title") is None
    assert "Pour more, because strawberry syrup is strong" in phone.get("/batches/RAS-12").words
    assert phone.get("/batches/HON-1").part("correction-title") is None
    assert phone.get("/batches/STR-1").part("correction-title") is not None


def test_another_bottle_of_one_of_two_syrups_that_move_is_poured_as_written_with_the_other(specs: Path) -> None:
    """Half Half with 15 ml of another raspberry, and 10 ml of STR-1, would have an eighth too little."""
    phone = Device(visitor(specs))
    assert "Other tape on your bottle? Then pour the whole drink as written." in phone.get("/drinks/half-half").words
    assert ask(specs, "batch", "correct", "STR-1").code == 0
    assert ask(specs, "batch", "reading", "RAS-12", "57", "--yes").code == 0
    assert "Other tape on your bottle? Pour as written." in phone.get("/drinks/half-half").words


@given(
    deeds=st.lists(
        st.tuples(st.sampled_from(["RAS-12", "STR-1"]), st.sampled_from([46, 48, 49.9, 50, 52, 54.6, 57])),
        min_size=1,
        max_size=4,
    )
)
@settings(max_examples=12)
def test_who_does_what_is_said_has_the_rail_of_the_night(deeds: list[tuple[str, float]]) -> None:
    """Strips taken off, printed again and put up as told, one reading after another, are those printed anew."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        house = half_half(folder)
        rail, bottles = on_rail(house, folder), on_bottles(house, folder)
        for batch, brix in deeds:
            done = ask(house, "batch", "reading", batch, str(brix), "--yes", "--json").data
            told, now = done["strips"], on_rail(house, folder)
            fresh = on_bottles(house, folder)
            bottles |= {identity: fresh[identity] for identity in done["labels"]["print_again"]}
            assert bottles == fresh
            for identity in told["take_off"]:
                del rail[identity]
            for identity in (*told["print_again"], *told["print_new"]):
                rail[identity] = now[identity]
            assert rail == now
