"""Which addresses on the network may be sent to: public ones, and what the operator has allowed.

Somebody who may name an address to send to could otherwise make this server talk to what only it can reach (server-side
request forgery). A name is looked up once, and the connection goes to the address that was checked.
"""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network
from urllib.parse import urlsplit

from riskapi.domain.sentence import Written, at_fault, told
from riskapi.errors import Fault, InputError

Address = IPv4Address | IPv6Address
Network = IPv4Network | IPv6Network
Lookup = Callable[[str, int], list[str]]

_INSIDE_CLOUDS = frozenset({ip_address("168.63.129.16")})  # public by its number, a platform's own services behind it
_NAT64 = ip_network("64:ff9b::/96")  # RFC 6052
_LONGEST = 2_000


class Refused(Exception):
    """Nothing is sent there; the words say why."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where to connect to for a URL: the address that was checked."""

    scheme: str
    host: str
    port: int
    address: str


def look_up(host: str, port: int) -> list[str]:
    """Every address of a host. Raises OSError."""
    return [str(found[4][0]) for found in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)]


def target_of(url: str, allowed: Iterable[Network], look: Lookup = look_up) -> Target:
    """Where to connect to for this URL. Raises Refused when one of its addresses is not to be sent to, or it is not
    https and outside the allowed networks; OSError when its host has no address."""
    parts = urlsplit(url)
    host, networks = parts.hostname or "", tuple(allowed)
    port = parts.port or (443 if parts.scheme == "https" else 80)
    found = [ip_address(address.partition("%")[0]) for address in look(host, port)]
    if not found:
        raise OSError(f"{host} has no address")
    inside = all(_within(address, networks) for address in found)
    if not inside and not all(is_public(address) or _within(address, networks) for address in found):
        raise Refused("The host has an address that is not public.")
    if parts.scheme != "https" and not inside:
        raise Refused("Outside allowed networks only https is sent to.")
    return Target(parts.scheme, host, port, str(found[0]))


def is_public(address: Address) -> bool:
    """Whether this is an address of the public internet, also where it is written inside another one."""
    if isinstance(address, IPv6Address):
        inner = _embedded(address)
        if inner is not None:
            return is_public(inner)
        if address.is_site_local:
            return False
    return address.is_global and not address.is_multicast and address not in _INSIDE_CLOUDS


def url_fault(url: str, allowed: Iterable[Network]) -> Fault | None:
    """What is wrong with a URL as it is written, without looking its host up."""
    networks = tuple(allowed)
    try:
        parts = urlsplit(url)
        fine = parts.scheme in ("https", "http") and bool(parts.hostname) and parts.port != 0
    except ValueError:
        fine = False
    if not fine or len(url) > _LONGEST or not url.isascii() or not url.isprintable() or " " in url:
        mend = told("Write for example https://host.example/hook.")
        return at_fault("/url", told("This is no address to send to."), mend)
    if parts.username is not None or parts.password is not None or parts.fragment:
        message = told("A user name, password or fragment has no place here.")
        return at_fault("/url", message, told("Leave it out."))
    literal = _literal(parts.hostname or "")
    if literal is not None and not is_public(literal) and not _within(literal, networks):
        mend = told("Give one that is, or ask the operator to allow it.")
        return at_fault("/url", told("This address is not public."), mend)
    if parts.scheme == "http" and not networks:
        return at_fault("/url", told("Events go over https only."), told("Write https:// in front."))
    return None


def networks_of(written: str, place: str) -> tuple[Network, ...]:
    """Networks in a comma-separated list such as '10.1.0.0/16, fd00::/8'. Raises InputError with every fault."""
    networks, faults = [], []
    for part in filter(None, (part.strip() for part in written.split(","))):
        try:
            networks.append(ip_network(part))
        except ValueError:
            mend = told("Write networks such as 10.1.0.0/16 or fd00::/8, separated by commas.")
            faults.append(at_fault(place, told("{network} is no network.", network=Written(repr(part))), mend))
    if faults:
        raise InputError(faults)
    return tuple(networks)


def _within(address: Address, networks: Iterable[Network]) -> bool:
    inner = _embedded(address) if isinstance(address, IPv6Address) else None
    return any((address if inner is None else inner) in network for network in networks)


def _embedded(address: IPv6Address) -> IPv4Address | None:
    """The IPv4 address that traffic to this IPv6 address ends up at, if there is one."""
    if address.ipv4_mapped is not None:
        return address.ipv4_mapped
    if address in _NAT64 or (int(address) >> 32 == 0 and int(address) > 1):
        return IPv4Address(int(address) & 0xFFFFFFFF)
    return address.sixtofour or (address.teredo[1] if address.teredo else None)


def _literal(host: str) -> Address | None:
    """The address that this host is written as, in any form that a resolver takes (127.1, 0x7f000001, ...)."""
    try:
        return ip_address(host.partition("%")[0])
    except ValueError:
        pass
    try:
        return IPv4Address(socket.inet_aton(host))
    except (OSError, UnicodeEncodeError):
        return None
