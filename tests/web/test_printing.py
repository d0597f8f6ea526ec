"""Printing from the page: byte for byte as the command line; nothing is noted unless it is said; one at a time."""

from __future__ import annotations

import asyncio
import json
import shutil
from collections import Counter
from pathlib import Path
from typing import Any

import httpx2
import pytest

from balancer.web.guard import RefusedError
from balancer.web.pages.printing import safe_name
from balancer.web.printer import Printer
from tests.cli.runner import run
from tests.web.browsing import ORIGIN
from tests.web.sitting import Sitting, sitting  # noqa: F401 - a fixture

pytestmark = pytest.mark.slow

CLOCK = {"BALANCER_NOW": "2026-11-25T20:16:00+01:00"}


def command(specs: Path, *words: str) -> None:
    done = run(*words, specs=specs, env=CLOCK)
    assert done.code in (0, 1), done.err


def printed(sitting: Sitting, address: str) -> Any:  # noqa: F811
    return sitting.device().client.get(f"/print/{address}")


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("cards.pdf", "cards"),
        ("cards.pdf?on=letter", "cards --on letter"),
        ("cards.pdf?drink=slipway-sour", "cards slipway-sour"),
        ("strips.pdf", "strips"),
        ("labels.pdf?size=70x37&anyway=1", "labels --size 70x37"),
        ("rail.pdf?on=letter", "sheet rail --on letter"),
        ("prep.pdf", "sheet prep"),
        ("allergens.pdf", "sheet allergens"),
        ("chart.pdf?syrup=raspberry-syrup", "chart raspberry-syrup"),
    ],
)
def test_it_is_what_the_command_line_prints(address: str, words: str, sitting: Sitting, tmp_path: Path) -> None:  # noqa: F811
    answer = printed(sitting, address)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith('inline; filename="')
    out = tmp_path / "out.pdf"
    command(sitting.specs, *words.split(), "--out", str(out))
    assert answer.content == out.read_bytes()


def test_a_pdf_notes_nothing_and_the_button_what_the_command_notes(sitting: Sitting, tmp_path: Path) -> None:  # noqa: F811
    other = tmp_path / "other"
    (sitting.specs / "printed.json").unlink(missing_ok=True)
    shutil.copytree(sitting.specs, other)
    phone = sitting.device()
    page = phone.get("/print")
    assert phone.client.get("/print/cards.pdf").status_code == 200
    assert not (sitting.specs / "printed.json").exists()
    page = phone.press(page, "These cards hang now")
    assert "Noted" in page.words
    assert "Every card that hangs says what its spec says" in page.words
    command(other, "cards", "--out", str(tmp_path / "cards.pdf"))
    assert (sitting.specs / "printed.json").read_bytes() == (other / "printed.json").read_bytes()


def test_a_changed_spec_is_printed_alone_and_old_forms_note_nothing(sitting: Sitting, tmp_path: Path) -> None:  # noqa: F811
    phone = sitting.device()
    phone.press(phone.get("/print"), "These cards hang now")
    assert "Nothing has changed" in phone.get("/print/cards.pdf?changed=1").words
    path = sitting.specs / "drinks" / "slipway-sour.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("22.5 ml", "25 ml", 1), encoding="utf-8")
    page = phone.get("/print")
    assert "Only what changed: 1" in page.words
    assert "Throw away the old cards of Slipway Sour" in page.words
    before = (sitting.specs / "printed.json").read_bytes()
    path.write_text(text.replace("22.5 ml", "27.5 ml", 1), encoding="utf-8")
    late = phone.sent(page, "These cards hang now")
    assert late.status == 409
    assert "A spec has changed since this page was made" in late.words
    assert (sitting.specs / "printed.json").read_bytes() == before
    one = phone.client.get("/print/cards.pdf?changed=1").content
    command(sitting.specs, "cards", "--changed", "--out", str(tmp_path / "one.pdf"))
    assert one == (tmp_path / "one.pdf").read_bytes()
    held = {row["drink"]: row for row in json.loads((sitting.specs / "printed.json").read_text("utf-8"))["cards"]}
    assert held["slipway-sour"]["date"] == "2026-11-25"


def test_cards_that_hang_in_another_way_are_printed_and_noted_as_they_hang(sitting: Sitting, tmp_path: Path) -> None:  # noqa: F811
    """In both units and with strength, from the command line: no card gets another mark for being looked at."""
    command(sitting.specs, "cards", "--units", "both", "--extras", "--out", str(tmp_path / "cards.pdf"))
    phone = sitting.device()
    assert phone.client.get("/print/cards.pdf").content == (tmp_path / "cards.pdf").read_bytes()
    before = noted(sitting.specs)
    path = sitting.specs / "drinks" / "slipway-sour.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("22.5 ml", "25 ml", 1), encoding="utf-8")
    phone.press(phone.get("/print"), "These cards hang now")
    after = noted(sitting.specs)
    assert [drink for drink, row in after.items() if row["mark"] != before[drink]["mark"]] == ["slipway-sour"]
    assert {(row["units"], row["extras"]) for row in after.values()} == {("both", True)}


def noted(specs: Path) -> dict[str, Any]:
    rows = json.loads((specs / "printed.json").read_text(encoding="utf-8"))["cards"]
    return {row["drink"]: row for row in rows}


def test_what_would_be_missing_is_said_before_it_is_printed(sitting: Sitting) -> None:  # noqa: F811
    (sitting.specs / "drinks" / "slipway-sour.yaml").write_text("drink: Slipway Sour\npours: [22.5 ml]\n", "utf-8")
    phone = sitting.device()
    for name in ("cards", "rail", "allergens"):
        page = phone.get(f"/print/{name}.pdf")
        assert "Not all of it can be printed" in page.words, name
        assert "Slipway Sour" in page.words
        (anyway,) = [link for link in page.root.find("a", "button") if "anyway" in link.attributes["href"]]
        assert phone.client.get(anyway.attributes["href"]).content.startswith(b"%PDF-")


def test_what_would_be_missing_is_said_without_a_line_to_type(sitting: Sitting) -> None:  # noqa: F811
    page = sitting.device().get("/print/labels.pdf")
    (told,) = [each.text for each in page.root.find("li") if "ALM-1" in each.text]
    assert told == "ALM-1 almond syrup: no label, past its last day (23 Nov)"


@pytest.mark.parametrize(
    "address",
    ["other.pdf", "cards.txt", "cards.pdf?on=..%2Fa3", "cards.pdf?drink=nobody", "labels.pdf?size=9", "chart.pdf",
     "..%2F..%2Fetc%2Fpasswd.pdf"],
)  # fmt: skip
def test_nothing_else_is_printed(address: str, sitting: Sitting) -> None:  # noqa: F811
    assert printed(sitting, address).status_code == 404


@pytest.mark.parametrize("name", ['a"\r\nX: y.pdf', "../../x.pdf", "Ünder näme.pdf", "a\\b;c=d.pdf"])
def test_a_file_name_is_letters_figures_and_dashes(name: str) -> None:
    assert set(safe_name(name)) <= {*"abcdefghijklmnopqrstuvwxyz0123456789-."}
    assert safe_name(name).count(".") == 1


def test_fifty_clicks_take_turns(sitting: Sitting) -> None:  # noqa: F811
    """One page is set at a time; so many wait, and whoever is refused is told to try again."""
    at_once, most = 0, 0

    class Counting(Printer):
        def turn(self) -> Any:
            turn = super().turn()

            class Turn:
                async def __aenter__(self) -> None:
                    nonlocal at_once, most
                    await turn.__aenter__()
                    at_once += 1
                    most = max(most, at_once)

                async def __aexit__(self, *told: Any) -> None:
                    nonlocal at_once
                    at_once -= 1
                    await turn.__aexit__(*told)

            return Turn()

    assert type(sitting.app.state.printer) is Printer
    sitting.app.state.printer = Counting(most=8)

    async def clicks() -> Counter[int]:
        async with httpx2.AsyncClient(transport=httpx2.ASGITransport(app=sitting.app), base_url=ORIGIN) as client:
            answers = await asyncio.gather(*(client.get("/print/strips.pdf") for _ in range(50)))
            later = await client.get("/print/strips.pdf")
            assert later.status_code == 200
            return Counter(answer.status_code for answer in answers)

    found = asyncio.run(clicks())
    assert found == {200: 8, 503: 42}
    assert most == 1


def test_a_printer_that_failed_goes_on() -> None:
    async def failing() -> None:
        printer = Printer(most=1)
        with pytest.raises(ZeroDivisionError):
            async with printer.turn():
                raise ZeroDivisionError
        async with printer.turn():
            with pytest.raises(RefusedError):
                await printer.turn().__aenter__()
        async with printer.turn():
            pass

    asyncio.run(failing())
