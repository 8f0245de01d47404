"""The server: on this machine alone, or on the shop's network when asked, with a link for each phone."""

import contextlib
import logging
import socket
from collections.abc import Callable

import uvicorn

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.page.access import Access, ImpatientProtocol, host_names
from plategen.page.desk import Desk, application
from plategen.page.disk import Folder
from plategen.page.session import Session
from plategen.page.shelf import Shelf

PORT = 8731
TRIED_PORTS = 20
HERE = ("127.0.0.1", "localhost")
MOST_CONNECTIONS = 400
"""The first port, how many are tried from there, this machine's names, and connections held at once."""


def serve(
    shelf: Shelf,
    folder: Folder | None,
    *,
    units: Units,
    port: int | None,
    share: bool,
    say: Callable[[str], None],
    drawn: Callable[[str], str] | None = None,
) -> None:
    """Serve a job, or the shelf's first screen, until interrupted.

    It is served at a port, or at the first free one from :data:`PORT`; ``units`` are those a new job is offered in.

    With ``share`` on the shop's network as well, for phones that are given a link. ``say`` tells whoever started it;
    ``drawn`` makes a picture of a link, where that can be shown.

    Raises:
        Refusal: The job cannot be read, or the port is taken.
    """
    session = None if folder is None else Session(folder)
    listening = _listen(port, "0.0.0.0" if share else HERE[0])
    own = listening.getsockname()[1]
    network = network_address() if share else None
    access = Access(host_names((*HERE, *((network,) if network else ())), own))
    desk = Desk(shelf, access, session, units)
    shown = shelf.path if folder is None else folder.path
    say(f"{shown}: open http://{HERE[0]}:{own}/ in a browser; Ctrl-C ends it")
    if session is not None and session.unsaved:
        say("what was not saved last time is on the page again; Undo takes it back")
    if share:
        _share(access, network, own, say, drawn)
    logging.getLogger("uvicorn.error").addFilter(lambda record: record.levelno >= logging.CRITICAL)
    config = uvicorn.Config(
        application(desk),
        http=ImpatientProtocol,
        ws="none",
        access_log=False,
        log_level="critical",
        timeout_keep_alive=20,
        timeout_graceful_shutdown=2,
        limit_concurrency=MOST_CONNECTIONS,
        server_header=False,
        proxy_headers=False,
    )
    with contextlib.suppress(KeyboardInterrupt), contextlib.closing(listening):
        uvicorn.Server(config).run(sockets=[listening])
    if desk.session is not None and desk.session.unsaved:
        names = ", ".join(desk.session.unsaved)
        say(f"{desk.session.folder.path.name}: not saved: {names}; kept for the next `plategen page` on this folder")


def network_address() -> str | None:
    """This machine's address on the network it would reach others by; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, contextlib.suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # an address set aside for documentation, RFC 5737
        address: str = probe.getsockname()[0]
        return None if address.startswith("127.") or address == "0.0.0.0" else address
    return None


def _share(
    access: Access, network: str | None, port: int, say: Callable[[str], None], drawn: Callable[[str], str] | None
) -> None:
    if network is None:
        raise Refusal("this machine is on no network that a phone could reach; leave it out", "--share")

    def give() -> None:
        link = f"http://{network}:{port}/enter/{access.give_link()}"
        say(f"for one phone on this network: {link}")
        if drawn is not None:
            say("or hold its camera to this:")
            say(drawn(link))

    def used(who: str) -> None:
        say(f"that link was used by {who}; the next one:")
        give()

    access.used = used
    say("Whoever is on this network can see what is sent; share only in a shop that you trust.")
    give()


def _listen(port: int | None, address: str) -> socket.socket:
    for tried in (port,) if port is not None else range(PORT, PORT + TRIED_PORTS):
        # told its protocol, or asyncio lets an answer's body wait 40 ms for the browser to confirm its headers
        sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            sock.bind((address, tried))
            sock.listen(512)
        except OSError:
            sock.close()
            continue
        return sock
    raise Refusal(f"port {port or PORT} is taken; another number is right", "--port")
