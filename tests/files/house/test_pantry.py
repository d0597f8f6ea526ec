"""What the pantry offers for a name, and what a house gets out of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.errors import CannotError, UsageError
from balancer.files import save as files_save
from balancer.files.house.load import load
from balancer.files.house.pantry import chosen, pantry
from balancer.files.house.pantry_copy import from_pantry, write_from_pantry
from tests.files.folders import write


def offered(name: str, *, by_volume: bool = True) -> tuple[str, bool] | None:
    offer = pantry().offer(name, by_volume=by_volume)
    return (offer.entry.name, offer.is_meant) if offer else None


@pytest.mark.parametrize(
    ("name", "entry"),
    [
        ("yuzu juice", "yuzu juice"),
        ("Yuzu  Juice", "yuzu juice"),
        ("yuzu-juice", "yuzu juice"),
        ("triple sec", "orange liqueur"),
        ("Creme de Cassis", "crème de cassis"),
        ("honey", "honey"),
        ("heavy cream", "cream"),
    ],
)
def test_the_very_name_is_meant(name: str, entry: str) -> None:
    assert offered(name) == (entry, True)


@pytest.mark.parametrize(
    ("name", "entry"),
    [("yuzu juce", "yuzu juice"), ("orange bitter", "orange bitters"), ("rye whisky", "rye whiskey")],
)
def test_a_slip_of_a_letter_is_only_asked_about(name: str, entry: str) -> None:
    assert offered(name) == (entry, False)


@pytest.mark.parametrize(("name", "entry"), [("lemonade", "lemon-lime soda"), ("maple", "maple syrup")])
def test_a_word_of_one_name_is_only_asked_about(name: str, entry: str) -> None:
    """The pantry has clear lemonade and maple syrup, and nothing else of these words."""
    assert offered(name) == (entry, False)


@pytest.mark.parametrize(
    "name", ["vinegar", "xyzzy", "blood orange juice", "our sherbet", "hon", "syrup", "juice", "liqueur", ""]
)
def test_what_is_not_there_is_not_offered(name: str) -> None:
    assert offered(name) is None


@pytest.mark.parametrize(
    ("name", "juice"), [("lime", "lime juice"), ("limes", "lime juice"), ("pineapple", "pineapple juice")]
)
def test_fruit_by_volume_is_a_question_about_its_juice_and_by_weight_the_fruit(name: str, juice: str) -> None:
    """22.5 ml lime is no fruit; two limes are no juice."""
    assert offered(name) == (juice, False)
    by_piece = pantry().offer(name, by_volume=False)
    assert by_piece is not None
    assert by_piece.entry.kind == "fruit"


def test_no_name_is_offered_across_kinds() -> None:
    """Every name of the pantry offers its own entry, or, of fruit by volume, a juice to be asked about."""
    for entry in pantry().entries:
        for name in entry.names:
            offer = pantry().offer(name, by_volume=True)
            if entry.kind != "fruit":
                assert offer is not None
                assert (offer.entry.name, offer.is_meant) == (entry.name, True)
            elif offer is not None:
                assert (offer.entry.kind, offer.is_meant) == ("juice", False), name


def test_groups_and_single_names_are_chosen_each_once() -> None:
    found = chosen(["sugars, honey", "Granulated Sugar"])
    assert [entry.group for entry in found].count("honeys") == 1
    assert len(found) == len(pantry().of_group("sugars")) + 1
    assert chosen(["all"]) == pantry().entries


def test_an_unknown_group_is_told_with_those_there_are() -> None:
    with pytest.raises(UsageError) as error:
        chosen(["jucies"])
    problem = error.value.problems()[0]
    assert problem.message == 'the pantry has no group or ingredient called "jucies"'
    assert problem.remedy.startswith('did you mean "juices"? groups: beers ')
    for group in pantry().heads:
        assert f"{group} {len(pantry().of_group(group))}" in problem.remedy


def test_a_house_gets_what_it_lacks_and_keeps_what_it_has(tmp_path: Path) -> None:
    bar = write(tmp_path / "bar")
    before = {path: path.read_bytes() for path in bar.rglob("*") if path.is_file()}
    had = load(bar).specs
    found = from_pantry(bar, pantry().entries)
    write_from_pantry(found)
    after = load(bar)
    assert after.problems == load(bar).problems
    assert {path: path.read_bytes() for path in before} == before
    assert {one.name for one in found.there} >= {"lime juice", "granulated sugar"}
    for identity, ingredient in had.ingredients.items():
        assert after.specs.ingredients[identity] == ingredient
    assert len(after.specs.ingredients) == len(had.ingredients) + len(found.added)
    again = from_pantry(bar, pantry().entries)
    assert (again.files, again.added) == ({}, ())
    assert len(again.there) == len(pantry().entries)


def test_a_name_the_house_gives_to_something_else_stays_the_houses(tmp_path: Path) -> None:
    """A syrup called honey, and an ingredient that is also called triple sec."""
    changes = {
        "syrups/honey.yaml": "syrup: honey\nstandard: 60 °Bx\n",
        "ingredients/mine.yaml": "- ingredient: dock orange\n  also: [Triple Sec]\n  abv: 40 %\n",
    }
    bar = write(tmp_path / "bar", changes)
    found = from_pantry(bar, chosen(["honey", "orange liqueur"]))
    assert found.files == {}
    assert [(one.name, one.house_name) for one in found.there] == [
        ("honey", "honey"),
        ("orange liqueur", "dock orange"),
    ]


def test_comments_and_sources_come_along(tmp_path: Path) -> None:
    bar = write(tmp_path / "bar")
    write_from_pantry(from_pantry(bar, chosen(["lemon juice"])))
    text = (bar / "ingredients" / "juices.yaml").read_text(encoding="utf-8")
    assert text.startswith("# From the pantry of balancer ")
    assert "# Juices. Sugar is not the Brix of a sour juice" in text
    assert "# Penniston et al. 2008" in text
    assert text.count("- ingredient: ") == 1


def test_a_file_of_that_name_is_left_alone(tmp_path: Path) -> None:
    mine = "- ingredient: dock juice\n"
    bar = write(tmp_path / "bar", {"ingredients/juices.yaml": mine})
    found = from_pantry(bar, chosen(["lemon juice"]))
    assert [path.name for path in found.files] == ["juices-2.yaml"]
    write_from_pantry(found)
    assert (bar / "ingredients" / "juices.yaml").read_text() == mine


def test_two_at_once_and_a_full_disk_leave_nothing_half(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bar = write(tmp_path / "bar")
    found = from_pantry(bar, chosen(["juices", "sugars"]))
    save = files_save.save
    done: list[Path] = []

    def fill(path: Path, content: bytes, *, remedy: str = "") -> None:
        if done:
            raise CannotError("unwritable", "No space left", remedy)
        done.append(path)
        save(path, content, remedy=remedy)

    files = sorted(bar.rglob("*"))
    with monkeypatch.context() as patched:
        patched.setattr(files_save, "save", fill)
        with pytest.raises(CannotError):
            write_from_pantry(found)
    assert (len(done), sorted(bar.rglob("*"))) == (1, files)
    write_from_pantry(found)
    with pytest.raises(CannotError, match="is there by now"):
        write_from_pantry(found)
