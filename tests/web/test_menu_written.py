"""A swap and an adjusted drink written from the page: the bytes that the command line writes, and never by surprise."""

from __future__ import annotations

import html
import re
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from balancer.files.house.demo import demo_folder
from balancer.web.app import page_app
from balancer.web.house import OpenHouse
from balancer.web.settings import PageSettings
from tests.cli.runner import run
from tests.web.browsing import KEY, ORIGIN, read, token_of
from tests.web.sitting import Device, Form, Shown

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T20:16:00+01:00"}
SWAP = {"drink": "slipway-sour", "out": "raspberry-syrup", "in": "passion-fruit-syrup"}
DRIER = {"drink": "slipway-sour", "sugar": "-10%"}


def folder(path: Path) -> Path:
    """A copy of the demo house."""
    shutil.copytree(demo_folder(), path)
    return path


def files(specs: Path) -> dict[str, bytes]:
    """Every file of a bar but its locks, by its place in the folder."""
    found = [each for each in specs.rglob("*") if each.is_file() and not each.name.endswith(".lock")]
    return {each.relative_to(specs).as_posix(): each.read_bytes() for each in found}


@pytest.fixture
def specs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the demo house, and its evening."""
    monkeypatch.setenv("BALANCER_NOW", NOW["BALANCER_NOW"])
    return folder(tmp_path / "page")


def device(specs: Path, **settings: Any) -> Device:
    """A phone at the page of a house whose specs may be changed from it."""
    app = page_app(OpenHouse(specs), PageSettings(**{"edit": True, **settings}), KEY)
    return Device(TestClient(app, base_url=ORIGIN))


def write_button(page: Shown) -> str:
    """What the button that writes says."""
    button = page.root.find("button", "do")
    assert len(button) == 1, page.words
    return button[0].text


CASES = [
    (SWAP, ["swap", "slipway-sour", "--out=raspberry-syrup", "--in=passion-fruit-syrup"], ""),
    (SWAP, ["swap", "slipway-sour", "--out=raspberry-syrup", "--in=passion-fruit-syrup"], "Quay Sour"),
    (
        SWAP | {"hold": "sugar,acid"},
        ["swap", "slipway-sour", "--out=raspberry-syrup", "--in=passion-fruit-syrup", "--hold=sugar,acid"],
        "",
    ),
    (
        {"drink": "chandlers-cup", "out": "ginger-syrup", "in": "honey-syrup"},
        ["swap", "chandlers-cup", "--out=ginger-syrup", "--in=honey-syrup"],
        "Lantern Cup",
    ),
    (DRIER, ["adjust", "slipway-sour", "--sugar=-10%"], ""),
    (DRIER, ["adjust", "slipway-sour", "--sugar=-10%"], "Dry Slipway"),
    ({"drink": "chandlers-cup", "volume": "180"}, ["adjust", "chandlers-cup", "--volume=180ml"], ""),
    ({"drink": "slipway-sour", "glass": "rocks"}, ["adjust", "slipway-sour", "--glass=rocks"], ""),
]


@pytest.mark.parametrize(("fields", "words", "name"), CASES)
@pytest.mark.parametrize("by", ["", "Ana"])
def test_the_page_writes_the_bytes_of_the_command_line(
    specs: Path, tmp_path: Path, fields: dict[str, str], words: list[str], name: str, by: str
) -> None:
    typed, before = folder(tmp_path / "typed"), files(specs)
    kept = ["--as", name] if name else ["--write"]
    done = run(*words, *kept, *(["--by", by] if by else []), "--yes", specs=typed, env=NOW)
    assert done.code == 0, done.out + done.err
    phone, address = device(specs), f"/{words[0]}"
    answer = phone.get(address, fields)
    shown = phone.sent(answer, "Show what would be written", **{"as": name, "by": by})
    assert shown.status == 200, shown.words
    assert files(specs) == before
    posted = phone.sent(shown, write_button(shown))
    assert posted.status == 303, posted.words
    assert files(specs) == files(typed)
    assert files(specs) != before
    page = phone.get(posted.location)
    assert "Written: version" in page.words
    assert ("A card printed before is old now." in page.words) == (not name)
    assert "2026-11-25" in page.words
    assert not by or f"by {by}" in page.words
    assert ("Written" in phone.get(posted.location.partition("?")[0]).words) is False


def test_a_change_without_a_name_is_not_signed_by_who_wrote_the_old_version(specs: Path) -> None:
    phone = device(specs)
    shown = phone.sent(phone.get("/adjust", DRIER), "Show what would be written")
    assert "No longer signed by Runa: nobody said who changes it" in shown.words
    posted = phone.sent(shown, write_button(shown))
    assert posted.status == 303
    assert "by Runa" not in phone.get("/drinks/slipway-sour").words
    assert b"by:" not in (specs / "drinks" / "slipway-sour.yaml").read_bytes()


def test_a_drink_that_several_houses_share_is_copied_as_typed(tmp_path: Path, specs: Path) -> None:
    for name in ("page-house", "typed-house"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "house.yaml").write_text("format: 1\nhouse: Lower Slip\nbase: ../page\n", encoding="utf-8")
    shared, ours, typed = files(specs), tmp_path / "page-house", tmp_path / "typed-house"
    words = ["swap", "slipway-sour", "--out=raspberry-syrup", "--in=passion-fruit-syrup", "--write", "--by", "Ana"]
    assert run(*words, "--yes", specs=typed, env=NOW).code == 0
    phone = device(ours)
    shown = phone.get("/swap/write", SWAP | {"by": "Ana"})
    assert "It is a copy of what several houses share" in shown.words
    assert phone.sent(shown, write_button(shown)).status == 303
    assert files(ours) == files(typed)
    assert (ours / "drinks" / "slipway-sour.yaml").is_file()
    assert files(specs) == shared


def test_what_is_counted_stands_as_the_spec_counts_it(specs: Path) -> None:
    page = device(specs).get("/swap", {"drink": "chandlers-cup", "out": "ginger-syrup", "in": "honey-syrup"})
    row = next(each for each in page.root.find("tr") if "aromatic bitters" in each.text)
    assert [each.text for each in row.find("td")] == ["2", "2 dashesthe same"]
    assert "water" not in [each.text for each in page.root.find("th")]


def test_the_change_is_shown_before_it_is_written(specs: Path) -> None:
    phone = device(specs)
    shown = phone.get("/swap/write", SWAP | {"by": "Ana"})
    gone = [each.text for each in shown.root.find("li", "goes")]
    come = [each.text for each in shown.root.find("li", "comes")]
    assert gone[0] == "goes: − - 22.5 ml raspberry syrup"
    assert come[0] == "comes: + - 22.5 ml passion fruit syrup"
    assert any("version: 3" in text for text in gone)
    assert any("version: 4" in text for text in come)
    assert any("by: Ana" in text for text in come)
    assert "drinks/slipway-sour.yaml" in shown.words
    assert str(specs) not in shown.html


@pytest.mark.parametrize("fields", [SWAP, DRIER])
def test_without_edit_nothing_is_offered_and_nothing_written(specs: Path, fields: dict[str, str]) -> None:
    address = "/swap" if "out" in fields else "/adjust"
    editing, phone, before = device(specs), device(specs, edit=False), files(specs)
    shown = editing.get(f"{address}/write", fields)
    form = next(
        Form(each)
        for each in shown.root.find("form")
        if each.attributes["method"] == "post" and each.find("button", "do")
    )
    page = phone.get(address, fields)
    assert "would be written" not in page.words
    assert f"{address}/write" not in page.html
    assert "Nothing is changed in the drink’s file." in page.words
    refused = phone.get(f"{address}/write", fields)
    assert refused.status == 403
    assert phone.post(f"{address}/write", form.fields | {"token": token_of(page.html)}).status == 403
    assert files(specs) == before


def test_a_device_that_only_reads_writes_nothing(specs: Path) -> None:
    phone, before = device(specs, host="0.0.0.0"), files(specs)  # noqa: S104 - nothing listens
    page = phone.get("/swap", SWAP)
    assert "would be written" not in page.words
    shown = phone.get("/swap/write", SWAP)
    assert not shown.root.find("button", "do")
    form = {**SWAP, "token": token_of(shown.html), "once": "x", "seen": "x"}
    assert phone.post("/swap/write", form).status == 403
    assert files(specs) == before


@pytest.mark.parametrize("name", ["", "Quay Sour"])
def test_what_somebody_else_changed_meanwhile_is_asked_again(specs: Path, name: str) -> None:
    phone = device(specs)
    shown = phone.get("/swap/write", SWAP | {"as": name})
    path = specs / "drinks" / "slipway-sour.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("60 ml gold rum", "50 ml gold rum"), encoding="utf-8")
    changed = files(specs)
    refused = phone.sent(shown, write_button(shown))
    assert refused.status == 409
    assert "Nothing is written yet. A file has changed since" in refused.words
    assert files(specs) == changed
    done = phone.sent(refused, write_button(refused))
    assert done.status == 303
    written = specs / "drinks" / ("quay-sour.yaml" if name else "slipway-sour.yaml")
    text = written.read_text(encoding="utf-8")
    assert "50 ml gold rum" in text
    assert "passion fruit syrup" in text


def test_a_double_tap_writes_once(specs: Path) -> None:
    phone = device(specs)
    shown = phone.get("/swap/write", SWAP)
    form, own = shown.form(write_button(shown))
    first = phone.post(form.action, form.fields | own)
    after = files(specs)
    again = phone.post(form.action, form.fields | own)
    assert first.status == 303
    assert (again.status, again.location) == (303, first.location)
    assert files(specs) == after


def test_another_night_is_another_date_and_asked_again(specs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    phone, before = device(specs), files(specs)
    shown = phone.get("/swap/write", SWAP)
    monkeypatch.setenv("BALANCER_NOW", "2026-11-27T20:16:00+01:00")
    refused = phone.sent(shown, write_button(shown))
    assert refused.status == 409
    assert "date: 2026-11-27" in refused.words
    assert files(specs) == before


@pytest.mark.parametrize(
    ("address", "fields", "said"),
    [
        ("/swap", SWAP | {"at": "tonight"}, "what is right for one batch is no spec"),
        ("/swap", SWAP | {"in": "orange-liqueur"}, "that is no answer to keep"),
        ("/swap", {"drink": "slipway-sour", "new": "50 °Bx, acid 9 g/kg"}, "what the house has no file of"),
        ("/adjust", {"drink": "slipway-sour", "abv": "30"}, "that is no answer to keep"),
        ("/adjust", {"drink": "slipway-sour", "sugar": "+1 %"}, "it is poured as written"),
    ],
)
def test_what_is_no_spec_is_not_written(specs: Path, address: str, fields: dict[str, str], said: str) -> None:
    phone, before = device(specs), files(specs)
    shown = phone.get(f"{address}/write", fields)
    assert said in shown.words
    assert not shown.root.find("button", "do")
    good = phone.get("/swap/write", SWAP)
    form, _ = good.form(write_button(good))
    sent = {**fields, **{name: form.fields[name] for name in ("token", "once", "seen")}}
    refused = phone.post(f"{address}/write", sent)
    assert refused.status == 409
    assert said in refused.words
    assert files(specs) == before


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Slow Bell", '"Slow Bell" is already a drink'),
        ("…", "has no letter or digit"),
        ("n" * 199, ""),
        ("../../etc/passwd", ""),
        ("a/b\\c", ""),
    ],
)
def test_a_name_stands_at_its_field_or_names_one_file_of_the_folder(specs: Path, name: str, said: str) -> None:
    phone, before = device(specs), files(specs)
    shown = phone.get("/swap/write", SWAP | {"as": name})
    if said:
        assert shown.status == 422
        assert said in shown.wrong()["as"]
        assert not shown.root.find("button", "do")
        assert files(specs) == before
        return
    assert phone.sent(shown, write_button(shown)).status == 303
    new = files(specs).keys() - before.keys()
    assert len(new) == 1
    assert re.fullmatch(r"drinks/[a-z-]+\.yaml", new.pop())


def test_the_demo_itself_is_not_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALANCER_NOW", NOW["BALANCER_NOW"])
    app = page_app(OpenHouse(demo_folder(), is_demo=True), PageSettings(edit=True), KEY)
    phone = Device(TestClient(app, base_url=ORIGIN))
    shown = phone.get("/swap/write", SWAP)
    assert shown.status == 422
    assert "the demo is only to look at" in shown.words
    assert not shown.root.find("button", "do")


@pytest.mark.parametrize(
    ("address", "fields", "field", "said"),
    [
        ("/swap", {"drink": "no-such"}, "drink", "no drink is called"),
        ("/swap", SWAP | {"out": "no-such"}, "out", "choose what it pours"),
        ("/swap", SWAP | {"out": "gold-rum"}, "out", "holds no sugar to swap"),
        ("/swap", SWAP | {"in": "no-such"}, "in", "no syrup or ingredient is called"),
        ("/swap", SWAP | {"in": "gold-rum"}, "in", "holds no sugar to swap"),
        ("/swap", SWAP | {"in": "almond-syrup", "at": "tonight"}, "in", "past its last day"),
        ("/swap", SWAP | {"new": "50 °Bx"}, "new", "leave the other empty"),
        ("/swap", {"drink": "slipway-sour", "new": "strong"}, "new", "is no strength"),
        ("/swap", {"drink": "slipway-sour", "new": "50 °Bx, acid lots"}, "new", "lots"),
        ("/adjust", {"drink": "no-such"}, "drink", "no drink is called"),
        ("/adjust", {"drink": "slipway-sour", "sugar": "10"}, "sugar", "more or less?"),
        ("/adjust", {"drink": "slipway-sour", "acid": "sour"}, "acid", "sour"),
        ("/adjust", {"drink": "slipway-sour", "sugar": "+10%", "sugar-way": "less"}, "sugar", '"+10%" beside "% less"'),
        ("/adjust", {"drink": "slipway-sour", "acid": "-5", "acid-way": "more"}, "acid", '"-5" beside "% more"'),
        ("/adjust", {"drink": "slipway-sour", "abv": "+3%"}, "abv", "give the ABV it should have"),
        ("/adjust", {"drink": "slipway-sour", "abv": "95"}, "abv", "cannot be right"),
        ("/adjust", {"drink": "slipway-sour", "volume": "1,000"}, "volume", "1,000"),
        ("/adjust", {"drink": "slipway-sour", "volume": "120", "glass": "rocks"}, "volume", "leave the other empty"),
        ("/adjust", {"drink": "slipway-sour", "glass": "bucket"}, "glass", "is no glass of the house"),
        ("/adjust", {"drink": "slipway-sour", "sugar": "-100%"}, "sugar", "cannot be right"),
    ],
)
def test_every_error_stands_at_its_field(
    specs: Path, address: str, fields: Mapping[str, str], field: str, said: str
) -> None:
    page = device(specs).get(address, fields)
    assert page.status == 422
    assert said in page.wrong()[field]
    assert "--" not in page.wrong()[field]
    assert "balancer " not in page.wrong()[field]
    for name in ("sugar", "acid", "abv", "volume", "new"):
        if fields.get(name):
            given = page.part(name)
            assert given is not None
            assert given.attributes["value"] == fields[name]
    assert not page.root.find("table")


@pytest.mark.parametrize(
    ("name", "number", "way", "typed"),
    [
        ("sugar", "10", "more", "+10 %"),
        ("sugar", "10", "less", "−10 %"),
        ("acid", "1,5", "g", "1,5 g"),
        ("sugar", "+10%", "", "+10%"),
    ],
)
def test_a_number_pad_says_more_or_less(specs: Path, name: str, number: str, way: str, typed: str) -> None:
    """It has neither sign nor %: the same page as of what a keyboard types, whose link leads there too."""
    sitting = device(specs)
    fields = {"drink": "slipway-sour", name: number, f"{name}-way": way}
    page, meant = sitting.get("/adjust", fields), sitting.get("/adjust", {"drink": "slipway-sour", name: typed})
    assert page.status == 200
    assert page.part("asked") is not None
    assert page.root.text == meant.root.text
    field = page.part(name)
    assert field is not None
    assert (field.attributes["inputmode"], field.attributes["value"]) == ("decimal", typed)
    again, _ = page.form("Work it out")
    assert (again.fields[name], again.fields[f"{name}-way"]) == (typed, "")


def test_an_error_about_what_is_held_stands_at_it(specs: Path) -> None:
    page = device(specs).get("/swap", {**SWAP, "hold": "salt"})
    assert page.status == 422
    fieldset = next(each for each in page.root.find("fieldset") if each.attributes.get("aria-invalid") == "true")
    told = page.part(fieldset.attributes["aria-describedby"])
    assert told is not None
    assert '"salt" is nothing to hold' in told.text


EVIL = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>{{7*7}}"


@pytest.mark.parametrize("address", ["/swap", "/adjust", "/swap/write", "/adjust/write"])
@pytest.mark.parametrize(
    "field",
    ["drink", "out", "in", "new", "hold", "at", "sugar", "acid", "abv", "volume", "glass", "as", "by", "sugar-way"],
)
def test_what_is_typed_is_never_markup(specs: Path, address: str, field: str) -> None:
    question = SWAP if address.startswith("/swap") else DRIER
    page = device(specs).get(address, {**question, field: EVIL})
    assert page.status < 500
    assert "<script>alert" not in page.html
    assert "<img" not in page.html
    read(page.html)


def test_a_hostile_house_is_shown_as_text(specs: Path) -> None:
    quoted = EVIL.replace("'", "''")
    (specs / "drinks" / "evil.yaml").write_text(
        f"""drink: '{quoted}'
id: evil
method: '{quoted}'
pours:
  - 50 ml gold rum
  - 22.5 ml evil syrup
  - 22.5 ml raspberry syrup
glass: '{quoted}'
garnish: '{quoted}'
strain: '{quoted}'
steps: ['{quoted}']
extras: ['{quoted}']
notes: ['{quoted}']
version: '{quoted}'
date: '{quoted}'
by: '{quoted}'
dilution: 40 %
""",
        encoding="utf-8",
    )
    (specs / "syrups" / "evil.yaml").write_text(
        f"""syrup: evil syrup
standard: 50 °Bx
allergens: ['{quoted}']
cautions: ['{quoted}']
""",
        encoding="utf-8",
    )
    phone = device(specs)
    for address, fields in (
        ("/drinks/evil", {}),
        ("/swap", {"drink": "evil", "out": "evil-syrup", "in": "raspberry-syrup"}),
        ("/swap", {"drink": "slipway-sour", "out": "raspberry-syrup", "in": "evil-syrup"}),
        ("/swap", {"drink": "slipway-sour", "out": "raspberry-syrup"}),
        ("/adjust", {"drink": "evil", "sugar": "-10%"}),
        ("/swap/write", {"drink": "evil", "out": "raspberry-syrup", "in": "strawberry-syrup"}),
    ):
        page = phone.get(address, fields)
        assert page.status == 200, (address, page.words)
        assert "<script>alert" not in page.html
        assert "<img" not in page.html
        assert html.escape("<script>alert(1)</script>") in page.html, address
        read(page.html)


@pytest.mark.parametrize("address", ["/swap", "/adjust"])
def test_a_page_without_a_drink_asks_for_one(specs: Path, address: str) -> None:
    phone = device(specs)
    page = phone.get(address)
    chosen = phone.sent(page, "Choose", drink="slow-bell")
    assert "Slow Bell" in chosen.root.find("h1")[0].text


def test_every_field_has_a_label_and_every_id_is_one(specs: Path) -> None:
    phone = device(specs)
    for address, fields in (
        ("/drinks/slipway-sour", {}),
        ("/swap", {}),
        ("/swap", {"drink": "slipway-sour"}),
        ("/swap", SWAP),
        ("/swap", SWAP | {"in": "orange-liqueur", "hold": "sugar,acid,volume"}),
        ("/adjust", DRIER),
        ("/swap/write", SWAP),
    ):
        root = phone.get(address, fields).root
        ids = [each.attributes["id"] for each in root.find() if "id" in each.attributes]
        assert len(ids) == len(set(ids)), address
        labelled = {each.attributes.get("for") for each in root.find("label")}
        wrapped = [each for label in root.find("label") for each in label.find("input")]
        for field in (*root.find("input"), *root.find("select")):
            if field.attributes.get("type") != "hidden" and field not in wrapped:
                assert field.attributes["id"] in labelled, (address, field.attributes)
        levels = [int(each.tag[1]) for each in root.find() if re.fullmatch(r"h[1-6]", each.tag)]
        assert levels.count(1) == 1
        shown = [level for level in levels if level]
        at = shown.index(1)
        assert all(after <= before + 1 for before, after in zip(shown[at:], shown[at + 1 :], strict=False))
        for each in root.find():
            for name in ("aria-labelledby", "aria-describedby"):
                assert set(each.attributes.get(name, "").split()) <= {*ids}, (address, each.attributes)
