"""`swap` as a person types it: one drink, the whole menu, and what is open when a syrup has run out."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from balancer.files.house.demo import demo_folder
from balancer.output.words.numbers import width
from tests.cli.arithmetic import mistakes, worked
from tests.cli.runner import HOUSE, copy_of_house, edited_house, run

NOW = {"BALANCER_NOW": "2026-11-25T20:00+00:00"}
MOVED = {"sugar_percent", "acid_percent", "abv_points", "volume_percent", "sweetness_percent"}


def log(specs: Path, *opened: tuple[str, str, float], discard: str = "2026-11-30") -> Path:
    """Open batches in the folder's log: id, syrup, °Bx."""
    lines = []
    for minute, (batch, syrup, brix) in enumerate(opened):
        made = {"batch": batch, "syrup": syrup, "event": "made", "brix": brix, "made": "2026-11-24", "discard": discard}
        lines.append(made | {"at": f"2026-11-24T10:{minute:02d}:00+00:00"})
        lines.append({"batch": batch, "event": "open", "at": f"2026-11-24T11:{minute:02d}:00+00:00"})
    (specs / "batches.yaml").write_text("".join(f"- {json.dumps(line)}\n" for line in lines), encoding="utf-8")
    return specs


def test_the_answer_is_the_first_line() -> None:
    """22.5 ml at 0.6175 g/ml over 0.8851 is 15.7 ml; the nearest line of 2.5 ml is 15."""
    done = run("swap", "anchor", "--out", "berry", "--in", "rich")

    assert (done.code, done.err) == (0, "")
    assert done.first == "Anchor Sour for the spec: berry syrup replaced by 15 ml rich syrup"
    assert "66.7 °Bx, its standard" in done.out


def test_the_last_row_is_what_to_taste_first() -> None:
    """Raspberry syrup to plain: acid 22.5 x 1.23 x 0.009 = 0.25 of 1.28 g goes, and no lime is poured for it.

    A fifth of its sugar is fructose and a fifth glucose, 1.14 to 1.8 and 0.69 to 0.8 times as sweet as sucrose: its
    sweetness is 0.966 to 1.12 of plain syrup's, so sources disagree.
    """
    out = run("swap", "slipway", "--out", "raspberry", "--in", "simple", specs=demo_folder()).out
    row, more = out.split("  taste first")[1].split("more:")
    said = " ".join(row.split())

    assert "sweetness (raspberry syrup goes, sources disagree: " in said
    assert "then acid −19 % (no sour pour moved)" in said
    assert said.endswith("flavour: raspberry syrup goes")
    assert "noticed sweetness 4–8 %, acid 10–18 %" in " ".join(more.split())


def test_one_quantity_is_said_once() -> None:
    """What a guest may notice is not said in another row too, nor what it is called in other words."""
    for into in ("simple", "honey-syrup", "agave-syrup", "lime-cordial"):
        out = run("swap", "slipway", "--out", "raspberry", "--in", into, specs=demo_folder()).out
        body = out.split("more:")[0]
        assert body.count("acid −") + body.count("acid +") == 1, body
        assert body.count("sweetness") <= 1
        assert body.count("ABV") <= 1


def test_plain_for_plain_is_nothing_to_notice() -> None:
    """7.5 ml of rich syrup and 2.5 ml of water for 10 ml of plain: 6.6 g of sugar, not 6.1, in 190 ml."""
    out = run("swap", "eelgrass", "--out", "simple", "--in", "rich", "--hold", "sugar,volume", specs=demo_folder()).out

    row = " ".join(out.split("  taste first")[1].split("more:")[0].split())
    assert row.startswith(("nothing a guest is expected to notice", "sugar +"))
    assert "flavour" not in row
    assert "disagree" not in row


def test_no_recalled_range_of_a_book_stands_beside_a_swap() -> None:
    """What drinks "usually" hold was one unchecked table: neither the screen nor JSON shows a range for a family."""
    for extra in ([], ["--steps"], ["--json"]):
        out = run("swap", "anchor", "--out", "berry", "--in", "rich", *extra).out
        assert "usually" not in out
        assert "recalled" not in out
        assert '"family"' not in out


def test_json_has_the_promised_keys() -> None:
    done = run("swap", "anchor", "--out", "berry", "--in", "rich", "--hold", "sugar,volume", "--json")

    assert done.code == 0
    data = done.data
    assert (data["drink"], data["name"], data["out"], data["in"]) == (
        "anchor-sour",
        "Anchor Sour",
        "berry-syrup",
        "rich-syrup",
    )
    assert (data["held"], data["feasible"]) == (["sugar", "volume"], True)
    assert [row["ingredient"] for row in data["pours"]] == ["gold-rum", "lime-juice", "rich-syrup", "water"]
    assert all({"ingredient", "spec_ml", "exact_ml", "poured_ml"} <= set(row) for row in data["pours"])
    assert set(data["moved"]) >= MOVED
    assert data["allergens"] == {"gained": [], "lost": [], "unknown": []}
    assert data["alcohol_added_g"] == pytest.approx(0.0, abs=1e-12)
    assert data["moved_exact"]["sugar_percent"] == pytest.approx(0.0, abs=1e-6)
    assert data["moved_exact"]["mix_volume_percent"] == pytest.approx(0.0, abs=1e-6)
    assert data["pours"][2]["spec_ml"] == 22.5
    assert data["pours"][3]["spec_ml"] == 0.0


def test_a_liqueur_of_unknown_sugar_cannot_come_in() -> None:
    done = run("swap", "dark pilot", "--out", "rich", "--in", "herbal")
    assert done.code == 1
    assert "nobody knows how much sugar herbal liqueur holds" in done.err


def test_a_gained_or_unknown_allergen_is_line_one(tmp_path: Path) -> None:
    specs = copy_of_house(
        tmp_path,
        syrups__nut="- syrup: nut syrup\n  standard: 50 °Bx\n  allergens: [tree nuts]\n",
        ingredients__sweet="- ingredient: sweet liqueur\n  abv: 20 %\n  sugar: 450 g/l\n",
    )

    gained = run("swap", "anchor", "--out", "berry", "--in", "nut", specs=specs)
    assert gained.first.startswith("allergen gained: tree nuts; Anchor Sour for the spec: berry syrup replaced by")
    assert "berry syrup replaced by 22.5 ml nut syrup" in " ".join(gained.out.split())

    unknown = run("swap", "anchor", "--out", "berry", "--in", "sweet", specs=specs)
    assert unknown.first.startswith("allergens of sweet liqueur unknown: ask before it is served; Anchor Sour")


def test_alcohol_in_a_drink_without_is_said(tmp_path: Path) -> None:
    soft = (
        "drink: Soft\nzero proof: true\nmethod: shaken\ndilution: 20 %\npours: [60 ml lime juice, 20 ml plain syrup]\n"
    )
    liqueur = "ingredient: sweet liqueur\nabv: 20 %\nsugar: 250 g/l\nallergens: []\n"
    specs = copy_of_house(tmp_path, drinks__soft=soft, ingredients__sweet=liqueur)

    done = run("swap", "soft", "--out", "plain", "--in", "sweet", specs=specs)

    assert done.code == 1
    assert done.first.startswith("not a swap: puts ")
    assert "alcohol into a drink without; Soft for the spec: " in done.first


def test_unknown_alcohol_that_goes_or_comes_leaves_the_abv_unknown(tmp_path: Path) -> None:
    amaro = "ingredient: dusk amaro\nkind: liqueur\nsugar: 200 g/l\ndensity: 1.05 g/ml\nallergens: []\n"
    spec = "drink: Dusk\nmethod: stirred\ndilution: 20 %\npours: [60 ml lime juice, 15 ml dusk amaro]\n"
    specs = copy_of_house(tmp_path, drinks__dusk=spec, ingredients__dusk=amaro)

    goes = run("swap", "dusk", "--out", "dusk amaro", "--in", "plain", specs=specs)
    comes = run("swap", "anchor", "--out", "berry", "--in", "dusk amaro", specs=specs)
    fits = run("fits", "dusk", "--out", "dusk amaro", specs=specs)

    assert re.search(r"^ +ABV +unknown: the alcohol of dusk amaro that goes$", goes.out, re.MULTILINE)
    assert re.search(r"^ +ABV +unknown: the alcohol of dusk amaro that comes$", comes.out, re.MULTILINE)
    assert re.search(r"plain syrup.*alcohol unknown", fits.out)
    assert "unknown: " not in run("swap", "anchor", "--out", "berry", "--in", "plain", specs=specs).out


def test_what_cannot_be_held_says_why_and_what_would_help(tmp_path: Path) -> None:
    """Plain syrup is thinner than one of 60 °Bx: equal volume would need 7 ml less than no water."""
    mid = "syrup: mid syrup\nstandard: 60 °Bx\nallergens: []\n"
    spec = "drink: Mid Tide\nmethod: stirred\npours: [45 ml gold rum, 30 ml mid syrup]\n"
    specs = copy_of_house(tmp_path, syrups__mid=mid, drinks__mid=spec)
    asked = ("swap", "mid tide", "--out", "mid", "--in", "plain", "--hold", "sugar,volume")
    done = run(*asked, specs=specs)

    assert done.code == 1
    assert done.first.startswith("Mid Tide for the spec: cannot hold sugar and volume at once")
    assert "(less than nothing) of water" in done.out
    assert "make it at 60 °Bx and it pours one for one" in done.out
    data = run(*asked, "--json", specs=specs).data
    assert not data["feasible"]
    assert data["obstacle"]["below_zero"][0]["ingredient"] == "water"


def test_a_miss_that_the_house_lets_pass_is_no_obstacle() -> None:
    """7.5 ml of rich become 10.8 of plain, 3.3 ml more of a mix of 97: less than the 5 % of the house."""
    done = run("swap", "dark pilot", "--out", "rich", "--in", "plain", "--hold", "sugar,volume", "--json")

    assert (done.code, done.data["feasible"], done.data["obstacle"]) == (0, True, None)
    assert done.data["moved"]["mix_volume_percent"] != 0.0


def test_dry_sugar_becomes_syrup_and_water() -> None:
    """A cube of 4 g at 998 g/kg over 0.8851 g/ml is 4.5 ml."""
    done = run("swap", "capstan", "--out", "white sugar", "--in", "rich", "--json")

    (row,) = [row for row in done.data["pours"] if row["ingredient"] == "rich-syrup"]
    assert row["exact_ml"] == pytest.approx(4.0 * 0.998 / 0.8851, rel=1e-3)
    assert (row["spec_ml"], row["poured_ml"]) == (None, 5.0)


def test_for_the_spec_no_batch_counts_and_tonight_both_sides_do(tmp_path: Path) -> None:
    """At 54 °Bx a ml of plain holds 0.676 g (1.2519 x 0.54): 22.5 ml at 0.6148 become 20.5, for itself 22.5."""
    specs = log(copy_of_house(tmp_path), ("PLA-1", "plain-syrup", 54.0), ("BER-1", "berry-syrup", 54.0))

    spec = run("swap", "anchor", "--out", "berry", "--in", "plain", "--json", specs=specs, env=NOW).data
    assert (spec["at"], spec["brix"], spec["batch"]) == ("standard", 50.0, None)
    one = run("swap", "anchor", "--out", "berry", "--in", "plain", "--tonight", "--json", specs=specs, env=NOW).data
    assert (one["at"], one["brix"], one["batch"]) == ("tonight", 54.0, "PLA-1")
    (plain,) = [row for row in one["pours"] if row["ingredient"] == "plain-syrup"]
    (same,) = [row for row in spec["pours"] if row["ingredient"] == "plain-syrup"]
    assert plain["exact_ml"] == pytest.approx(same["exact_ml"], rel=2e-3)  # both sides are 54 °Bx, then 50
    first = run("swap", "anchor", "--out", "berry", "--in", "plain", "--tonight", specs=specs, env=NOW).first
    assert first.startswith("Anchor Sour for tonight, BER-1 54 °Bx, PLA-1 54 °Bx: berry syrup replaced by")


def test_one_side_without_a_batch_is_at_standard_and_that_is_said(tmp_path: Path) -> None:
    """22.5 ml at 0.6175 g/ml over 0.676 (54 °Bx at 1.2519 g/ml) is 20.55 ml."""
    specs = log(copy_of_house(tmp_path), ("PLA-1", "plain-syrup", 54.0))
    done = run("swap", "anchor", "--out", "berry", "--in", "plain", "--tonight", specs=specs, env=NOW)
    data = run("swap", "anchor", "--out", "berry", "--in", "plain", "--tonight", "--json", specs=specs, env=NOW).data

    assert done.first.startswith("Anchor Sour for tonight, PLA-1 54 °Bx: ")
    assert "berry syrup: not read, assumed at standard" in done.out
    (plain,) = [row for row in data["pours"] if row["ingredient"] == "plain-syrup"]
    assert plain["exact_ml"] == pytest.approx(22.5 * 0.6175 / 0.676, rel=1e-3)
    assert [(row["syrup"], row["batch"]) for row in data["strengths"]] == [
        ("berry-syrup", None),
        ("plain-syrup", "PLA-1"),
    ]


def test_of_two_open_batches_the_first_opened_counts_in_swap_and_compare_alike(tmp_path: Path) -> None:
    specs = log(copy_of_house(tmp_path), ("PLA-1", "plain-syrup", 54.0), ("PLA-2", "plain-syrup", 48.0))
    asked = ("swap", "anchor", "--out", "berry", "--in", "plain", "--tonight")

    both = run(*asked, "--json", specs=specs, env=NOW).data
    assert (both["brix"], both["batch"], both["also_open"]) == (54.0, "PLA-1", ["PLA-2"])
    assert "PLA-2 open too: PLA-1 counts" in " ".join(run(*asked, specs=specs, env=NOW).out.split())
    (row,) = run("compare", "plain", "--tonight", "--json", specs=specs, env=NOW).data["sweeteners"]
    assert (row["brix"], row["batch"], row["also_open"]) == (54.0, "PLA-1", ["PLA-2"])
    assert "PLA-2 open too: PLA-1 counts" in run("compare", "plain", "--tonight", specs=specs, env=NOW).out
    menu = run("swap", "--all", *asked[2:], "--json", specs=specs, env=NOW).data["drinks"]
    assert {row["batch"] for row in menu} == {"PLA-1"}
    (row,) = run("compare", "plain", "--json", specs=specs, env=NOW).data["sweeteners"]
    assert (row["brix"], row["batch"]) == (50.0, None)


def test_a_batch_past_its_last_day_never_counts_and_cannot_come_in(tmp_path: Path) -> None:
    specs = log(copy_of_house(tmp_path), ("PLA-1", "plain-syrup", 54.0), discard="2026-11-24")
    asked = ("--out", "berry", "--in", "plain", "--tonight")

    for words in (("swap", "anchor", *asked), ("swap", "--all", *asked)):
        done = run(*words, specs=specs, env=NOW)
        assert (done.code, done.out) == (1, "")
        assert "PLA-1 is past its last day, and no other plain syrup is open" in done.err
        assert "discard PLA-1" in done.err
    assert run("swap", "anchor", *asked[:-1], specs=specs, env=NOW).code == 0  # for the spec no batch matters
    fits = run("fits", "anchor", "--tonight", "--json", specs=specs, env=NOW).data
    assert "plain-syrup" in [row["id"] for row in fits["misfits"]]
    compared = run("compare", "plain", "--tonight", "--json", specs=specs, env=NOW)
    assert (compared.code, compared.data["sweeteners"]) == (1, [])
    assert run("compare", "--tonight", specs=specs, env=NOW).code == 0
    # What goes is gone, so its standard serves, and that is said.
    aimed = run("aim", "berry", "--for", "plain", "--tonight", specs=specs, env=NOW)
    assert "plain syrup: PLA-1 past its last day, assumed at standard" in " ".join(aimed.out.split())


def test_the_whole_menu() -> None:
    done = run("swap", "--all", "--out", "berry", "--in", "rich", "--json")

    assert (done.code, done.data["out"], done.data["in"]) == (0, "berry-syrup", "rich-syrup")
    assert [row["drink"] for row in done.data["drinks"]] == ["anchor-sour", "breakwater-fizz", "bollard"]
    text = run("swap", "--all", "--out", "berry", "--in", "rich").out
    assert "22.5 → 15 ml" in text


def test_what_was_there_before_is_said(tmp_path: Path) -> None:
    """10 ml of rich and 20 of plain: 20 x 0.6148 / 0.8851 = 13.9, so 24 ml in all and 25 from the jigger."""
    spec = "drink: Both Banks\nmethod: stirred\npours: [60 ml gold rum, 10 ml rich syrup, 20 ml plain syrup]\n"
    specs = copy_of_house(tmp_path, drinks__both=spec)
    asked = ("--out", "plain-syrup", "--in", "rich")

    done = run("swap", "both", *asked, specs=specs)
    said = "Both Banks for the spec: plain syrup replaced by 25 ml rich syrup in all, 10 before"
    assert " ".join(done.out.split()).startswith(said)
    data = run("swap", "both", *asked, "--json", specs=specs).data
    (pour,) = [row for row in data["pours"] if row["ingredient"] == "rich-syrup"]
    assert (pour["before_ml"], pour["poured_ml"]) == (10.0, 25.0)
    assert all("before_ml" not in row for row in data["pours"] if row != pour)
    menu = " ".join(run("swap", "--all", *asked, specs=specs).out.split())
    assert "20 ml → 25 ml in all, 10 before" in menu  # both are in the spec
    fits = run("fits", "both", "--out", "plain-syrup", specs=specs)
    assert "25 ml rich syrup in all, 10 before" in fits.out


def test_the_menu_has_whole_names_and_an_allergen_once(tmp_path: Path) -> None:
    name = "The Long Way Round the Breakwater at Low Tide and Back"
    nut = "syrup: nut syrup\nstandard: 50 °Bx\nallergens: [tree nuts]\n"
    spec = f"drink: {name}\nmethod: shaken\npours: [60 ml gold rum, 22.5 ml lime juice, 20 ml berry syrup]\n"
    specs = copy_of_house(tmp_path, drinks__long=spec, syrups__nut=nut)

    out = " ".join(run("swap", "--all", "--out", "berry", "--in", "nut", specs=specs).out.split())

    assert f"{name}: " in out
    assert out.count("tree nuts") == 1
    assert out.startswith("allergen gained: tree nuts; for the spec: berry syrup replaced by nut syrup in 4 drinks")


def test_a_caution_that_comes_names_what_it_is_of(tmp_path: Path) -> None:
    honey = "syrup: dark honey syrup\nstandard: 50 °Bx\nallergens: []\ncautions: [not for infants]\n"
    specs = copy_of_house(tmp_path, syrups__dark=honey)
    done = run("swap", "anchor", "--out", "berry", "--in", "dark honey", specs=specs)

    assert re.search(r"^ +caution +dark honey syrup: not for infants$", done.out, re.MULTILINE)
    data = run("swap", "anchor", "--out", "berry", "--in", "dark honey", "--json", specs=specs).data
    assert data["cautions"] == [{"ingredient": "dark-honey-syrup", "caution": "not for infants"}]
    assert "caution" not in run("swap", "anchor", "--out", "berry", "--in", "plain", specs=specs).out


def test_not_a_swap_is_first_with_its_reason(tmp_path: Path) -> None:
    """22.5 ml at 0.6175 g/ml are 139 ml of a liqueur with 100 g/l."""
    liqueur = "ingredient: dry liqueur\nabv: 40 %\nsugar: 100 g/l\nallergens: []\n"
    specs = copy_of_house(tmp_path, ingredients__dry=liqueur)
    done = run("swap", "anchor", "--out", "berry", "--in", "dry liqueur", specs=specs)

    assert done.code == 1
    assert re.match(r"not a swap: 1[0-9.]+ ml of dry liqueur is more than a drink holds; Anchor Sour", done.first)
    data = run("swap", "anchor", "--out", "berry", "--in", "dry liqueur", "--json", specs=specs).data
    assert (data["verdict"], data["reasons"][0]["reason"]) == ("not a swap", "pour")
    assert all(each["words"] for each in data["reasons"])
    menu = run("swap", "--all", "--out", "berry", "--in", "dry liqueur", specs=specs)
    assert menu.code == 1
    assert menu.first.startswith("not a swap in any of 3 drinks; for the spec: ")
    good = run("swap", "anchor", "--out", "berry", "--in", "plain", "--json", specs=specs).data
    assert (good["verdict"], good["reasons"]) == ("swap", [])


def test_a_drink_without_an_answer_is_named_in_the_whole_menu() -> None:
    """Foam Line's pour is fixed; every other drink has its answer, and the exit code says that one has not."""
    done = run("swap", "--all", "--out", "plain-syrup", "--in", "rich", "--json")

    assert done.code == 1
    assert [row["drink"] for row in done.data["cannot"]] == ["foam-line"]
    assert len(done.data["drinks"]) == 3


def test_what_is_open_stands_in_by_what_it_is_then_by_how_little_it_moves(tmp_path: Path) -> None:
    """Honey moves less than rich syrup does, and is another sugar with a taste of its own; plain syrup moves least."""
    opened = (("HON-1", "honey-syrup", 50.0), ("PLA-1", "plain-syrup", 50.0), ("RIC-1", "rich-syrup", 66.7))
    specs = log(copy_of_house(tmp_path), *opened)

    done = run("swap", "anchor", "--out", "berry", "--json", specs=specs, env=NOW)

    assert (done.code, done.data["in"]) == (0, None)
    found = {row["batch"]: row["effort"] for row in done.data["stand_ins"]}
    assert list(found) == ["PLA-1", "RIC-1", "HON-1"]
    assert found["PLA-1"] < found["HON-1"] < found["RIC-1"]
    text = run("swap", "anchor", "--out", "berry", specs=specs, env=NOW)
    assert text.first.startswith("Anchor Sour for tonight: ")


def test_nothing_past_its_last_day_stands_in(tmp_path: Path) -> None:
    specs = log(copy_of_house(tmp_path), ("PLA-1", "plain-syrup", 50.0), discard="2026-11-24")

    done = run("swap", "anchor", "--out", "berry", specs=specs, env=NOW)

    assert done.code == 1
    assert done.first == "nothing open tonight can stand in for berry syrup in Anchor Sour"
    assert "past their last day: PLA-1" in done.out


def test_what_is_open_and_no_swap_stands_in_for_nothing(tmp_path: Path) -> None:
    """Only a syrup of 22 °Bx is open: 22.5 ml at 0.6175 g/ml are 58 ml of it (1.090 g/ml), 35 more in a mix of 105."""
    thin = "syrup: thin syrup\nstandard: 22 °Bx\nallergens: []\n"
    specs = log(copy_of_house(tmp_path, syrups__thin=thin), ("THI-1", "thin-syrup", 22.0))

    done = run("swap", "anchor", "--out", "berry", specs=specs, env=NOW)

    assert done.code == 1
    said = "nothing open tonight can stand in for berry syrup in Anchor Sour: what is open is not a swap"
    assert " ".join(done.out.split()).startswith(said)
    assert "thin syrup (THI-1, 22 °Bx): not a swap: " in done.out


def test_without_a_log_nothing_is_open() -> None:
    done = run("swap", "anchor", "--out", "berry")

    assert (done.code, done.first.startswith("nothing open tonight")) == (1, True)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["anchor", "--out", "berry", "--in", "rich", "--hold", "taste"], '"taste" is nothing to hold'),
        (["anchor", "--out", "berry", "--in", "rich", "--hold", ""], "is nothing to hold"),
        (["anchor", "--out", "berry", "--in", "treacle"], "no syrup or ingredient is called"),
        (["--out", "berry", "--in", "rich"], "no drink is named"),
        (["--all", "--out", "berry"], "--all goes through the menu: nothing says what comes"),
        (["nowhere", "--out", "berry", "--in", "rich"], "no drink is called"),
    ],
)
def test_wrong_usage_is_told(arguments: list[str], said: str) -> None:
    done = run("swap", *arguments)

    assert (done.code, done.out) == (2, "")
    assert said in done.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["anchor", "--out", "honey-syrup", "--in", "rich"], "does not pour honey syrup"),
        (["anchor", "--out", "honey-syrup"], "does not pour honey syrup"),
        (["foam", "--out", "plain", "--in", "rich"], "is fixed"),
        (["--all", "--out", "honey", "--in", "rich"], "no drink pours honey"),
        (["night", "--out", "honey", "--in", "rich", "--hold", "acid"], "no acid to hold"),
    ],
)
def test_what_cannot_be_done_is_told(arguments: list[str], said: str) -> None:
    done = run("swap", *arguments)

    assert (done.code, done.out) == (1, "")
    assert said in done.err


def test_a_weighed_pour_goes_on_the_scale() -> None:
    """12 g of honey syrup hold 12 x 0.5 x 0.99 = 5.94 g sugar: 8.9 g of the rich one."""
    done = run("swap", "night", "--out", "honey", "--in", "rich", "--json")

    (row,) = [row for row in done.data["pours"] if row["ingredient"] == "rich-syrup"]
    assert row["by_weight"]
    assert row["exact_g"] == pytest.approx(12.0 * 0.5 * 0.99 / 0.667, rel=1e-6)
    assert row["poured_g"] == pytest.approx(9.0)


def test_an_ounce_house_sees_ounces(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: oz")
    house = specs / "house.yaml"
    lines = "jigger lines: [1/4 oz, 1/2 oz, 3/4 oz, 1 oz]"
    house.write_text(house.read_text(encoding="utf-8").replace("jigger step: 2.5 ml", lines), encoding="utf-8")

    done = run("swap", "anchor", "--out", "berry", "--in", "rich", specs=specs)

    assert done.err == ""
    assert done.first == "Anchor Sour for the spec: berry syrup replaced by 1/2 oz rich syrup"


def test_a_weighing_house_reads_grams_with_what_is_written_beside(tmp_path: Path) -> None:
    """22.5 ml at 0.6175 g/ml of sugar over 0.667 are 20.8 g of the rich syrup; at 1.235 g/ml they weigh 27.8 g."""
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: ml\npour style: scale")

    done = run("swap", "--all", "--out", "berry", "--in", "rich", "--json", specs=specs)
    text = run("swap", "--all", "--out", "berry", "--in", "rich", specs=specs).out
    (pour,) = [row for row in done.data["drinks"][0]["pours"] if row["ingredient"] == "rich-syrup"]

    assert (pour["unit"], pour["written_ml"]) == ("g", 22.5)
    assert pour["spec_g"] == pytest.approx(27.8, abs=0.1)
    assert pour["exact_g"] == pytest.approx(22.5 * 0.6175 / 0.667, abs=0.01)
    assert pour["poured_ml"] == pytest.approx(pour["poured_g"] / 1.327, abs=0.01)
    assert f"28 → {pour['poured_g']:.0f} g (22.5 ml as written)" in text


def test_dry_sugar_is_in_grams_in_an_ounce_house(tmp_path: Path) -> None:
    """22.5 ml of a 30 ml ounce are 3/4 oz; as many grams of dry sugar are no 0.4 oz."""
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: oz")

    text = run("swap", "--all", "--out", "berry", "--in", "white sugar", specs=specs).out
    assert "14 g (3/4 oz as written)" in text
    back = run("swap", "night", "--out", "honey", "--in", "white sugar", specs=specs).out
    assert not re.search(r"\boz\b", back.splitlines()[0])


def test_the_working_is_true_in_a_weighing_house(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: ml\npour style: scale")
    lines = run("swap", "anchor", "--out", "berry", "--in", "rich", "--hold", "sugar,acid", "--steps", specs=specs).out
    lines = lines[lines.index("out: a ml") :]
    assert worked(lines.splitlines()) >= 4
    assert mistakes(lines.splitlines()) == []


def test_the_working_shows_the_sums() -> None:
    done = run("swap", "anchor", "--out", "berry", "--in", "rich", "--steps")

    assert "out: a ml of berry syrup holds 0.6175 g sugar" in done.out
    assert "sugar as written 14.28 g, to be held" in done.out
    menu = run("swap", "--all", "--out", "berry", "--in", "rich", "--steps").out
    assert menu.count("sugar as written") == 3


@pytest.mark.parametrize(
    "drink", sorted({"anchor", "breakwater", "bollard", "capstan", "night", "dark", "the", "燈台"})
)
@pytest.mark.parametrize("hold", ["sugar", "sugar,volume", "acid,volume,abv,sweetness", "sweetness"])
def test_every_line_fits_and_no_answer_is_a_traceback(drink: str, hold: str) -> None:
    """Every drink of the house, whatever it pours, with everything that may be held."""
    listed = run("totals", drink, "--json").data["pours"]
    sweet = [row["ingredient"] for row in listed if row["sugar_g"]]
    for out in sweet:
        done = run("swap", drink, "--out", out, "--in", "plain-syrup", "--hold", hold, "--steps")
        assert done.code in (0, 1)
        lines = (done.out + done.err).splitlines()
        assert lines
        assert [line for line in lines if width(line) > 80] == []


def test_the_house_of_the_tests_has_no_log() -> None:
    assert not (HOUSE / "batches.yaml").exists()


def test_a_trace_of_acid_in_a_drink_without_is_not_beside_nothing_else(tmp_path: Path) -> None:
    """2.5 mg in the glass, below what anybody tastes: said once, neither as nothing nor as 0 g."""
    specs = copy_of_house(
        tmp_path,
        syrups__hint="syrup: hint syrup\nstandard: 50 °Bx\nacid: 0.1 g/kg\nallergens: []\n",
        drinks__dry="drink: Dry\nmethod: shaken\npours: [60 ml gold rum, 20 ml plain syrup]\n",
    )
    out = run("swap", "dry", "--out", "plain", "--in", "hint", specs=specs).out

    assert "acid under 0.1 g in a drink that had none" in " ".join(out.split())
    assert "nothing else" not in out
