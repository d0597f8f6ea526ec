"""A folder as models: what is read, how names are found, and how far a problem reaches."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.errors import BalancerError
from balancer.files.house.load import Broken, Loaded, load, load_house
from balancer.models.house import House
from balancer.models.names import slug
from tests.files.folders import SOUND, codes, load_with, write

NEW = "drinks/new.yaml"


def drink(*pours: str, name: str = "New Drink", method: str = "shaken") -> str:
    lines = "".join(f"  - {pour}\n" for pour in pours)
    return f"drink: {name}\nmethod: {method}\npours:\n{lines}"


def poured(loaded: Loaded, identity: str = "new-drink") -> list[str]:
    return [pour.of for pour in loaded.specs.drinks[identity].pours]


def models(loaded: Loaded) -> tuple[object, ...]:
    specs = loaded.specs
    return specs.house, specs.ingredients, specs.syrups, specs.drinks


def broken_entry(loaded: Loaded, kind: str, text: str) -> Broken | None:
    """The broken entry of an id or a name."""
    return next((entry for entry in loaded.broken_of(kind) if slug(text) in (entry.id, slug(entry.name))), None)


class TestSoundBar:
    def test_all_of_it_loads(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path)
        assert loaded.problems == ()
        assert loaded.broken == ()
        assert loaded.files == len(SOUND)
        assert set(loaded.specs.drinks) == {"slipway-sour", "quay-cooler", "half-tide"}
        assert set(loaded.specs.syrups) == {"raspberry-syrup", "simple-syrup"}
        assert set(loaded.specs.ingredients) == {"gold-rum", "lime-juice", "soda-water", "granulated-sugar"}

    def test_values_are_what_the_files_say(self, tmp_path: Path) -> None:
        specs = load_with(tmp_path).specs
        assert specs.house.ounce == 30.0
        assert specs.house.glasses == {"coupe": 180.0, "rocks": 300.0}
        assert specs.ingredients["lime-juice"].acids == {"citric": 0.9, "malic": 0.1}
        assert specs.syrups["raspberry-syrup"].standard == 50.0
        assert [part.of for part in specs.syrups["raspberry-syrup"].recipe] == ["granulated sugar", "water"]
        sour = specs.drinks["slipway-sour"]
        assert [(pour.amount.value, pour.of, pour.fixed) for pour in sour.pours] == [
            (60.0, "gold-rum", False),
            (22.5, "lime-juice", False),
            (22.5, "raspberry-syrup", True),
        ]
        assert sour.notes == ("shake hard, strain twice",)

    @pytest.mark.parametrize(
        "change",
        [
            pytest.param(lambda text: text.replace("\n", "\r\n"), id="Windows line ends"),
            pytest.param(lambda text: text.replace("\n", "\r"), id="old Mac line ends"),
            pytest.param(lambda text: "\ufeff" + text, id="byte-order mark"),
            pytest.param(lambda text: "# a comment\n" + text + "\n# the end", id="comments around"),
            pytest.param(lambda text: text.replace(": ", ":   ").replace("\n", "   # note\n", 1), id="wide"),
            pytest.param(lambda text: "---\n" + text + "...\n", id="document marks"),
            pytest.param(lambda text: text.removesuffix("\n"), id="no last line end"),
        ],
    )
    def test_layout_does_not_matter(self, tmp_path: Path, change: object) -> None:
        assert callable(change)
        changed = load_with(tmp_path / "a", {name: change(text) for name, text in SOUND.items()})
        assert changed.problems == ()
        assert models(changed) == models(load_with(tmp_path / "b"))


class TestWhichFiles:
    def test_both_endings_and_subfolders(self, tmp_path: Path) -> None:
        files = {
            "drinks/a/b/c/deep.yml": drink("30 ml gold rum", name="Deep"),
            "drinks/B.YAML": drink("30 ml gold rum"),
        }
        assert {"deep", "new-drink"} <= set(load_with(tmp_path, files).specs.drinks)

    @pytest.mark.parametrize(
        "name", [".new.yaml", "new.yaml~", "#new.yaml#", "new.yaml.bak", "new.txt", ".git/new.yaml", "a/.old/new.yaml"]
    )
    def test_what_is_no_file_of_the_bar_is_left_alone(self, tmp_path: Path, name: str) -> None:
        loaded = load_with(tmp_path, {f"drinks/{name}": "{ this is broken"})
        assert loaded.problems == ()
        assert loaded.files == len(SOUND)

    def test_hidden_folders_above_do_not_hide_the_bar(self, tmp_path: Path) -> None:
        assert load_with(tmp_path / ".bar").files == len(SOUND)

    def test_empty_files_are_told(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {"drinks/a.yaml": "", "drinks/b.yaml": "# later\n", "syrups/c.yaml": "---\n"})
        assert [problem.code for problem in loaded.problems] == ["empty"] * 3
        assert loaded.files == len(SOUND) + 3

    def test_a_linked_file_is_read(self, tmp_path: Path) -> None:
        write(tmp_path / "bar")
        (tmp_path / "shared.yaml").write_text(drink("30 ml gold rum"), encoding="utf-8")
        (tmp_path / "bar" / "drinks" / "shared.yaml").symlink_to(tmp_path / "shared.yaml")
        assert "new-drink" in load(tmp_path / "bar").specs.drinks

    def test_missing_folders_are_empty(self, tmp_path: Path) -> None:
        loaded = load(tmp_path)
        assert loaded.problems == ()
        assert loaded.specs.house.name == tmp_path.name

    def test_no_folder_at_all(self, tmp_path: Path) -> None:
        with pytest.raises(BalancerError) as caught:
            load(tmp_path / "nowhere")
        assert caught.value.problems()[0].code == "no-folder"


class TestNames:
    @pytest.mark.parametrize(
        ("text", "identity"),
        [
            ("lime juice", "lime-juice"),
            ("lime-juice", "lime-juice"),
            ("LIME  Juice", "lime-juice"),
            ("juice of limes", "lime-juice"),
            ("Raspberry Syrup", "raspberry-syrup"),
            ("of gold rum", "gold-rum"),
        ],
    )
    def test_a_pour_finds_its_ingredient(self, tmp_path: Path, text: str, identity: str) -> None:
        assert poured(load_with(tmp_path, {NEW: drink(f"30 ml {text}")})) == [identity]

    @pytest.mark.parametrize("text", ["lime", "juice", "juice of", "Raspberry", "gold"])
    def test_a_name_cut_short_is_never_taken_for_it(self, tmp_path: Path, text: str) -> None:
        """Or another ingredient, added later, would change the drink."""
        loaded = load_with(tmp_path, {NEW: drink(f"30 ml {text}")})
        assert codes(loaded) == ["short-name"]
        assert "new-drink" not in loaded.specs.drinks
        assert loaded.broken_pouring("lime-juice", "raspberry-syrup", "gold-rum")

    def test_a_new_ingredient_changes_no_drink(self, tmp_path: Path) -> None:
        """With an ingredient of that very name it is that ingredient, and not before."""
        files: dict[str, str | bytes] = {
            "syrups/new.yaml": "syrup: honey syrup\nstandard: 50 °Bx\n",
            NEW: drink("20 ml honey"),
        }
        before = load_with(tmp_path / "before", files)
        told = [(problem.code, problem.remedy.partition(";")[0]) for problem in before.problems]
        assert told == [("short-name", 'write it in full: "honey syrup"')]
        files["ingredients/new.yaml"] = "ingredient: honey\nkind: sugar\nsugar: 820 g/kg\n"
        assert poured(load_with(tmp_path / "after", files)) == ["honey"]

    @pytest.mark.parametrize("form", ["{{pour: 30 ml, of: {0}}}", '"30 ml {0}"', "'30 ml {0}'", "30 ml of {0}"])
    def test_in_every_form_of_a_pour(self, tmp_path: Path, form: str) -> None:
        assert poured(load_with(tmp_path, {NEW: drink(form.format("Lime JUICE"))})) == ["lime-juice"]

    def test_an_id_of_its_own(self, tmp_path: Path) -> None:
        files = {"ingredients/new.yaml": "ingredient: Rhum Vieux\nid: old rum\nabv: 45 %\n"}
        for number, text in enumerate(("old rum", "old-rum", "rhum vieux", "RHUM VIEUX")):
            loaded = load_with(tmp_path / str(number), {**files, NEW: drink(f"30 ml {text}")})
            assert poured(loaded) == ["old-rum"]
            assert loaded.specs.ingredients["old-rum"].name == "Rhum Vieux"

    @pytest.mark.parametrize(
        ("name", "identity"),
        [
            ("Crème de Cassis", "creme-de-cassis"),
            ("Barkeep's N° 7", "barkeeps-n-7"),
            ("Łódź & Ø", "lodz-o"),
            ("Weiße  Straße", "weisse-strasse"),
            ("ゆず", "ゆす"),
        ],
    )
    def test_ids_follow_from_names(self, tmp_path: Path, name: str, identity: str) -> None:
        loaded = load_with(tmp_path, {NEW: drink("30 ml gold rum", name=f'"{name}"')})
        assert loaded.specs.drinks[identity].name == " ".join(name.split())

    @pytest.mark.parametrize(
        "name", ["007", "1984", "yes", "no", "null", "~x", "1_000", "0x1F", "1e3", "2026-03-14", "true"]
    )
    def test_names_stay_as_written(self, tmp_path: Path, name: str) -> None:
        files = {"ingredients/new.yaml": f"ingredient: {name}\nallergens: []\n", NEW: drink(f"30 ml {name}", name=name)}
        loaded = load_with(tmp_path, files)
        assert [entry.name for entry in loaded.specs.ingredients.values()][-1] == name
        assert [entry.name for entry in loaded.specs.drinks.values() if entry.name == name] == [name]
        assert loaded.problems == ()

    def test_a_comment_behind_a_pour_is_a_comment(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {NEW: drink("30 ml lime juice # squeezed", "60 ml gold rum #2")})
        assert loaded.problems == ()
        assert poured(loaded) == ["lime-juice", "gold-rum"]

    def test_a_number_sign_in_a_quoted_name(self, tmp_path: Path) -> None:
        files = {"syrups/new.yaml": 'syrup: "cordial #2"\nstandard: 40 °Bx\n', NEW: drink('"30 ml cordial #2"')}
        assert poured(load_with(tmp_path, files)) == ["cordial-2"]


class TestReach:
    """How far a problem reaches, and no further."""

    def test_a_broken_drink_breaks_only_itself(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {NEW: drink("30 lime juice", "30 ml raspberry syrup", "20 ml gin")})
        assert set(loaded.specs.drinks) == {"slipway-sour", "quay-cooler", "half-tide"}
        (broken,) = loaded.broken
        assert (broken.kind, broken.id, broken.name) == ("drinks", "new-drink", "New Drink")
        assert broken.problems == loaded.problems
        assert broken_entry(loaded, "drinks", "NEW drink") is broken
        assert broken_entry(loaded, "syrups", "new drink") is None
        assert loaded.broken_pouring("raspberry-syrup") == (broken,)
        assert loaded.broken_pouring("soda-water") == ()

    def test_a_broken_entry_leaves_its_neighbours_in_the_file(self, tmp_path: Path) -> None:
        text = "- drink: A\n  method: shaken\n  pours: [30 ml gold rum]\n- drink: B\n- drink: C\n" + SOUND[
            "drinks/long/two.yaml"
        ].replace("- drink: Quay Cooler\n", "")
        loaded = load_with(tmp_path, {"drinks/long/two.yaml": text})
        assert set(loaded.specs.drinks) == {"slipway-sour", "a", "c", "half-tide"}
        assert codes(loaded) == ["missing-key", "missing-key"]

    @pytest.mark.parametrize(
        "text",
        [
            pytest.param("syrup: raspberry syrup\nstandard: 130 °Bx\n", id="impossible value"),
            pytest.param("syrup: raspberry syrup\nstandrad: 50 °Bx\n", id="misspelt key"),
            pytest.param("syrup: raspberry syrup\n\tstandard: 50 °Bx\n", id="unreadable behind its name"),
            pytest.param("standard: [50 °Bx\nsyrup: raspberry syrup\n", id="unreadable before its name"),
            pytest.param("syrup: raspberry syrup\nnote: caf\xe9\n".encode("latin-1"), id="other encoding"),
            pytest.param("syrup: raspberry syrup\nstandard: 50 °Bx\n".encode("utf-16"), id="UTF-16"),
            pytest.param(
                "- syrup: plum syrup\n  standard: 50 °Bx\n  - x\n- syrup: raspberry syrup\n", id="after a fault"
            ),
            pytest.param("syrup: raspberry syrup\nnote: \x07\n", id="invisible character"),
            pytest.param(
                "---\nsyrup: plum syrup\nstandard: 50 °Bx\n---\nsyrup: raspberry syrup\n", id="second document"
            ),
        ],
    )
    def test_a_broken_syrup_breaks_only_its_drinks(self, tmp_path: Path, text: str | bytes) -> None:
        """Nor does anyone say that it does not exist: there is one problem, and it is the syrup's."""
        loaded = load_with(tmp_path, {"syrups/raspberry-syrup.yaml": text})
        assert set(loaded.specs.drinks) == {"quay-cooler", "half-tide"}
        assert len(loaded.problems) == 1
        assert loaded.problems[0].path == str(tmp_path / "syrups" / "raspberry-syrup.yaml")
        for kind, name in (("syrups", "raspberry syrup"), ("drinks", "slipway sour")):
            broken = broken_entry(loaded, kind, name)
            assert broken is not None
            assert broken.problems == loaded.problems

    def test_a_name_that_two_have_breaks_what_pours_it(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {"ingredients/new.yaml": "ingredient: Raspberry Syrup\nsugar: 650 g/l\n"})
        assert codes(loaded) == ["same-name"]
        assert set(loaded.specs.drinks) == {"quay-cooler", "half-tide"}
        assert "raspberry-syrup" not in {**loaded.specs.ingredients, **loaded.specs.syrups}
        assert sorted(entry.kind for entry in loaded.broken) == ["drinks", "ingredients", "syrups"]

    @pytest.mark.parametrize("name", ["ingredients/a.yaml", "ingredients/z.yaml"])
    def test_another_name_never_takes_a_name(self, tmp_path: Path, name: str) -> None:
        """Whichever file comes first."""
        loaded = load_with(tmp_path, {name: "ingredient: white rum\nalso: [Gold Rum]\nabv: 40 %\n"})
        assert codes(loaded) == ["same-name"]
        assert len(loaded.specs.drinks) == 3
        assert loaded.broken[0].id == "white-rum"
        assert loaded.problems[0].path == str(tmp_path / name)

    def test_two_drinks_of_one_name_are_both_out(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {NEW: drink("30 ml gold rum", name="slipway SOUR")})
        assert codes(loaded) == ["same-name"]
        assert "slipway-sour" not in loaded.specs.drinks
        assert [entry.id for entry in loaded.broken] == ["slipway-sour", "slipway-sour"]

    @pytest.mark.parametrize("line", ["dilution: 20 %", "pours: [30 ml gold rum]", "  - 30 ml gold rum", "* x", "}"])
    @pytest.mark.parametrize("indent", ["", " ", "      "])
    def test_a_line_out_of_place_may_belong_to_the_entry_above(self, tmp_path: Path, line: str, indent: str) -> None:
        """So that entry is not used without it; the one before is."""
        entry = "- drink: {0}\n  method: built\n  pours: [30 ml gold rum]\n  dilution: 10 %\n"
        loaded = load_with(tmp_path, {NEW: entry.format("First") + entry.format("New Drink") + f"{indent}{line}\n"})
        assert len(loaded.problems) == 1
        assert "first" in loaded.specs.drinks
        assert "new-drink" not in loaded.specs.drinks
        assert broken_entry(loaded, "drinks", "new drink") is not None

    def test_rules_of_a_drink_are_told_with_its_other_problems(self, tmp_path: Path) -> None:
        text = drink("30 lime juice", "5 ml granulated sugar", "20 ml gin", method="thrwn") + "zero proof: true\n"
        assert codes(load_with(tmp_path, {NEW: text})) == [
            "doubt",
            "unit-missing",
            "density-missing",
            "unknown-name",
        ]

    def test_problems_come_in_file_order(self, tmp_path: Path) -> None:
        changes: dict[str, str | bytes] = {
            name: f"what: is this\n{text}" for name, text in SOUND.items() if text[0] != "-"
        }
        loaded = load_with(tmp_path, changes)
        paths = [problem.path for problem in loaded.problems]
        assert paths == sorted(
            paths, key=lambda path: ("house", "ingre", "syrups", "drinks").index(_kind(path, tmp_path))
        )
        assert codes(loaded) == ["unknown-key"] * 4

    def test_more_problems_than_anybody_reads(self, tmp_path: Path) -> None:
        text = drink("30 ml gold rum") + "".join(f"key {number}: x\n" for number in range(130))
        loaded = load_with(tmp_path, {NEW: text})
        assert codes(loaded) == ["too-many"] + ["unknown-key"] * 100
        assert loaded.problems[0].message.startswith("30 more problems")

    def test_too_long_a_list_is_refused_as_a_whole(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {NEW: drink(*["30 ml gin"] * 101)})
        assert codes(loaded) == ["too-many"]


def _kind(path: str | None, folder: Path) -> str:
    first = Path(str(path)).relative_to(folder).parts[0]
    return {"house.yaml": "house", "ingredients": "ingre"}.get(first, first)


class TestHouse:
    def test_none_is_no_problem(self, tmp_path: Path) -> None:
        write(tmp_path / "bar")
        (tmp_path / "bar" / "house.yaml").unlink()
        loaded = load(tmp_path / "bar")
        assert loaded.problems == ()
        assert loaded.specs.house == House.model_validate({"format": "1", "house": "bar"})

    def test_a_key_with_a_problem_takes_its_usual_value(self, tmp_path: Path) -> None:
        text = "format: 1\nhouse: New Bar\nounce: 30\nshow: oz\ntolerance: 700 %\nglasses: {coupe: 6 oz}\nextra: 1\n"
        loaded = load_with(tmp_path, {"house.yaml": text})
        house, usual = loaded.specs.house, House.model_validate({"format": "1", "house": "x"})
        assert codes(loaded) == ["unit-missing", "value", "unknown-key"]
        assert loaded.house_problems == loaded.problems
        assert (house.name, house.show) == ("New Bar", "oz")
        assert (house.ounce, house.tolerance) == (usual.ounce, usual.tolerance)
        assert len(loaded.specs.drinks) == 3

    def test_what_was_read_before_a_fault_counts(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {"house.yaml": "house: New Bar\nounce: 30 ml\nshow: @oz\nformat: 1\n"})
        assert codes(loaded) == ["first-character"]
        assert (loaded.specs.house.name, loaded.specs.house.ounce) == ("New Bar", 30.0)

    def test_missing_keys_fall_back(self, tmp_path: Path) -> None:
        loaded = load_with(tmp_path, {"house.yaml": "ounce: 30 ml\n"})
        assert codes(loaded) == ["missing-key", "missing-key"]
        assert loaded.specs.house.ounce == 30.0

    def test_alone(self, tmp_path: Path) -> None:
        write(tmp_path, {"house.yaml": "format: 1\nhouse: A\ndash: 1\n", NEW: "{"})
        house, problems = load_house(tmp_path)
        assert house.name == "A"
        assert [problem.code for problem in problems] == ["unit-missing"]

    def test_alone_without_any(self, tmp_path: Path) -> None:
        house, problems = load_house(tmp_path / "nowhere")
        assert house.name == "nowhere"
        assert problems == ()
