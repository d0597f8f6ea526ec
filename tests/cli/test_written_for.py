"""A drink that is written for another strength than the standard, as a bar and a manager meet it."""

from __future__ import annotations

import contextlib
from datetime import date
from pathlib import Path

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.kept_drinks import kept_drinks
from balancer.engine.swaps.versions import next_version
from balancer.errors import CannotError
from balancer.files.house.edit import edit_standard
from balancer.files.house.keep_drinks import keep_drinks, raise_versions
from balancer.files.house.load import load
from balancer.files.house.write_edit import write_edit
from tests import pdf
from tests.cli.runner import Run, copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
OLD = """\
drink: Old Sour
method: shaken
pours: [60 ml gold rum, 22.5 ml lime juice, 22.5 ml berry syrup]
written for: {berry syrup: 46 °Bx}
dilution: 45 %
"""
"""By the printed densities 46 °Bx holds 0.5556 g sugar in a ml, 50 °Bx, the standard, 0.6148: 22.5 ml of 46 are
20.33 ml of 50, which the jigger pours as 20."""


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return copy_of_house(tmp_path, drinks__old=OLD)


def ask(specs: Path, *words: str) -> Run:
    return run(*words, specs=specs, env=NOW)


def test_a_swap_calls_nothing_a_standard_that_is_none(tmp_path: Path) -> None:
    """The drink has some of what comes already, at the strength that it is written for."""
    pours = "pours: [60 ml gold rum, 22.5 ml lime juice, 15 ml berry syrup, 7.5 ml rich syrup]"
    both = OLD.replace(OLD.splitlines()[2], pours)
    assert pours in both
    done = ask(copy_of_house(tmp_path, drinks__old=both), "swap", "Old Sour", "--out", "rich syrup", "--in", "berry")
    assert "new syrup         46 °Bx, as this drink is written for" in done.out


def test_tonight_names_it_although_nothing_is_open(specs: Path) -> None:
    done = ask(specs, "tonight")
    assert (done.code, done.first) == (0, "tonight 25 Nov: berry syrup changes 1 drink")
    assert "berry syrup, not read, assumed at standard 50, drinks written for 46: Old Sour 22.5 → 20 ml" in " ".join(
        done.out.split()
    )
    data = ask(specs, "tonight", "--json").data
    (assumed,) = data["assumed"]
    assert (assumed["syrup"], assumed["conversions"]) == ("berry-syrup", [])
    (old,) = [row for row in assumed["drinks"] if row["drink"] == "old-sour"]
    assert (old["written_for_brix"], old["pour"]["poured_ml"]) == (46.0, 20.0)
    assert any("Old Sour 22.5 → 20 ml" in note for note in data["notes"])
    assert "written for 46 °Bx: a ml at 46 °Bx weighs" in ask(specs, "tonight", "--steps").out


def test_totals_say_what_they_count_on(specs: Path) -> None:
    """At 46 °Bx a gram holds 0.46 g of sugar, whatever acid is in it."""
    done = ask(specs, "totals", "old-sour")
    assert "written for       berry syrup 46 °Bx, standard 50" in done.out
    data = ask(specs, "totals", "old-sour", "--json").data
    assert data["written_for"] == [
        {"syrup": "berry-syrup", "name": "berry syrup", "written_for_brix": 46.0, "standard_brix": 50.0}
    ]
    berry = next(pour for pour in data["pours"] if pour["ingredient"] == "berry-syrup")
    assert berry["sugar_g"] == pytest.approx(0.46 * berry["mass_g"])
    assert ask(specs, "totals", "anchor", "--json").data["written_for"] == []


def test_the_card_and_the_rail_say_it(specs: Path, tmp_path: Path) -> None:
    """The spec as written, and beside it the strength that it is written for."""
    with contextlib.chdir(tmp_path):
        assert ask(specs, "cards", "old-sour", "--out", "old.pdf").code == 0
        rail = ask(specs, "sheet", "rail", "--out", "rail.pdf", "--json").data
        card, sheet = [" ".join(pdf.text(tmp_path / name).split()) for name in ("old.pdf", "rail.pdf")]
    for text in (card, sheet):
        assert "written for 46 °Bx" in text.replace("\u00a0", " ")
    (pour,) = [
        pour
        for drink in rail["drinks"]
        if drink["drink"] == "old-sour"
        for pour in drink["pours"]
        if pour["ingredient"] == "berry-syrup"
    ]
    assert (pour["standard_brix"], pour["written_for_brix"]) == (50.0, 46.0)


def test_a_card_changes_only_where_the_strength_does(specs: Path, tmp_path: Path) -> None:
    """To say that a drink is written for the standard changes no card; to say another strength changes its own."""
    file = specs / "drinks" / "old.yaml"
    file.write_text(OLD.replace("written for: {berry syrup: 46 °Bx}\n", ""), encoding="utf-8")

    def printed() -> Run:
        with contextlib.chdir(tmp_path):
            return ask(specs, "cards", "old-sour", "--changed", "--out", "new.pdf")

    assert printed().first.startswith("1 card")
    file.write_text(OLD.replace("46 °Bx", "50 °Bx"), encoding="utf-8")
    assert printed().first.startswith("no card has changed")
    file.write_text(OLD, encoding="utf-8")
    assert printed().first.startswith("1 card")


def test_a_spreadsheet_takes_it_there_and_back(specs: Path, tmp_path: Path) -> None:
    before = load(specs).specs.drinks["old-sour"]
    sheet = tmp_path / "all.csv"
    assert ask(specs, "export", "drinks", "--out", str(sheet)).code == 0
    for path in (specs / "drinks").iterdir():
        path.unlink()
    assert ask(specs, "import", str(sheet), "--write").code == 0
    assert load(specs).specs.drinks["old-sour"] == before
    assert before.written_for == {"berry-syrup": 46.0}


def test_a_strength_of_nothing_is_told_in_the_sheet(specs: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "new.csv"
    text = "drink,method,ingredient,amount,written for\nNew,shaken,berry syrup,20 ml,46 °Bx\n"
    sheet.write_text(text, encoding="utf-8")
    done = ask(specs, "import", str(sheet), "--json")
    assert [(one["line"], one["column"], one["code"]) for one in done.data["problems"]] == [(2, 5, "written-for")]


def test_a_new_standard_offers_to_keep_the_drinks(specs: Path) -> None:
    """5 of them pour berry at 50 °Bx; Old Sour says 46 already. 22.5 ml of 50 °Bx are 20.46 of 54 (0.6760 g/ml)."""
    before = tree(specs)
    done = ask(specs, "set", "berry", "standard", "54")
    text = " ".join(done.out.split())
    assert done.code == 1
    assert "pours are NOT changed" in text
    assert "with a strength of their own, so they stay: Old Sour" in text
    assert "--keep-drinks keeps them: written for 50 °Bx, at 54 °Bx they pour" in text
    assert "22.5 → 20" in text
    data = ask(specs, "set", "berry", "standard", "54", "--json").data
    assert (data["drinks_kept"], data["written_for_another"]) == (False, ["old-sour"])
    added = [line for each in data["other_files"] for line in each["diff"].splitlines() if line[:1] in "+-"]
    assert {line.strip("+- ").partition(":")[0] for line in added if line[:3] not in ("+++", "---")} == {
        "version",
        "date",
    }
    assert "old-sour" not in {drink["drink"] for drink in data["drinks"]}
    pours = {one["spec_ml"]: one["poured_ml"] for one in data["kept_pours"]["conversions"]}
    assert pours[22.5] == 20.0
    assert tree(specs) == before


def test_drinks_are_kept(specs: Path) -> None:
    """Only lines come, and whatever the drinks hold by their specs stays what it was."""
    before, old = tree(specs), load(specs).specs
    totals = {drink: ask(specs, "totals", drink, "--json").data["served"] for drink in old.drinks}
    done = ask(specs, "set", "berry", "standard", "54", "--keep-drinks", "--yes")
    assert (done.code, done.err) == (0, "")
    assert " ".join(done.out.split()).startswith("written: berry syrup: standard 54 °Bx, not 50;")
    new = load(specs)
    assert new.problems == ()
    assert new.specs.syrups["berry-syrup"].standard == 54.0
    for drink in old.drinks.values():
        pours = any(pour.of == "berry-syrup" for pour in drink.pours)
        wanted = {"berry-syrup": 50.0, **drink.written_for} if pours else drink.written_for
        is_kept = wanted != drink.written_for
        told = {"version": next_version(drink.version), "date": "2026-11-25"} if is_kept else {}
        assert new.specs.drinks[drink.id] == drink.model_copy(update={"written_for": wanted, **told})
        assert ask(specs, "totals", drink.id, "--json").data["served"] == totals[drink.id]
    for name, text in tree(specs).items():
        came = [line for line in text.splitlines() if line not in before[name].splitlines()]
        lines = ("written for: {berry syrup: 50 °Bx}", "standard: 54 °Bx", "date: 2026-11-25")
        assert all(line.strip() in lines or line.strip().startswith("version: ") for line in came), name


def test_a_file_that_changes_meanwhile_leaves_all_as_it_was(specs: Path) -> None:
    """The drinks are looked at before any is written."""
    loaded = load(specs)
    bar, syrup = Bar(loaded.specs), loaded.specs.syrups["berry-syrup"]
    standard = edit_standard(specs, loaded, syrup, 54.0, "54 °Bx")
    edits, _ = keep_drinks(specs, loaded, standard, syrup, kept_drinks(bar, syrup, 54.0).drinks, date(2026, 11, 25))
    edits[-1].path.write_text(edits[-1].old + "# looked at\n", encoding="utf-8")
    before = tree(specs)
    with pytest.raises(CannotError, match="changed meanwhile"):
        write_edit(specs, *edits, standard)
    assert tree(specs) == before


def test_a_drink_that_came_since_the_folder_was_loaded_is_not_written_over(specs: Path) -> None:
    """Its version rose by one from what was loaded, also where somebody had raised it meanwhile."""
    loaded = load(specs)
    bar, syrup = Bar(loaded.specs), loaded.specs.syrups["berry-syrup"]
    standard = edit_standard(specs, loaded, syrup, 54.0, "54 °Bx")
    kept = kept_drinks(bar, syrup, 54.0).drinks
    assert ask(specs, "set", kept[0].id, "berry", "20ml", "--yes").code == 0
    before = tree(specs)
    for change in (keep_drinks, raise_versions):
        with pytest.raises(CannotError, match="changed meanwhile"):
            change(specs, loaded, standard, syrup, kept, date(2026, 11, 25))
    assert tree(specs) == before


def test_keeping_drinks_is_for_a_standard(specs: Path) -> None:
    done = ask(specs, "set", "anchor", "berry", "20ml", "--keep-drinks")
    assert done.code == 2
    assert "--keep-drinks is for a syrup's standard" in done.err


def tree(specs: Path) -> dict[str, str]:
    """Every file of a bar, by its name."""
    return {str(path.relative_to(specs)): path.read_text("utf-8") for path in sorted(specs.rglob("*.yaml"))}


@pytest.mark.parametrize(
    ("said", "then"),
    [
        ("written for: {berry syrup: 46 °Bx}\n", ""),
        ("written for:\n  berry syrup: 46 °Bx  # of the old book\n", ""),
        ("written for: {berry syrup: 46 °Bx, plain syrup: 49 °Bx}\n", "written for: {plain syrup: 49 °Bx}\n"),
        ("written for: {plain syrup: 49 °Bx, Berry-Syrup: 46 °Bx}\n", "written for: {plain syrup: 49 °Bx}\n"),
        ("written for:\n  plain syrup: 49 °Bx\n  berry syrup: 46 °Bx\n", "written for:\n  plain syrup: 49 °Bx\n"),
    ],
)
@pytest.mark.parametrize("how", [("--remove",), ("--to", "honey")])
def test_what_is_poured_no_more_has_no_strength(specs: Path, said: str, then: str, how: tuple[str, ...]) -> None:
    """A drink that no longer pours a syrup does not say what it was written for; of the others it does."""
    file = specs / "drinks" / "old.yaml"
    text = OLD.replace("22.5 ml berry", "10 ml plain syrup, 22.5 ml berry")
    file.write_text(text.replace("written for: {berry syrup: 46 °Bx}\n", said), encoding="utf-8")
    assert load(specs).problems == ()
    done = ask(specs, "set", "old-sour", "berry", *how, "--yes")
    assert (done.code, done.err) == (0, "")
    found = load(specs)
    assert found.problems == ()
    assert found.specs.drinks["old-sour"].written_for == ({"plain-syrup": 49.0} if then else {})
    lines = file.read_text(encoding="utf-8")
    assert f"]\n{then}dilution: 45 %\n" in lines


def test_the_kept_drinks_get_cards_that_are_told_apart(specs: Path, tmp_path: Path) -> None:
    """Every old card to throw away has another version than the new one; what had no card is named as new."""

    def cards(*words: str) -> Run:
        with contextlib.chdir(tmp_path):
            return ask(specs, "cards", "--out", "new.pdf", *words)

    first = cards()
    assert "new:" not in first.out, "of the first cards of a house all are new"
    assert ask(specs, "set", "berry", "standard", "54", "--keep-drinks", "--yes").code == 0
    text = OLD.replace("Old Sour", "Pear Half").replace("written for: {berry syrup: 46 °Bx}\n", "")
    (specs / "drinks" / "pear.yaml").write_text(text, encoding="utf-8")
    data = cards("--changed", "--draft", "--json").data
    unprintable = data["left_out"]
    assert "pear-half" in data["new"]
    assert len(data["new"]) == 1 + unprintable, "what cannot be printed had no card before either"
    versions = {drink.id: drink.version for drink in load(specs).specs.drinks.values()}
    assert data["pull"]
    for old in data["pull"]:
        assert versions[old["drink"]] == next_version(old["version"])
    assert "  new: Pear Half\n" in cards("--changed").out
    assert (specs / "drinks" / "old.yaml").read_text("utf-8") == OLD


def test_another_standard_is_told_against_the_printed_card(specs: Path, tmp_path: Path) -> None:
    """The pour is for 46 °Bx as it was; that its syrup is made to 54 and no longer to 50 is all that differs."""
    with contextlib.chdir(tmp_path):
        assert ask(specs, "cards", "old-sour", "--out", "old.pdf").code == 0
    assert "nothing differs" in ask(specs, "totals", "old-sour", "--against", "printed").out
    assert ask(specs, "set", "berry", "standard", "54", "--yes").code == 0
    done = ask(specs, "totals", "old-sour", "--against", "printed")
    text = " ".join(done.out.split())
    assert "the figures stay, another standard of berry syrup" in text
    assert "22.5 ml of 46 °Bx, standard 54" in text
    data = ask(specs, "totals", "old-sour", "--against", "printed", "--json").data
    (pair,) = [pair for pair in data["pours"] if not pair["same"]]
    assert pair["differs"] == ["standard"]
    assert (pair["drink"]["own_standard_brix"], pair["against"]["own_standard_brix"]) == (54.0, 50.0)
    assert (pair["drink"]["standard_brix"], pair["against"]["standard_brix"]) == (46.0, 46.0)
