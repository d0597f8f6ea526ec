"""What is said when a page starts, and what its code holds."""

from __future__ import annotations

import signal
from typing import Any

import pytest
import segno

from balancer.errors import UsageError
from balancer.web import serve
from balancer.web.settings import PageSettings, names_of
from tests.web.browsing import EVERYWHERE, KEY

pytestmark = pytest.mark.slow


@pytest.mark.parametrize(
    ("settings", "address"),
    [
        (PageSettings(host="10.0.0.7"), "http://10.0.0.7:8466/"),
        (PageSettings(host="fe80::1", port=80), "http://[fe80::1]:80/"),
        (PageSettings(names=("bar.example",)), "https://bar.example/"),
    ],
)
def test_the_code_is_the_address_with_the_key_where_no_browser_sends_it(
    settings: PageSettings, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    held: list[str] = []
    make = segno.make

    def kept(text: str, **more: Any) -> segno.QRCode:
        held.append(text)
        return make(text, **more)

    monkeypatch.setattr(segno, "make", kept)
    assert "\N{FULL BLOCK}" in serve.key_code(settings, KEY)
    assert held == [f"{address}key#{KEY.key}"]


@pytest.mark.parametrize(
    ("settings", "said", "unsaid"),
    [
        (PageSettings(), "only this machine reaches it", "not encrypted"),
        (PageSettings(host=EVERYWHERE), "not encrypted", "only this machine"),
        (PageSettings(names=("bar.example",)), "https://bar.example/", "not encrypted"),
        (PageSettings(host=EVERYWHERE, names=("bar.example",)), "not encrypted", "only this machine"),
        (PageSettings(only_reads=True), "nobody logs from it", "key"),
    ],
)
def test_it_says_who_reaches_it(settings: PageSettings, said: str, unsaid: str) -> None:
    greeting = serve.greeting(settings, "The Ferry Slip")
    assert said in greeting
    assert unsaid not in greeting
    assert KEY.key not in greeting


@pytest.mark.parametrize("text", ["https://bar.example", "bar.example:443", "bar.example/", "", "bar example", "*"])
def test_a_name_is_that_and_no_more(text: str) -> None:
    """A page of a name that no browser ever asks for would answer nobody."""
    with pytest.raises(UsageError, match="no name of a machine"):
        names_of([text])
    assert names_of(["Bar.Example.", " tablet "]) == ("bar.example", "tablet")


def test_it_says_that_files_are_broken() -> None:
    assert "1 problem in the files: balancer check tells each" in serve.greeting(PageSettings(), "Slip", 1)
    assert "2 problems in" in serve.greeting(PageSettings(), "Slip", 2)


@pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGTERM])
def test_who_asks_it_to_end_is_remembered_until_somebody_can_be_told(sent: signal.Signals) -> None:
    told: list[int] = []
    before = signal.getsignal(sent)
    with serve.StopAsked() as stop:
        signal.raise_signal(sent)
        stop.hand_over(lambda number, _: told.append(number))
        assert told == [sent]
        signal.raise_signal(sent)
        assert told == [sent, sent]
    assert signal.getsignal(sent) is before
