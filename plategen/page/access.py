"""Who is let in: only the names this page goes by, only its own pages as origin, and over the network only a phone
that was given a link.

A browser can be made to send requests here by any page it visits. Such a page's own name then stands in ``Origin``, and
a name of its owner's in ``Host`` when it plays tricks with name servers; neither is one of ours, and both are refused
before anything else is looked at.
"""

import hmac
import secrets
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address

from starlette.datastructures import Headers
from starlette.types import Scope

COOKIE = "plategen-page"
MOST_PHONES = 20
"""The cookie that lets a phone in, and how many are let in."""


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a request is not let in: status and one line."""

    status: int
    words: str


@dataclass(slots=True)
class Access:
    """Who may come in.

    Args:
        hosts: What may stand in ``Host``: ``"127.0.0.1:8731"`` and the like.
        links: Links that were given out and not used yet.
        phones: Secrets of those that used one.
        used: Called when a link was used, with the address of who used it; gives out the next.
    """

    hosts: frozenset[str]
    links: set[str] = field(default_factory=set)
    phones: set[str] = field(default_factory=set)
    used: Callable[[str], None] = field(default=lambda _: None)

    def refusal(self, scope: Scope) -> Refused | None:
        """Why a request may not come in; None if it may."""
        headers = Headers(scope=scope)
        names = headers.getlist("host")
        if len(names) != 1 or names[0].lower() not in self.hosts:
            return Refused(421, "This page does not go by that name; use the address that `plategen page` printed.")
        origins = headers.getlist("origin")
        if origins and origins != [f"http://{names[0].lower()}"]:
            return Refused(403, "Only this page's own pages may ask that.")
        if headers.get("sec-fetch-site") == "cross-site" and scope["path"] != "/":
            return Refused(403, "Only this page's own pages may ask that.")
        if not from_here(scope) and not scope["path"].startswith("/enter/") and not self._known(headers):
            return Refused(403, "Open the link that `plategen page --share` printed; each link opens one phone.")
        return None

    def give_link(self) -> str:
        """A new link's secret, good for one phone."""
        link = secrets.token_urlsafe(24)
        self.links = {link}
        return link

    def is_link(self, link: str) -> bool:
        """Whether a link was given out and not used yet."""
        return any(hmac.compare_digest(link.encode(), known.encode()) for known in self.links)

    def enter(self, link: str, who: str) -> str | None:
        """Use a link up; the secret that the phone keeps, None if the link is none or was used."""
        if not self.is_link(link) or len(self.phones) >= MOST_PHONES:
            return None
        self.links.clear()
        secret = secrets.token_urlsafe(32)
        self.phones.add(secret)
        self.used(who)
        return secret

    def _known(self, headers: Headers) -> bool:
        try:
            cookie = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
        except CookieError:
            return False
        return cookie is not None and any(hmac.compare_digest(cookie.value.encode(), p.encode()) for p in self.phones)


def from_here(scope: Scope) -> bool:
    """Whether a request comes from this machine, to an address that only this machine can use."""
    try:
        sender, receiver = (ip_address(scope[end][0]) for end in ("client", "server"))
    except (KeyError, TypeError, ValueError):
        return False
    return sender.is_loopback and receiver.is_loopback


def host_names(addresses: Iterable[str], port: int) -> frozenset[str]:
    """What may stand in ``Host`` for a server at these addresses."""
    names = {f"[{a}]" if ":" in a else a for a in addresses}
    return frozenset(f"{name}:{port}" for name in names) | (names if port == 80 else frozenset())
