"""A bottle open in the place of another syrup: whoever opens it, pours it or bottles it is told, in the same words."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import Run, copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
LOG = """\
- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 50, "made": "2026-11-24",\
 "discard": "2026-11-30", "at": "2026-11-24T15:00:00+01:00"}
- {"batch": "BER-1", "event": "open", "at": "2026-11-25T17:00:00+01:00"}
- {"batch": "NUT-1", "syrup": "nut-syrup", "event": "made", "brix": 50, "made": "2026-11-24",\
 "discard": "2026-11-30", "at": "2026-11-24T15:01:00+01:00"}
- {"batch": "FIG-1", "syrup": "fig-syrup", "event": "made", "brix": 50, "made": "2026-11-24",\
 "discard": "2026-11-30", "at": "2026-11-24T15:02:00+01:00"}
"""
NUT = """\
- syrup: nut syrup
  standard: 50 °Bx
  allergens: [tree nuts]
- syrup: fig syrup
  standard: 50 °Bx
  allergens: []
- syrup: odd syrup
  standard: 50 °Bx
"""
DRINKS = """\
- drink: Nutty Berry
  method: shaken
  dilution: 20 %
  pours: [50 ml dry gin, 20 ml berry syrup, 10 ml nut syrup]
- drink: Berry One
  method: shaken
  dilution: 20 %
  pours: [50 ml dry gin, 20 ml berry syrup]
"""


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    """Of the drinks that pour berry syrup one pours nut syrup too, so that its card says nuts."""
    return copy_of_house(tmp_path, batches=LOG, syrups__nut=NUT, drinks__more=DRINKS)


def said(done: Run) -> str:
    """The answer on one line."""
    return " ".join(done.out.split())


def balancer(specs: Path, *words: str) -> Run:
    done = run(*words, specs=specs, env=NOW)
    assert done.code == 0, done.err
    return done


def test_opening_it_says_what_the_cards_do_not(specs: Path) -> None:
    done = balancer(specs, "batch", "open", "NUT-1", "--replaces", "BER-1")
    told = "in place of berry syrup: its pours are in balancer swap; tree nuts, not on the cards: tell the guest"
    assert said(done).startswith(f"NUT-1 nut syrup is open; BER-1 is empty heed {told} strength ")
    assert "as written" not in said(done)


def test_adding_it_open_says_so_too_and_json(specs: Path) -> None:
    told = "in place of berry syrup: its pours are in balancer swap; tree nuts, not on the cards: tell the guest"
    words = ("batch", "add", "nut syrup", "50", "--open", "--replaces", "BER-1", "--json")
    assert balancer(specs, *words).data["warnings"][0] == told


def test_unknown_allergens_are_to_be_told(specs: Path) -> None:
    done = balancer(specs, "batch", "add", "odd syrup", "50", "--open", "--replaces", "BER-1")
    assert "berry syrup: its pours are in balancer swap; unknown allergens, not on the cards: tell the guest" in said(
        done
    )


def test_a_batch_of_the_same_syrup_is_in_nobodys_place(specs: Path) -> None:
    done = balancer(specs, "batch", "add", "berry syrup", "50", "--open", "--replaces", "BER-1")
    assert "in place of" not in said(done)
    assert balancer(specs, "tonight", "--json").data["not_on_cards"] == []


@pytest.mark.parametrize("words", [("tonight",), ("tonight", "--all"), ()])
def test_tonight_leads_with_it_and_names_the_drinks(specs: Path, words: tuple[str, ...]) -> None:
    balancer(specs, "batch", "open", "NUT-1", "--replaces", "BER-1")
    done = balancer(specs, *words)
    assert said(done).startswith("tonight 25 Nov: NUT-1 brings tree nuts, not on the cards")
    assert "every drink as written" not in said(done)
    row = said(done).partition("NUT-1 nut syrup in place of berry syrup: tree nuts not on the cards of ")[2]
    named = row.partition(";")[0].split(", ")
    assert "Berry One" in named
    assert "Nutty Berry" not in named  # its card has nuts of its own
    assert row.partition(";")[2].startswith(" its pours are in balancer swap ")


def test_tonight_names_every_drink_whose_card_would_mislead(specs: Path) -> None:
    """By the files: each that pours berry syrup and not nut syrup."""
    balancer(specs, "batch", "open", "NUT-1", "--replaces", "BER-1")
    data = balancer(specs, "tonight", "--json").data
    (one,) = data["not_on_cards"]
    pouring = [text for file in sorted((specs / "drinks").iterdir()) for text in drinks_of(file)]
    berry = {text.splitlines()[0].removeprefix("drink: ") for text in pouring if "berry syrup" in text}
    assert {drink["name"] for drink in one["drinks"] if drink["allergens_gained"] == ["tree nuts"]} == berry - {
        "Nutty Berry"
    }
    assert len(berry) > 3
    assert "in place of berry syrup" in data["notes"][0]


def drinks_of(file: Path) -> list[str]:
    texts = file.read_text(encoding="utf-8").split("drink: ")[1:]
    return [f"drink: {text}" for text in texts]


def test_without_an_allergen_it_is_told_all_the_same(specs: Path) -> None:
    balancer(specs, "batch", "open", "FIG-1", "--replaces", "BER-1")
    done = balancer(specs, "tonight")
    assert done.first == "tonight 25 Nov: FIG-1 in place of berry syrup"
    assert "FIG-1 fig syrup in place of berry syrup: its pours are in balancer swap" in said(done)
    assert "as written" not in said(done)
    assert "assumed at standard: berry" not in said(done)


def test_once_the_other_is_open_again_nothing_is_told(specs: Path) -> None:
    balancer(specs, "batch", "open", "NUT-1", "--replaces", "BER-1")
    balancer(specs, "batch", "add", "berry syrup", "50", "--open")
    assert "in place of" not in said(balancer(specs, "tonight"))


def test_its_strip_never_says_as_written(specs: Path) -> None:
    balancer(specs, "batch", "open", "FIG-1", "--replaces", "BER-1")
    done = balancer(specs, "strips", "FIG-1", "--out", str(specs.parent / "s.pdf"))
    assert "FIG-1 fig syrup in place of berry syrup: its pours are in balancer swap" in said(done)
    assert "as written" not in said(done)


def test_a_bottled_drink_says_what_stands_in_and_lists_its_allergens(specs: Path) -> None:
    balancer(specs, "batch", "open", "NUT-1", "--replaces", "BER-1")
    done = balancer(specs, "bottle", "berry one", "--serves", "6")
    rows = said(done)
    assert done.out.splitlines()[1].startswith("  NUT-1 nut syrup in place of berry syrup: tree nuts, not on the card")
    assert "contains tree nuts" in rows
    data = balancer(specs, "bottle", "berry one", "--serves", "6", "--json").data
    assert "tree nuts" in data["allergens"]
    assert "NUT-1" in data["went_in"]


def test_what_the_files_do_not_know_may_stand_in_too(specs: Path) -> None:
    """Nobody knows its allergens; nothing breaks."""
    odd = (
        '- {"batch": "ODD-1", "syrup": "mystery syrup", "event": "made", "at": "2026-11-25T17:10:00+01:00"}\n'
        '- {"batch": "ODD-1", "event": "open", "refers": ["BER-1"], "at": "2026-11-25T17:11:00+01:00"}\n'
    )
    (specs / "batches.yaml").write_text(LOG + odd, encoding="utf-8")
    for words in (("tonight",), (), ("bottle", "berry one", "--serves", "6", "--out", str(specs.parent / "l.pdf"))):
        done = run(*words, specs=specs, env=NOW)
        assert "unknown allergens" in said(done)
        assert "in place of berry syrup" in said(done)
