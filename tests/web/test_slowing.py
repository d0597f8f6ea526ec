"""Wrong keys are slowed, address by address and all together."""

from __future__ import annotations

import pytest

from balancer.web.hosts import household
from balancer.web.settings import PageSettings
from balancer.web.slowing import Slowing
from tests.web.browsing import EVERYWHERE, KEY, device, shared_page
from tests.web.test_guard import enter


def test_a_few_slips_are_free_and_then_each_wait_is_twice_the_last() -> None:
    slowing, now, waits = Slowing(), 0.0, []
    for _ in range(14):
        waits.append(slowing.left_s("a", now))
        now += waits[-1]
        assert slowing.left_s("a", now) == 0
        slowing.wrong("a", now)
    assert waits == [0] * 5 + [30, 60, 120, 240, 480, 960, 1920, 3600, 3600]


def test_what_others_do_keeps_no_first_key_out() -> None:
    slowing = Slowing()
    for number in range(1000):
        slowing.wrong(f"10.0.{number // 250}.{number % 250}", 0)
    assert slowing.left_s("10.9.9.9", 0) == 0
    slowing.wrong("10.9.9.9", 0)
    assert slowing.left_s("10.9.9.9", 0) == 30


def test_a_right_key_and_a_quiet_day_forgive() -> None:
    slowing = Slowing()
    for _ in range(9):
        slowing.wrong("a", 0)
        slowing.wrong("b", 0)
    slowing.right("a")
    assert (slowing.left_s("a", 1), slowing.left_s("b", 1)) == (0, 479)
    slowing.wrong("b", 90_000)
    assert slowing.left_s("b", 90_000) == 0


def test_it_remembers_so_many_and_no_more() -> None:
    slowing = Slowing(remembered=10)
    for number in range(100):
        slowing.wrong(str(number), 0)
    assert [*slowing.tries] == [str(number) for number in range(90, 100)]


def test_a_network_of_ipv6_is_one_address() -> None:
    assert household("2001:db8::1") == household("2001:db8::ffff:1")
    assert household("2001:db8::1") != household("2001:db8:0:1::1")
    assert household("::ffff:10.0.0.7") == household("10.0.0.7")


def test_a_key_that_has_to_wait_is_not_looked_at() -> None:
    """Six wrong ones, then the right one from the same address: refused, and told how long; elsewhere it lets in."""
    app = shared_page(PageSettings(host=EVERYWHERE))
    one, other = device(app, address="10.0.0.7"), device(app, address="10.0.0.8")
    assert [enter(one, "AAAA-AAAA-AAAA-AAAA").status_code for _ in range(6)] == [403] * 5 + [429]
    held = enter(one)
    assert held.status_code == 429
    assert "too many wrong keys: wait 30 s" in held.text
    assert held.headers["retry-after"] == "30"
    assert enter(other).status_code == 303


@pytest.mark.parametrize(
    ("peer", "told", "counted"),
    [
        ("127.0.0.1", "10.0.0.7", "10.0.0.7"),
        ("127.0.0.1", "1.1.1.1, 10.0.0.7", "10.0.0.7"),  # the proxy adds its own to what the device made up
        ("127.0.0.1", "nonsense", "127.0.0.1"),
        ("10.0.0.9", "10.0.0.7", "10.0.0.9"),
    ],
)
def test_only_a_proxy_on_this_machine_tells_who_asks(peer: str, told: str, counted: str) -> None:
    for names, expected in ((("bar.example",), counted), ((), peer)):
        app = shared_page(PageSettings(host=EVERYWHERE, names=names))
        enter(device(app, address=peer), "AAAA-AAAA-AAAA-AAAA", headers={"X-Forwarded-For": told})
        assert [*app.state.guard.slowing.tries] == [expected]


def test_a_device_with_the_key_never_waits() -> None:
    app = shared_page(PageSettings(host=EVERYWHERE))
    one = device(app, address="10.0.0.7")
    assert enter(one, KEY.key).status_code == 303
    for _ in range(60):
        app.state.guard.slowing.wrong("10.0.0.7")
    assert "This device only reads" not in one.get("/").text
