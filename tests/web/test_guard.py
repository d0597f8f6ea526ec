"""What a request must be to get a page, and a form to be read."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.applications import Starlette
from starlette.testclient import TestClient

from balancer.web import render
from balancer.web.app import page_app
from balancer.web.guard import DEVICE_COOKIE, HEADERS, KEY_COOKIE
from balancer.web.house import OpenHouse
from balancer.web.keys import PageKey, kept_key, new_key
from balancer.web.settings import PageSettings
from tests.web import forged
from tests.web.browsing import EVERYWHERE, KEY, ORIGIN, SPECS, device, read, shared_page, token_of

NETWORK = PageSettings(host=EVERYWHERE, names=("bar.example",))


@pytest.fixture
def app() -> Starlette:
    """A page on the bar's network, known as bar.example too."""
    return shared_page(NETWORK)


def enter(client: TestClient, key: str = KEY.key, **more: Any) -> Any:
    origin = str(client.base_url).rstrip("/")
    token = token_of(client.get("/key").text)
    headers = {"Origin": origin} | more.pop("headers", {})
    return client.post("/key", data={"token": token, "key": key}, headers=headers, follow_redirects=False)


def lit(client: TestClient, origin: str = ORIGIN, token: str | None = None, **headers: str) -> int:
    """Send a form; its status."""
    token = token_of(client.get("/key").text) if token is None else token
    sent = client.post(
        "/light", data={"token": token, "light": "lamp"}, headers={"Origin": origin, **headers}, follow_redirects=False
    )
    return sent.status_code


@pytest.mark.parametrize(
    "host",
    ["127.0.0.1", "127.0.0.1:8466", "LocalHost:1", "localhost.", "[::1]", "[::1]:8466", "[0:0:0:0:0:0:0:1]",
     "[::ffff:127.0.0.1]", "127.8.9.10:65535"],
)  # fmt: skip
def test_alone_it_answers_to_this_machine(host: str) -> None:
    assert device(shared_page()).get("/still-there", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize("host", forged.HOSTS)
def test_alone_it_answers_to_nobody_else(host: str) -> None:
    answer = device(shared_page()).get("/", headers={b"Host": host.encode()})
    assert answer.status_code == 421
    assert "text/plain" in answer.headers["content-type"]


@pytest.mark.parametrize(
    ("host", "status"),
    [("bar.example", 200), ("BAR.EXAMPLE.:443", 200), ("10.0.0.7:8466", 200), ("[fe80::1]:8466", 200),
     ("localhost", 200), ("evil.example", 421), ("bar.example.evil.example", 421), ("xbar.example", 421)],
)  # fmt: skip
def test_on_a_network_it_answers_to_numbers_and_its_names(app: Starlette, host: str, status: int) -> None:
    """A name can be made to lead here by whoever owns it, a number cannot."""
    assert device(app).get("/still-there", headers={"Host": host}).status_code == status


def test_what_a_proxy_says_of_the_host_is_not_asked(app: Starlette) -> None:
    headers = {"Host": "evil.example", "X-Forwarded-Host": "bar.example", "Forwarded": "host=bar.example"}
    assert device(app).get("/", headers=headers).status_code == 421


@pytest.mark.parametrize(
    ("host", "origin"),
    [("127.0.0.1:8466", "http://127.0.0.1:8466"), ("127.0.0.1", "http://127.0.0.1"), ("127.0.0.1:80", "http://127.0.0.1"),
     ("bar.example", "https://bar.example"), ("Bar.Example:443", "https://bar.example"),
     ("bar.example", "https://bar.example:443"), ("bar.example.", "https://bar.example"),
     ("[::1]:8466", "http://[::1]:8466"), ("[0:0:0:0:0:0:0:1]:8466", "http://[::1]:8466")],
)  # fmt: skip
def test_a_form_comes_from_the_page_itself(app: Starlette, host: str, origin: str) -> None:
    assert lit(device(app), origin, Host=host) == 303


@pytest.mark.parametrize("origin", forged.ORIGINS)
def test_a_form_from_elsewhere_is_refused(origin: str) -> None:
    client = device(shared_page())
    assert lit(client, origin) == 403
    assert lit(client, ORIGIN) == 303


def test_a_browser_that_tells_no_origin_tells_the_page_before() -> None:
    client = device(shared_page())
    token = token_of(client.get("/key").text)
    for said, status in ((f"{ORIGIN}/key?x", 303), ("http://evil.example/", 403)):
        sent = client.post("/light", data={"token": token}, headers={"Referer": said}, follow_redirects=False)
        assert sent.status_code == status


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_form_that_the_browser_calls_foreign_is_refused(site: str) -> None:
    assert lit(device(shared_page()), **{"Sec-Fetch-Site": site, "Sec-Fetch-Mode": "navigate"}) == 403


def test_another_site_may_link_here_but_not_listen() -> None:
    client = device(shared_page())
    foreign = {"Sec-Fetch-Site": "cross-site"}
    assert client.get("/", headers=foreign | {"Sec-Fetch-Mode": "navigate"}).status_code == 200
    assert client.get("/still-there", headers=foreign | {"Sec-Fetch-Mode": "no-cors"}).status_code == 403


def test_a_token_is_of_one_device_and_nobody_makes_one(app: Starlette) -> None:
    one, other = device(app), device(app)
    tokens = [token_of(client.get("/key").text) for client in (one, other)]
    assert tokens[0] != tokens[1]
    assert lit(one, token=tokens[0]) == 303
    wrong = [tokens[1], "", "0" * 64, tokens[0][:-1], tokens[0].upper(), tokens[0] + "0", "ü" * 64]
    assert [lit(one, token=token) for token in wrong] == [403] * len(wrong)


def test_a_form_without_the_devices_cookie_is_refused(app: Starlette) -> None:
    token = token_of(device(app).get("/key").text)
    bare = device(app)
    assert bare.post("/light", data={"token": token}, headers={"Origin": ORIGIN}).status_code == 403


@pytest.mark.parametrize(
    ("body", "headers", "status"),
    forged.BODIES,
)
def test_a_body_that_is_no_form_of_ours_is_refused(body: bytes, headers: dict[str, Any], status: int) -> None:
    client = device(shared_page())
    client.get("/")
    assert client.post("/light", content=body, headers={"Origin": ORIGIN, **headers}).status_code == status


def test_a_body_that_does_not_say_its_length_is_read_no_further_than_any_other() -> None:
    client, read = device(shared_page()), 0
    client.get("/")

    def endless() -> Iterator[bytes]:
        nonlocal read
        for _ in range(100):
            read += 8192
            yield b"a" * 8192

    answer = client.post("/light", content=endless(), headers={"Origin": ORIGIN, **forged.FORM})
    assert answer.status_code == 413
    assert "content-length" not in answer.request.headers


def test_too_many_headers_are_refused() -> None:
    client = device(shared_page())
    assert client.get("/", headers={f"X-{number}": "1" for number in range(101)}).status_code == 431


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "BREW"])
def test_only_reading_and_forms_are_answered(method: str) -> None:
    assert device(shared_page()).request(method, "/").status_code == 405


@pytest.mark.parametrize("path", forged.PATHS)
def test_an_address_that_leads_elsewhere_is_nowhere(path: str) -> None:
    answer = device(shared_page()).get(path)
    assert answer.status_code == 404
    assert not any(word in answer.text for word in ("root:", "[build-system]", "pour style", "format: 1", "{% "))


@pytest.mark.slow
def test_no_part_of_an_address_reaches_a_file() -> None:
    """For none of them anything is opened but what the bar's folder holds; for a style sheet it is that alone."""
    opened: list[str] = []
    sys.addaudithook(lambda event, given: opened.append(str(given[0])) if event in ("open", "os.listdir") else None)
    client = device(shared_page())
    sheet = str(render.HERE / "static" / "page.css")
    ours = {str(each) for each in SPECS.rglob("*")}
    for path in ("/nothing", "/batches/nothing", "/static/mark.svg"):
        client.get(path)
    opened.clear()
    for path in forged.PATHS:
        client.get(path)
    assert set(opened) - ours == set()
    client.get("/static/page.css")
    assert set(opened) - ours == {sheet}


def test_every_answer_says_what_a_browser_may_do_with_it(app: Starlette) -> None:
    client = device(app)
    answers = [
        client.get("/"),
        client.get("/nothing"),
        client.get("/static/page.css"),
        client.get("/still-there"),
        client.get("/", headers={"Host": "evil.example"}),
        client.post("/light"),
        client.put("/"),
    ]
    assert [answer.status_code for answer in answers] == [200, 404, 200, 200, 421, 403, 405]
    for answer in answers:
        assert {name for name in HEADERS if name not in answer.headers} == set()
    policy = answers[0].headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "default-src 'none'" in policy


def test_cookies_are_for_this_page_alone(app: Starlette) -> None:
    client = device(app)
    given = [client.get("/").headers["set-cookie"], enter(client).headers["set-cookie"]]
    assert [cookie.partition("=")[0] for cookie in given] == [DEVICE_COOKIE, KEY_COOKIE]
    for cookie in given:
        parts = {part.strip().casefold() for part in cookie.split(";")[1:]}
        assert {"httponly", "samesite=strict", "path=/"} <= parts
        assert not any(part.startswith(("domain", "secure")) for part in parts)


@pytest.mark.parametrize(
    ("address", "headers", "is_secure"),
    [
        ("127.0.0.1", {"X-Forwarded-Proto": "https"}, True),
        ("127.0.0.1", {"X-Forwarded-Proto": "http"}, False),
        ("10.0.0.9", {"X-Forwarded-Proto": "https"}, False),  # no proxy of ours: what it says is its own affair
    ],
)
def test_over_https_cookies_stay_there(
    app: Starlette, address: str, headers: dict[str, str], *, is_secure: bool
) -> None:
    client = device(app, address=address)
    given = client.get("/", headers={"Host": "bar.example", **headers}).headers["set-cookie"]
    assert ("secure" in given.casefold()) is is_secure


def test_static_files_give_no_cookie(app: Starlette) -> None:
    """A picture that is loaded beside the first page makes no second device of it."""
    client = device(app)
    assert all("set-cookie" not in client.get(path).headers for path in ("/static/page.css", "/still-there"))


def test_on_a_network_a_device_only_reads_until_the_key_was_entered_on_it(app: Starlette) -> None:
    one, other = device(app, address="10.0.0.7"), device(app, address="10.0.0.8")
    assert all("This device only reads" in client.get("/").text for client in (one, other))
    assert enter(one, " " + KEY.key.lower().replace("-", " ")).status_code == 303
    assert "This device only reads" not in one.get("/").text
    assert "This device only reads" in other.get("/").text


def test_no_cookie_that_came_later_undoes_the_key(app: Starlette) -> None:
    """A link from elsewhere opens the page without its cookies, and is given another device's."""
    client = device(app)
    enter(client)
    fresh = device(app).get("/").headers["set-cookie"].partition("=")[2].partition(";")[0]
    client.cookies.delete(DEVICE_COOKIE)
    client.cookies.set(DEVICE_COOKIE, fresh, domain="127.0.0.1", path="/")
    assert "This device only reads" not in client.get("/").text
    assert lit(client) == 303


def test_a_forged_cookie_is_nobodys(app: Starlette) -> None:
    signed = KEY.sign("device", "abc")
    for value in (f"abc.{signed}", "abc.", ".", "", f"abc.{PageKey(KEY.key, bytes(32)).sign('key', 'abc')}", "a.b.c"):
        client = device(app)
        client.cookies.set(KEY_COOKIE, value, domain="127.0.0.1", path="/")
        assert "This device only reads" in client.get("/").text
    client = device(app)
    client.cookies.set(KEY_COOKIE, f"abc.{KEY.sign('key', 'abc')}", domain="127.0.0.1", path="/")
    assert "This device only reads" not in client.get("/").text


def test_the_key_stands_in_no_address_nor_page(app: Starlette) -> None:
    client = device(app)
    answer = enter(client)
    assert KEY.key not in answer.headers["location"]
    assert "/key" in str(answer.request.url)
    assert not answer.request.url.query
    wrong = enter(device(app), "WRNG-WRNG-WRNG-WRNG")
    assert 'value="WRNG-WRNG-WRNG-WRNG"' in wrong.text, "what was typed is kept, to be mended"
    impatient = device(app)
    for _ in range(20):
        enter(impatient, "WRNG-WRNG-WRNG-WRNG")
    waits = enter(impatient)
    assert waits.status_code == 429
    assert KEY.key not in waits.text


def test_a_file_of_the_key_that_was_cut_short_is_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty secret would sign whatever anybody likes."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    made = kept_key(SPECS)
    assert kept_key(SPECS) == made
    (path,) = (tmp_path / "balancer").iterdir()
    assert path.stat().st_mode & 0o077 == 0
    for text in (
        '{"key": "", "secret": ""}',
        f'{{"key": "{made.key}", "secret": ""}}',
        '{"key": "AAAA", "secret": "00"}',
        "{",
        "",
    ):
        path.write_text(text)
        again = kept_key(SPECS)
        assert again.is_whole
        assert again != made
    assert kept_key(SPECS, renew=True) != again


def test_keys_differ() -> None:
    assert len({new_key().key for _ in range(50)}) == 50


def test_the_demo_is_only_looked_at() -> None:
    settings = PageSettings(only_reads=True)
    app = page_app(OpenHouse(SPECS, is_demo=True), settings, KEY)
    client = device(app)
    assert "The demo is only to look at" in client.get("/").text
    enter(client)
    assert "The demo is only to look at" in client.get("/").text
    assert lit(client) == 303


@pytest.mark.parametrize("path", ["/batches/GIN-2", "/batches/new", "/read?what=batch:GIN-2&reading=50", "/name"])
def test_the_demo_offers_no_key(path: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """No device logs there, with whatever key."""
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:30+01:00")
    app = page_app(OpenHouse(SPECS, is_demo=True), PageSettings(only_reads=True), KEY)
    answer = device(app).get(path)
    assert answer.status_code == 200
    assert "/key" not in {node.attributes["href"].partition("?")[0] for node in read(answer.text).find("a")}
    assert "The demo is only to look at" in read(answer.text).find("main")[0].text


def logs(client: TestClient) -> Any:
    """Log a batch, as the form does."""
    token = token_of(client.get("/").text)
    return client.post(
        "/batches/new",
        data={"token": token, "liquid": "simple-syrup", "brix": "50", "once": client.app.state.once.number()},  # type: ignore[attr-defined]
        headers={"Origin": ORIGIN},
        follow_redirects=False,
    )


def test_only_a_device_with_the_key_logs(tmp_path: Path) -> None:
    specs = shutil.copytree(SPECS, tmp_path / "specs")
    before = (specs / "batches.yaml").read_bytes()
    app = page_app(OpenHouse(specs), NETWORK, KEY)
    without = logs(device(app))
    assert without.status_code == 403
    assert "this device only reads" in without.text
    assert (specs / "batches.yaml").read_bytes() == before
    client = device(app)
    enter(client)
    assert logs(client).status_code == 303
    assert (specs / "batches.yaml").read_bytes() != before


def test_nobody_logs_in_the_demo() -> None:
    before = (SPECS / "batches.yaml").read_bytes()
    app = page_app(OpenHouse(SPECS, is_demo=True), PageSettings(only_reads=True), KEY)
    refused = logs(device(app))
    assert refused.status_code == 403
    assert "the demo is only to look at" in refused.text
    assert (SPECS / "batches.yaml").read_bytes() == before


def test_a_fault_of_ours_shows_nothing_of_itself(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("<script>the inside</script>")

    client = TestClient(shared_page(), base_url=ORIGIN, raise_server_exceptions=False)
    monkeypatch.setattr("balancer.web.house.OpenHouse.evening", broken)
    monkeypatch.delenv("BALANCER_DEBUG", raising=False)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "This did not work" in answer.text
    assert not any(word in answer.text for word in ("the inside", "Traceback", "RuntimeError", ".py"))
    assert answer.headers["content-security-policy"] == HEADERS["Content-Security-Policy"]
    (said,) = [record for record in caplog.records if record.name == "balancer.page"]
    assert "RuntimeError" in said.getMessage()
    assert said.exc_info is None or said.exc_info[0] is None
