"""What a page says of something whose file did not load: that, and not that nothing is there."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.web.browsing import SPECS as DEMO
from tests.web.browsing import read, visitor


@pytest.fixture
def specs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:30+01:00")
    return shutil.copytree(DEMO, tmp_path / "specs")


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("22.5 ml lime juice", "22.5 mll lime juice", 'drinks/slipway-sour.yaml:7: unknown unit "mll"'),
        ("by: Runa", "by: [", "drinks/slipway-sour.yaml:14: this bracket is never closed"),
    ],
)
def test_a_drink_whose_file_breaks_while_serving(specs: Path, old: str, new: str, told: str) -> None:
    phone = visitor(specs)
    assert phone.get("/drinks/slipway-sour").status_code == 200
    change(specs / "drinks" / "slipway-sour.yaml", old, new)
    answer = phone.get("/drinks/slipway-sour")
    said = read(answer.text).text
    assert answer.status_code == 409
    assert f"the file of Slipway Sour has a problem: {told}" in said
    assert "balancer check tells every problem" in said
    assert "no page has this address" not in said
    assert phone.get("/drinks/no-such-drink").status_code == 404


@pytest.mark.parametrize(
    ("content", "told"), [(b"", "the file is empty"), (b"\xff\xfe\x00", "the file is UTF-16 text")]
)
def test_a_drink_of_whose_file_nothing_can_be_read(specs: Path, content: bytes, told: str) -> None:
    phone = visitor(specs)
    (specs / "drinks" / "slipway-sour.yaml").write_bytes(content)
    said = read(phone.get("/drinks/slipway-sour").text).text
    assert f"its file has a problem: drinks/slipway-sour.yaml:1: {told}" in said


def test_a_drink_that_may_be_in_a_file_nobody_can_read(specs: Path, tmp_path: Path) -> None:
    phone = visitor(specs)
    (specs / "drinks" / "slipway-sour.yaml").unlink()
    (specs / "drinks" / "more.yaml").symlink_to(tmp_path / "nowhere.yaml")
    said = read(phone.get("/drinks/slipway-sour").text).text
    assert "it may be in a file that cannot be read: drinks/more.yaml" in said


def test_the_batch_of_a_syrup_whose_file_breaks(specs: Path) -> None:
    phone = visitor(specs)
    assert "has a problem" not in read(phone.get("/batches/RAS-12").text).text
    change(specs / "syrups" / "raspberry-syrup.yaml", "standard: ", "standard: lots and ")
    answer = phone.get("/batches/RAS-12")
    said = read(answer.text).text
    assert answer.status_code == 200
    assert "The file of raspberry syrup has a problem: syrups/raspberry-syrup.yaml:" in said
    assert "balancer check tells every problem" in said
