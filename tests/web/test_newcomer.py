"""What somebody new to the page stumbled over, and must not again."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from types import SimpleNamespace
from typing import Final

import pytest
from starlette.testclient import TestClient

from balancer.files.house.demo import demo_folder
from balancer.web.pages.tonight import ShownBottle, ShownPour
from balancer.web.render import _templates
from balancer.web.settings import PageSettings
from tests.web.browsing import EVERYWHERE, KEY, ORIGIN, device, read, shared_page, token_of, visitor

pytestmark = pytest.mark.usefixtures("evening")
_SHARED: Final = PageSettings(host=EVERYWHERE)


@pytest.fixture
def evening(monkeypatch: pytest.MonkeyPatch) -> None:
    """The demo's own."""
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:30+01:00")


def page(address: str) -> str:
    """A page of the demo house, and that it is one."""
    answer = device(shared_page()).get(address)
    assert answer.status_code == 200, answer.text
    return answer.text


def test_no_drink_of_tonight_is_hidden() -> None:
    """A wall screen cannot be tapped: every drink of the demo's lines is named without a fold."""
    lines = read(page("/")).find("ol", "pours")
    assert lines
    assert not [fold for line in lines for fold in line.find("details")]


@pytest.mark.parametrize(
    "address",
    ["/adjust?drink=slipway-sour&sugar=-10%25", "/swap?drink=slipway-sour&out=raspberry-syrup&in=strawberry-syrup"],
)
def test_an_answer_comes_before_its_question(address: str) -> None:
    """The form leads to the answer, which stands above it; what moves is its first line."""
    text = page(address)
    path = address.partition("?")[0]
    assert f'action="{path}#answer"' in text
    assert text.index('id="answer"') < text.index('<table class="spec') < text.index(f'action="{path}#answer"')
    rows = read(text).find("table", "spec")[0].find("tbody")[0].find("tr")
    moved = ["moved" in row.attributes.get("class", "") or bool(row.find("span", "gone")) for row in rows]
    assert moved[0]
    assert moved == sorted(moved, reverse=True)


def test_without_script_the_page_says_that_it_stands_still() -> None:
    """Nothing renews it then."""
    (told,) = read(page("/")).find("noscript")
    assert "does not renew itself" in told.text
    assert re.search(r"as of \d\d:\d\d", told.text)
    assert [link.attributes["href"] for link in told.find("a")] == ["/"]


def test_the_key_leads_back_to_what_was_asked() -> None:
    """The reading in the address is asked again, and the page says once that it may log."""
    asked = "/read?what=batch:RAS-12&reading=54.5"
    client = device(shared_page(_SHARED), address="192.168.1.5")
    (link,) = {
        one.attributes["href"] for one in read(client.get(asked).text).find("a") if "/key" in one.attributes["href"]
    }
    text = client.get(link).text
    (back,) = [one.attributes["value"] for one in read(text).find("input") if one.attributes.get("name") == "next"]
    fields = {"token": token_of(text), "next": back}
    wrong = client.post("/key", data={**fields, "key": "ABCD-2345"}, headers={"Origin": ORIGIN})
    assert wrong.status_code == 403
    kept = {one.attributes.get("name"): one.attributes.get("value") for one in read(wrong.text).find("input")}
    assert (kept["key"], kept["next"]) == ("ABCD-2345", back)
    right = client.post("/key", data={**fields, "key": KEY.key}, headers={"Origin": ORIGIN}, follow_redirects=False)
    assert (right.status_code, right.headers["location"]) == (303, back)
    page_then = client.get(back).text
    assert "This device may log now." in page_then
    assert 'value="54.5"' in page_then
    assert "This device may log now." not in client.get(back).text


@pytest.mark.parametrize(
    "next_",
    ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example", "javascript:alert(1)",
     "/\t/elsewhere.example",
     "elsewhere", "/key?next=/", "/\r\nSet-Cookie:x", "", "/" + "a" * 3000],
)  # fmt: skip
def test_the_key_leads_nowhere_else(next_: str) -> None:
    """Only to a path of the page."""
    client = device(shared_page(_SHARED), address="192.168.1.6")
    fields = {"token": token_of(client.get("/key").text), "key": KEY.key, "next": next_}
    answer = client.post("/key", data=fields, headers={"Origin": ORIGIN}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")


def test_a_name_typed_wrong_finds_what_was_meant() -> None:
    """And the name of a thing finds what pours it."""
    text = page("/drinks?q=slipwy")
    (said,) = [one.text for one in read(text).find("p", "doubt") if one.attributes.get("role") == "status"]
    assert said == "No drink is called “slipwy”: Slipway Sour?"
    poured = [one for one in read(page("/drinks?q=lime")).find("section") if one.attributes.get("id") == "pour-it"]
    assert len(poured) == 1
    assert "Slipway Sour" in [link.text for link in poured[0].find("a")]
    assert 'id="pour-it"' not in page("/drinks?q=slipwy")


def test_a_number_pad_types_the_reading_and_rarer_ones_have_a_field() -> None:
    """1.4201nD typed there is what typed as the reading it was: 50.0 °Bx and the same answer."""
    (field,) = [one for one in read(page("/read")).find("input") if one.attributes.get("name") == "reading"]
    assert field.attributes["inputmode"] == "decimal"
    as_reading, as_notation = (page(f"/read?{name}=1.4201nD") for name in ("reading", "notation"))
    numbers = [[one.attributes["value"] for one in read(text).find("data")] for text in (as_reading, as_notation)]
    assert numbers[0]
    assert numbers[0] == numbers[1]


def test_the_page_that_is_not_there_is_headed_by_the_house() -> None:
    """Its name stands in a landmark."""
    answer = device(shared_page()).get("/no-such-page")
    assert answer.status_code == 404
    (head,) = read(answer.text).find("header", "top")
    assert head.find("b")[0].text == "The Ferry Slip"


def test_trouble_names_files_from_the_folder(tmp_path: Path) -> None:
    """Where the folder lies on the machine is not told to whoever asks."""
    folder = tmp_path / "bar" / "specs"
    client: TestClient = visitor(folder)
    answer = client.get("/")
    assert answer.status_code == 409, answer.text
    (said,) = [one.text for one in read(answer.text).find("p", "doubt") if "no folder" in one.text]
    assert 'there is no folder "specs"' in said
    assert str(tmp_path) not in answer.text
    folder.mkdir(parents=True)
    (folder / "house.yaml").write_text("name: The Slip\nbase: ../nowhere\n", encoding="utf-8")
    text = client.get("/prep").text
    assert "the base that house.yaml names" in text
    assert str(tmp_path) not in text


@pytest.mark.parametrize(("broken", "told"), [(1, "1 problem in"), (2, "2 problems in")])
def test_problems_are_counted_in_words(tmp_path: Path, broken: int, told: str) -> None:
    """Of the log beside what it is read from, of all files tonight; one is no "1 problems"."""
    specs = tmp_path / "specs"
    shutil.copytree(demo_folder(), specs)
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write('- {"batch": "RAS-12", "event": "nonsense"}\n' * broken)
    client = visitor(specs)
    said = {address: read(client.get(address).text).text for address in ("/", "/batches", "/prep")}
    assert f"{told} the files." in said["/"]
    assert f"{told} the log." in said["/batches"]
    assert f"{told} the log." in said["/prep"]


def test_the_syrups_that_something_was_found_of_come_first() -> None:
    """Too few batches to say anything is the last of it."""
    said = [one.text for one in read(page("/chart")).find("span", "says")]
    few = ["too few" in text for text in said]
    assert said
    assert few == sorted(few), said


def test_more_names_than_a_wall_has_room_for_are_folded() -> None:
    """Nine are all named; of twelve four are behind the fold, which has a name to be opened again by."""
    template = _templates().from_string('{% include "pours.html" %}')
    for number, folded in ((9, 0), (12, 4)):
        drinks = tuple(SimpleNamespace(id=f"d{each}", name=f"Drink {each}") for each in range(number))
        pour = ShownPour("20", ("17", ".5"), "ml", drinks)  # type: ignore[arg-type]
        tree = read(template.render(bottle=ShownBottle("RAS-12", "raspberry syrup", "", "", (pour,))))
        folds = tree.find("details")
        assert len(tree.find("a")) == number
        assert sum(len(fold.find("a")) for fold in folds) == folded
        assert [fold.attributes["data-fold"] for fold in folds] == (["RAS-12 20"] if folded else [])
