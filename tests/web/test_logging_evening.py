"""An evening lived over the page: the log is the one of the command line, and other devices see it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from balancer.files.house.demo import demo_folder
from tests.cli.runner import run
from tests.web.sitting import Sitting, sitting  # noqa: F401 - a fixture

pytestmark = pytest.mark.slow

Line = dict[str, Any]


def without_instants(lines: list[Line]) -> list[Line]:
    """Lines of a log, with the place of the line meant where an undo names an instant, and no instants."""
    places = {line["at"]: place for place, line in reversed(list(enumerate(lines)))}
    return [
        {key: value for key, value in line.items() if key != "at"}
        | ({"refers": [places[at] for at in line["refers"]]} if line["event"] == "undo" else {})
        for line in lines
    ]


def test_the_log_is_that_of_the_command_line(sitting: Sitting, tmp_path: Path) -> None:  # noqa: F811
    """Everything that the page can log, in the order in which a bar does it, and the same typed at a terminal."""
    phone, before = sitting.device(), len(sitting.log)
    sitting.at("18:05")
    page = phone.get("/read", {"what": "batch:RAS-12", "reading": "54.5 54", "temperature": "21"})
    page = phone.press(page, "Log 54 °Bx for RAS-12", by="Runa")
    assert "Logged 18:05: RAS-12 read 54 °Bx" in page.words
    page = phone.press(phone.get("/read", {"what": "liquid:agave-syrup", "reading": "51"}), "Log 51.9 °Bx as a new")
    assert "Write AGA-1 on its tape" in page.words
    sitting.at("18:20")
    page = phone.press(
        phone.get("/batches/new"), "Log it", liquid="raspberry-syrup", brix="50,4", volume="1.5 l", made="2026-11-25"
    )
    assert "RAS-13 made" in page.words
    sitting.at("18:30")
    page = phone.press(page, "Open RAS-13", replaces="RAS-12")
    page = phone.press(page, "Undo", "done")
    assert "Undone 18:30: RAS-13 opened in place of RAS-12" in page.words
    page = phone.press(page, "Bring it back")
    assert "Brought back 18:30: RAS-13" in page.words
    sitting.at("18:40")
    page = phone.press(phone.get("/batches/STR-1"), "Log the correction", mass="1.42kg")
    page = phone.press(page, "Log it", "reading", brix="50.2")
    page = phone.press(phone.get("/batches/DEM-1"), "Log the correction", brix="52", **{"with": "simple-syrup"})
    page = phone.press(phone.get("/batches"), "Discard ALM-1")
    page = phone.press(phone.get("/batches/PIN-1"), "PIN-1 is empty")
    sitting.at("18:50")
    page = phone.press(
        phone.get("/batches/new"), "Log it", liquid="lime-juice", acid="49", open="1", mass="700", discard="2026-11-26"
    )
    page = phone.press(page, "Log it", "reading", acid="47g/l")
    page = phone.press(phone.get("/read", {"what": "batch:HON-1", "reading": "25.2", "dilute": "yes", "sample": "50",
                                           "water": "50 g"}), "Log")  # fmt: skip

    specs = tmp_path / "typed"
    shutil.copytree(demo_folder(), specs)
    typed = [
        ("18:05", "measure 54.5 54 RAS-12 --temperature 21C --log"),
        ("18:05", "measure 51 agave --log"),
        ("18:20", "batch add raspberry 50,4 --volume 1.5l"),
        ("18:30", "batch open RAS-13 --replaces RAS-12"),
        ("18:30", "batch undo"),
        ("18:30", "batch undo --restore"),
        ("18:40", "batch correct STR-1 --mass 1.42kg"),
        ("18:40", "batch reading STR-1 --brix 50.2"),
        ("18:40", "batch correct DEM-1 --brix 52 --with simple-syrup"),
        ("18:40", "batch discard ALM-1"),
        ("18:40", "batch empty PIN-1"),
        ("18:50", "batch add lime-juice --acid 49g/l --open --mass 700g --discard 2026-11-26"),
        ("18:50", "batch reading LIM-2 --acid 47g/l"),
        ("18:50", "measure 25.2 HON-1 --dilute 50g+50g --log"),
    ]
    for clock, line in typed:
        done = run(*line.split(), "--by", "Runa", specs=specs, env={"BALANCER_NOW": f"2026-11-25T{clock}:00+01:00"})
        assert done.code == 0, (line, done)
    text = (specs / "batches.yaml").read_text(encoding="utf-8")
    by_hand = [json.loads(line.removeprefix("- ")) for line in text.splitlines()]
    assert without_instants(sitting.log) == without_instants(by_hand)
    assert len(by_hand) == before + len(typed) + 1  # added and opened at once is two lines


def test_two_devices_with_one_bottle(sitting: Sitting) -> None:  # noqa: F811
    """What one logs the other sees; what one has undone the other is told, and nothing else is taken back."""
    phone, tablet = sitting.device(), sitting.device()
    sitting.at("20:16")
    mine = phone.press(
        phone.get("/read", {"what": "batch:RAS-12", "reading": "52"}), "Log 51.7 °Bx for RAS-12", by="Runa"
    )
    assert "read 51.7 °Bx" in tablet.get("/batches/RAS-12").words
    assert "51.7 °Bx, 1.7 above standard 50" in tablet.get("/batches").words
    same = tablet.get(mine_address(sitting))
    sitting.at("20:17")
    asked = tablet.sent(tablet.get("/read", {"what": "batch:RAS-12", "reading": "53"}), "Log 52.7", by="Bo")
    assert "RAS-12 was read 51.7 at 20:16: still log 52.7?" in asked.words
    tablet.press(asked, "Yes, it is meant", by="Bo")
    back = phone.press(mine, "Undo", "done")
    assert "Undone 20:17: RAS-12 read 51.7 °Bx" in back.words
    assert "52.7 °Bx, 2.7 above standard 50" in back.words
    late = tablet.sent(same, "Undo", "done")
    assert late.status == 409
    assert (
        "Nothing was logged. RAS-12 read: undone already by Runa (25 Nov, 20:17); nothing is changed now" in late.words
    )
    assert [line["event"] for line in sitting.log[-3:]] == ["reading", "reading", "undo"]


def mine_address(at: Sitting) -> str:
    """The page that shows what was logged last."""
    line = at.log[-1]
    return f"/batches/{line['batch']}?done={line['at'].replace('+', '%2B')}"
