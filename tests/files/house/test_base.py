"""A shared folder below a house's own: what counts, what is told, and what is never touched."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.files.house.base import MOST_LAYERS
from balancer.files.house.entries import entries_of
from balancer.files.house.load import Loaded, load, load_house
from tests.cli.runner import run
from tests.files.folders import write
from tests.permissions import permissions_hold

RUM = "ingredient: gold rum\nabv: 43 %\nsugar: 0 g/l\nallergens: []\n"
SOUR = "drink: Slipway Sour\nmethod: shaken\npours: [50 ml gold rum, 20 ml lime juice]\n"


def files(folder: Path, texts: Mapping[str, str]) -> Path:
    """Files written into a folder, which is made."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in texts.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def on_base(tmp_path: Path, texts: Mapping[str, str] | None = None, keys: str = "", base: str = "../group") -> Path:
    """A house of a few files on the sound bar."""
    write(tmp_path / "group")
    house = f"format: 1\nhouse: The Low Stair\nbase: {base}\n{keys}"
    return files(tmp_path / "stair", {"house.yaml": house, **(texts or {})})


def told(loaded: Loaded) -> list[tuple[str, str]]:
    return [(problem.code, f"{problem.path}:{problem.line}") for problem in loaded.problems]


class TestLayers:
    def test_a_house_with_nothing_of_its_own_has_what_its_base_has(self, tmp_path: Path) -> None:
        own, group = load(on_base(tmp_path)), load(tmp_path / "group")
        assert own.problems == ()
        assert (own.specs.drinks, own.specs.syrups, own.specs.ingredients) == (
            group.specs.drinks,
            group.specs.syrups,
            group.specs.ingredients,
        )
        assert own.layers == (tmp_path / "stair", tmp_path / "group")
        assert len(own.origin) == 9
        assert {*own.origin.values()} == {tmp_path / "group"}

    def test_an_entry_of_the_house_takes_the_place_of_the_bases_whole(self, tmp_path: Path) -> None:
        loaded = load(on_base(tmp_path, {"drinks/sour.yaml": SOUR, "ingredients/rum.yaml": RUM}))
        assert loaded.problems == ()
        drink = loaded.specs.drinks["slipway-sour"]
        assert [pour.of for pour in drink.pours] == ["gold-rum", "lime-juice"]
        assert drink.garnish is None  # the base's says "lime wheel"; nothing is mixed
        assert loaded.specs.ingredients["gold-rum"].abv == 43.0
        assert [(one.kind, one.id) for one in loaded.overrides] == [
            ("ingredients", "gold-rum"), ("drinks", "slipway-sour"),
        ]  # fmt: skip
        assert loaded.base_of("drinks", "slipway-sour") is None
        assert loaded.base_of("drinks", "quay-cooler") == tmp_path / "group"

    def test_a_drink_of_the_base_pours_what_the_house_has(self, tmp_path: Path) -> None:
        """60 ml rum of 43 % and 7.5 ml syrup: what the group's 40 % gives, times 43 to 40, less what mixing shrinks."""
        house = on_base(tmp_path, {"ingredients/rum.yaml": RUM})
        own, base = (load(folder).specs for folder in (house, tmp_path / "group"))
        assert own.drinks["half-tide"] == base.drinks["half-tide"]
        held = [totals(Bar(specs), specs.drinks["half-tide"]).mix.ethanol_g for specs in (own, base)]
        assert held[0] / held[1] == pytest.approx(43 / 40, rel=1e-9)

    def test_a_syrup_of_the_house_takes_the_place_of_an_ingredient_of_the_base(self, tmp_path: Path) -> None:
        house = on_base(tmp_path, {"syrups/soda.yaml": "syrup: soda water\nstandard: 20 °Bx\n"})
        loaded = load(house)
        assert loaded.problems == ()
        assert "soda-water" in loaded.specs.syrups
        assert "soda-water" not in loaded.specs.ingredients

    def test_what_is_broken_in_the_house_is_not_answered_from_the_base(self, tmp_path: Path) -> None:
        loaded = load(on_base(tmp_path, {"drinks/sour.yaml": SOUR.replace("50 ml", "50 parsecs")}))
        assert "slipway-sour" not in loaded.specs.drinks
        assert [entry.id for entry in loaded.broken] == ["slipway-sour"]

    def test_what_is_broken_in_the_base_is_mended_by_the_house(self, tmp_path: Path) -> None:
        house = on_base(tmp_path, {"drinks/sour.yaml": SOUR})
        files(tmp_path / "group", {"drinks/slipway-sour.yaml": SOUR.replace("50 ml", "50 parsecs")})
        assert load(house).problems == ()
        assert load(tmp_path / "group").problems != ()

    def test_problems_of_the_base_are_told_with_its_path(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        files(tmp_path / "group", {"drinks/bad.yaml": "drink: Bad\nmethod: shaken\npours: [50 ml nothing known]\n"})
        assert told(load(house)) == [("unknown-name", f"{tmp_path}/group/drinks/bad.yaml:3")]

    def test_a_base_may_stand_on_a_base(self, tmp_path: Path) -> None:
        house = on_base(tmp_path, base="../region")
        files(
            tmp_path / "region",
            {"house.yaml": "format: 1\nhouse: Region\nbase: ../group\ndash: 1 ml\n", "ingredients/rum.yaml": RUM},
        )
        loaded = load(house)
        assert loaded.problems == ()
        assert [folder.name for folder in loaded.layers] == ["stair", "region", "group"]
        assert loaded.specs.ingredients["gold-rum"].abv == 43.0
        assert loaded.origin["ingredients", "gold-rum"] == tmp_path / "region"
        assert loaded.overrides == ()  # what the region has in place of the group's is not the house's
        assert (loaded.specs.house.dash, loaded.specs.house.ounce) == (1.0, 30.0)

    def test_batches_and_printed_cards_of_the_base_are_not_the_houses(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        files(tmp_path / "group", {"batches.yaml": "nonsense\n", "printed.json": "nonsense"})
        assert load(house).problems == ()

    def test_entries_read_once_more_are_those_that_count(self, tmp_path: Path) -> None:
        house = on_base(tmp_path, {"drinks/sour.yaml": SOUR})
        assert {entry.id: entry.depth for entry in entries_of(house, "drinks")} == {
            "slipway-sour": 0, "quay-cooler": 1, "half-tide": 1,
        }  # fmt: skip

    @pytest.mark.parametrize("cwd", [".", "stair", "stair/drinks"])
    def test_paths_are_as_one_would_type_them(self, tmp_path: Path, cwd: str, monkeypatch: pytest.MonkeyPatch) -> None:
        house = on_base(tmp_path, {"drinks/sour.yaml": SOUR})
        monkeypatch.chdir(tmp_path / cwd)
        loaded = load(Path(os.path.relpath(house)))
        assert loaded.problems == ()
        assert str(loaded.layers[1]) == os.path.relpath(tmp_path / "group")

    def test_behind_a_link_the_base_counts_from_where_the_house_is(self, tmp_path: Path) -> None:
        house = on_base(tmp_path / "deep")
        link = tmp_path / "specs"
        link.symlink_to(house)
        loaded = load(link)
        assert loaded.problems == ()
        assert "slipway-sour" in loaded.specs.drinks


class TestHouseKeys:
    def test_a_key_that_the_house_leaves_out_is_the_bases(self, tmp_path: Path) -> None:
        loaded = load(on_base(tmp_path, keys="tolerance: 3 %\n"))
        house = loaded.specs.house
        assert (house.name, house.tolerance, house.ounce) == ("The Low Stair", 3.0, 30.0)
        assert house.instrument is not None
        assert house.instrument.scale == (0.0, 55.0)

    def test_a_key_is_taken_whole(self, tmp_path: Path) -> None:
        instrument = load(on_base(tmp_path, keys="instrument: {division: 0.2 °Bx}\n")).specs.house.instrument
        assert instrument is not None
        assert (instrument.scale, instrument.division) == ((0.0, 85.0), 0.2)

    def test_glasses_and_dilution_count_one_by_one(self, tmp_path: Path) -> None:
        house = on_base(tmp_path, keys="glasses: {Coupe: 160 ml, flute: 150 ml}\ndilution: {build: 12 %}\n")
        group = tmp_path / "group" / "house.yaml"
        group.write_text(f"{group.read_text(encoding='utf-8')}dilution: {{built: 15 %, swizzled: 50 %}}\n", "utf-8")
        found = load(house).specs.house
        assert found.glasses == {"rocks": 300.0, "Coupe": 160.0, "flute": 150.0}
        assert [found.usual_dilution(word) for word in ("built", "swizzled")] == [12.0, 50.0]

    def test_a_key_with_a_problem_falls_back_to_the_bases(self, tmp_path: Path) -> None:
        loaded = load(on_base(tmp_path, keys="ounce: thirty\n"))
        assert loaded.specs.house.ounce == 30.0
        assert told(loaded) == [("number", f"{tmp_path}/stair/house.yaml:4")]
        assert loaded.house_problems == loaded.problems

    def test_a_problem_in_the_bases_house_file_is_told_there(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        files(tmp_path / "group", {"house.yaml": "format: 1\nhouse: Group\nounce: thirty\ndash: 1 ml\n"})
        loaded = load(house)
        assert told(loaded) == [("number", f"{tmp_path}/group/house.yaml:3")]
        assert loaded.specs.house.dash == 1.0
        assert load_house(house) == (loaded.specs.house, loaded.house_problems)

    def test_the_name_of_the_house_is_its_own(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        (house / "house.yaml").write_text("format: 1\nbase: ../group\n", encoding="utf-8")
        loaded = load(house)
        assert [problem.code for problem in loaded.problems] == ["missing-key"]
        assert loaded.specs.house.name == "stair"

    def test_a_base_needs_no_house_file(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        (tmp_path / "group" / "house.yaml").unlink()
        loaded = load(house)
        assert "slipway-sour" in loaded.specs.drinks
        assert loaded.house_problems == ()


class TestWrongBases:
    def test_a_base_that_is_missing_leaves_nobody_knowing_what_is(self, tmp_path: Path) -> None:
        loaded = load(on_base(tmp_path, {"ingredients/rum.yaml": RUM}, base="../grup"))
        assert told(loaded) == [("base", f"{tmp_path}/stair/house.yaml:3")]
        assert loaded.missing == loaded.problems
        assert "gold-rum" in loaded.specs.ingredients
        assert loaded.left_out("drinks") == [f"whatever is in the base that {tmp_path}/stair/house.yaml names"]

    def test_the_first_line_of_the_night_says_so(self, tmp_path: Path) -> None:
        house = on_base(tmp_path, {"ingredients/rum.yaml": RUM}, base="../grup")
        for words in (["tonight"], []):
            done = run(*words, specs=house, env={"BALANCER_NOW": "2026-11-25T18:00:00+01:00"})
            assert done.code == 1
            said = " ".join(done.out.split())
            assert said.startswith(
                "tonight 25 Nov: the base that house.yaml names is not to be had; by what the house has itself: "
            )

    def test_a_circle_is_told_where_it_closes(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        files(tmp_path / "group", {"house.yaml": "format: 1\nhouse: Group\nbase: ../stair\n"})
        loaded = load(house)
        assert told(loaded) == [("base", f"{tmp_path}/group/house.yaml:3")]
        assert "slipway-sour" in loaded.specs.drinks

    def test_a_long_way_down_ends(self, tmp_path: Path) -> None:
        for number in range(MOST_LAYERS + 3):
            text = f"format: 1\nhouse: H\nbase: ../{number + 1}\n"
            files(tmp_path / f"{number}", {"house.yaml": text})
        assert told(load(tmp_path / "0")) == [("base", f"{tmp_path}/{MOST_LAYERS - 1}/house.yaml:3")]

    @pytest.mark.parametrize("value", ["", "[a]", "{a: b}", "~", '"a\\0b"', "*group", "a" * 5000, "house.yaml/x"])
    def test_nonsense_is_told_in_its_line(self, tmp_path: Path, value: str) -> None:
        loaded = load(on_base(tmp_path, {"ingredients/rum.yaml": RUM}, base=value))
        assert {(problem.path, problem.line) for problem in loaded.problems} == {(f"{tmp_path}/stair/house.yaml", 3)}
        assert "gold-rum" in loaded.specs.ingredients

    def test_a_torn_house_file_still_says_its_base(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        (house / "house.yaml").write_text('format: 1\nhouse: "The Low\nbase: ../group # ours\n', encoding="utf-8")
        loaded = load(house)
        assert loaded.house_lost
        assert "slipway-sour" in loaded.specs.drinks

    def test_a_base_that_is_closed_to_us(self, tmp_path: Path) -> None:
        house = on_base(tmp_path, base="../closed/group")
        files(tmp_path / "closed", {"x": ""}).chmod(0)
        try:
            with permissions_hold():
                assert told(load(house)) == [("base", f"{tmp_path}/stair/house.yaml:3")]
        finally:
            (tmp_path / "closed").chmod(0o755)


class TestNames:
    def test_a_name_of_both_is_told_in_the_house(self, tmp_path: Path) -> None:
        text = "ingredient: gold rum\nid: our-rum\nabv: 43 %\nsugar: 0 g/l\n"
        loaded = load(on_base(tmp_path, {"ingredients/rum.yaml": text}))
        assert told(loaded) == [("same-name", f"{tmp_path}/stair/ingredients/rum.yaml:2")]
        assert "give it its id: gold-rum" in loaded.problems[0].remedy
        assert {entry.id for entry in loaded.broken} >= {"our-rum", "gold-rum"}

    @pytest.mark.parametrize(
        "text",
        [
            "ingredient: juice of limes\nkind: juice\nsugar: 10 g/l\nacid: 50 g/l\n",
            "ingredient: our lime\nalso: [juice of limes]\nkind: juice\nsugar: 10 g/l\nacid: 50 g/l\n",
        ],
    )
    def test_an_other_name_of_both_is_told_in_the_house(self, tmp_path: Path, text: str) -> None:
        loaded = load(on_base(tmp_path, {"ingredients/a.yaml": text}))
        assert {problem.path for problem in loaded.problems} == {f"{tmp_path}/stair/ingredients/a.yaml"}
        assert "lime-juice" in loaded.specs.ingredients  # the base's own is sound
        assert "slipway-sour" in loaded.specs.drinks

    def test_a_syrup_of_the_base_and_an_ingredient_of_the_house(self, tmp_path: Path) -> None:
        text = "ingredient: simple syrup\nid: plain\nsugar: 500 g/kg\n"
        assert told(load(on_base(tmp_path, {"ingredients/a.yaml": text}))) == [
            ("same-name", f"{tmp_path}/stair/ingredients/a.yaml:2")
        ]

    def test_a_name_that_the_houses_own_lost_is_told_with_what_to_add(self, tmp_path: Path) -> None:
        lime = "ingredient: lime juice\nkind: juice\nsugar: 10 g/l\nacid: 50 g/l\n"
        house = on_base(tmp_path, {"ingredients/lime.yaml": lime})
        drink = "drink: Tot\nmethod: built\npours: [60 ml gold rum, 10 ml juice of limes]\ndilution: 0 %\n"
        files(tmp_path / "group", {"drinks/tot.yaml": drink})
        (problem,) = load(house).problems
        assert (problem.code, problem.path) == ("unknown-name", f"{tmp_path}/group/drinks/tot.yaml")
        assert problem.remedy == (
            f"{tmp_path}/stair/ingredients/lime.yaml:1 stands in place of what the base calls so: "
            "add it there, like also: [juice of limes]"
        )
        files(house, {"ingredients/lime.yaml": f"{lime}also: [juice of limes]\n"})
        assert load(house).problems == ()
