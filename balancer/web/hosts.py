"""Who a request says it is for, and from where: names and numbers of machines, read strictly."""

from __future__ import annotations

import ipaddress
import re
from typing import Final, NamedTuple
from urllib.parse import urlsplit

_AUTHORITY: Final = re.compile(
    r"(?:\[(?P<six>[0-9a-f:.]{2,45})\]|(?P<name>[a-z0-9._-]{1,253}))(?::(?P<port>[0-9]{1,5}))?"
)
_PORTS: Final = {"http": 80, "https": 443}
_NETWORK_OF_SIX: Final = 64
"""Bits of an IPv6 address that a device does not choose itself (RFC 4291 section 2.5.4)."""


class NamedHost(NamedTuple):
    """A machine as a request names it: lower case, numbers in their usual form; its port where one is said."""

    name: str
    port: int | None


def place(text: str) -> NamedHost | None:
    """What a Host header names; None where it is none.

    >>> place("Bar.Local.:8466"), place("[0:0:0:0:0:0:0:1]"), place("127.0.0.1@evil.example")
    (NamedHost(name='bar.local', port=8466), NamedHost(name='::1', port=None), None)
    """
    found = _AUTHORITY.fullmatch(text.lower())
    if found is None:
        return None
    port = int(found["port"]) if found["port"] else None
    if port is not None and not 0 < port < 65536:
        return None
    if found["six"]:
        six = number(found["six"]) if ":" in found["six"] else None
        return NamedHost(six, port) if six else None
    name = found["name"].removesuffix(".")
    return NamedHost(number(name) or name, port) if name else None


def is_from(origin: str, host: NamedHost) -> bool:
    """Whether an Origin or Referer header names the very place that a Host header names.

    >>> is_from("https://bar.example", NamedHost("bar.example", 443)), is_from("null", NamedHost("bar.example", None))
    (True, False)
    """
    try:
        said = urlsplit(origin.strip())
    except ValueError:
        return False
    usual = _PORTS.get(said.scheme)
    found = place(said.netloc)
    if usual is None or found is None or found.name != host.name:
        return False
    return (found.port or usual) == (host.port or usual)


def number(text: str) -> str | None:
    """An address in numbers, in its usual form; None for anything else.

    >>> number("::FFFF:10.0.0.7"), number("10.0.0.7"), number("127.1"), number("bar")
    ('10.0.0.7', '10.0.0.7', None, None)
    """
    try:
        found = ipaddress.ip_address(text)
    except ValueError:
        return None
    if isinstance(found, ipaddress.IPv6Address):
        if found.scope_id:
            return None
        if found.ipv4_mapped:
            return str(found.ipv4_mapped)
    return str(found)


def household(address: str) -> str:
    """What is counted as one: an address, of IPv6 its network.

    >>> household("fe80::1") == household("fe80::2"), household("10.0.0.7")
    (True, '10.0.0.7')
    """
    plain = number(address.partition("%")[0])
    if plain is None:
        return address[:64]
    return str(ipaddress.ip_network(f"{plain}/{_NETWORK_OF_SIX}", strict=False)) if ":" in plain else plain


def is_loopback(host: str) -> bool:
    """Whether an address is this machine alone.

    >>> is_loopback("127.0.0.1"), is_loopback("::1"), is_loopback("localhost"), is_loopback("10.0.0.7")
    (True, True, True, False)
    """
    plain = number(host)
    return host.casefold() == "localhost" or (plain is not None and ipaddress.ip_address(plain).is_loopback)
