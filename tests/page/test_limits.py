"""Crowds, slow ones, rude ones: each gets the right answer, and the page goes on."""

import asyncio
import json
import socket
import time

import httpx
import pytest

from plategen.page import access
from plategen.page.access import MOST_BODY
from plategen.page.app import MOST_LISTENERS


def raw(served, data: bytes, *, wait: float = 20.0) -> bytes:
    """What comes back for bytes sent as they are."""
    with socket.create_connection(("127.0.0.1", served.port), wait) as sock:
        sock.sendall(data)
        answer = b""
        while part := sock.recv(65536):
            answer += part
            if b"\r\n\r\n" in answer and answer.startswith((b"HTTP/1.1 4", b"HTTP/1.1 5")):
                break
        return answer


def head(served, path: str = "/change", more: str = "") -> bytes:
    lines = f"Host: 127.0.0.1:{served.port}\r\nContent-Type: application/json\r\n{more}"
    return f"POST {path} HTTP/1.1\r\n{lines}\r\n".encode()


def test_two_hundred_requests_at_once(served):
    async def run():
        bounds = httpx.Limits(max_connections=200)
        async with httpx.AsyncClient(base_url=served.url, timeout=90, limits=bounds, trust_env=False) as client:
            changes = [
                client.post("/change", json={"edits": [{"do": "set", "path": "title", "text": f"job {i}"}]})
                for i in range(60)
            ]
            shells = [client.get("/") for _ in range(70)]
            states = [client.post("/state", json={}) for _ in range(70)]
            return await asyncio.gather(*changes, *shells, *states)

    answers = asyncio.run(run())
    assert {a.status_code for a in answers} == {200}
    titles = json.loads(served.post("/state", {}).json()["parts"]["fields"]["text"])["fields"]["title"]
    assert titles[0].startswith("job ")
    for _ in range(60):
        served.post("/undo", {})
    fields = json.loads(served.post("/state", {}).json()["parts"]["fields"]["text"])["fields"]
    assert fields["title"][0] == "Sprayer steering cylinder, left rail", "all sixty changes were there to undo"


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", 400), (b"{", 400), (b"\xff\xfe\x00", 400), (b"[" * 100_000, 422), (b"[]", 422), (b"null", 422),
        (b'{"edits": [{"do": "format", "path": "c:"}]}', 422), (b'{"edits": 7}', 422), (b'{"what": 1}', 422),
        (b'{"edits": [{"do": "set", "path": "", "text": "1"}]}', 422),
        (b'{"edits": [{"do": "set", "path": "__class__", "text": "1"}]}', 422),
        (b'{"edits": [{"do": "set", "path": "cylinder.bore.x.y", "text": "1"}]}', 422),
        (b'{"edits": [{"do": "set", "path": "mount.foot[9999]", "text": "1"}]}', 422),
        (b'{"edits": [{"do": "set", "path": "title", "text": "a\\u0000b"}]}', 422),
        (b'{"edits": [{"do": "set", "path": "title", "text": "' + b"x" * 400 + b'"}]}', 422),
        (b'{"edits": [{"do": "drag", "what": "pin", "u": 1e300, "v": 0}]}', 422),
        (b'{"edits": [{"do": "drag", "what": "reading", "u": 1, "v": 0, "file": "../x", "line": 3}]}', 422),
        (b'{"edits": [{"do": "reading", "file": "../../etc/passwd", "line": 1, "cells": ["", "", ""]}]}', 422),
        (b'{"edits": [{"do": "reading", "file": "front.csv", "line": -1, "cells": ["", "", ""]}]}', 409),
        (b'{"edits": [{"do": "add", "path": "title"}]}', 422),
        (b'{"edits": [{"do": "add", "path": "cylinder"}]}', 409),
        (b'{"edits": [{"do": "set", "path": "cylinder", "text": "1"}]}', 422),
        (b'{"edits": [{"do": "set", "path": "rail.trace", "text": ""}]}', 422),
        (b'{"edits": [{"do": "remove", "path": "rail.trace[77]"}]}', 422),
        (b'{"edits": [{"do": "set", "path": "cylinder.bore", "text": "3", "was": "7"}]}', 409),
    ],
)  # fmt: skip
def test_malformed_and_impossible_bodies_get_the_right_status(standing, body, status):
    with standing.client() as client:
        answer = client.post("/change", content=body, headers={"content-type": "application/json"})
        assert answer.status_code == status, answer.text[:300]
        assert "Traceback" not in answer.text
        assert client.post("/state", json={}).status_code == 200


def test_huge_bodies_are_turned_away_unread(standing):
    told = raw(standing, head(standing, more=f"Content-Length: {10**12}\r\n") + b"x" * (MOST_BODY + 70_000))
    assert told.startswith(b"HTTP/1.1 413")
    endless = head(standing, more="Transfer-Encoding: chunked\r\n") + b"10000\r\n" + b"y" * 0x10000 + b"\r\n"
    told = raw(standing, endless + 6 * (b"10000\r\n" + b"y" * 0x10000 + b"\r\n"))
    assert told.startswith(b"HTTP/1.1 413")
    assert standing.version() == 1


@pytest.mark.parametrize(
    "data",
    [b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc", b"GET\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n",
     b"\r\n" * 50 + b"nonsense\r\n\r\n",
     b"POST /change HTTP/1.1\r\nContent-Length: -5\r\n\r\n", b"GET / HTTP/1.1\r\nX: " + b"a" * 100_000 + b"\r\n\r\n"],
)  # fmt: skip
def test_what_is_no_request_is_refused(standing, data):
    assert raw(standing, data).startswith(b"HTTP/1.1 4")
    assert standing.version() == 1


def test_slow_and_dropped_clients_hold_nobody_up(served):
    idle = [socket.create_connection(("127.0.0.1", served.port), 20) for _ in range(80)]
    try:
        for i, sock in enumerate(idle):
            if i % 3 == 0:
                sock.sendall(b"GET / HTTP/1.1\r\nHost: 127")  # a head that never ends
            elif i % 3 == 1:
                sock.sendall(head(served, more="Content-Length: 500\r\n") + b"{")  # a body that never ends
            else:
                sock.sendall(f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\n\r\n".encode())  # never reads
        begun = time.perf_counter()
        assert served.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]}).status_code == 200
        assert time.perf_counter() - begun < 10.0
        for sock in idle[::2]:
            sock.close()  # in the middle of everything
        assert served.version() in (2, 3), "the change, and perhaps by now what its quick redraw left out"
        patient = idle[3]  # one that never ended its head
        patient.settimeout(access.HEAD_TIME_S + 10.0)
        assert patient.recv(100) == b"", "hung up on"
        late = idle[1]
        late.settimeout(access.BODY_TIME_S + 10.0)
        assert late.recv(100).startswith(b"HTTP/1.1 408")
    finally:
        for sock in idle:
            sock.close()


def test_an_answer_does_not_wait_for_its_headers_to_be_confirmed(standing):
    """Before, each body came 40 ms after its headers, so that a drag was drawn nine times a second.

    A receiver may delay what confirms a segment (RFC 1122, 4.2.3.2: by less than half a second; Linux takes 40 ms), and
    by Nagle's algorithm (RFC 896) a small second segment waits for that, unless the socket is told otherwise.
    """
    waits = []
    with socket.create_connection(("127.0.0.1", standing.port), 20) as sock:
        asked = head(standing, "/state", "Accept-Encoding: gzip\r\nContent-Length: 2\r\n") + b"{}"
        for _ in range(12):  # the first ones may be confirmed at once
            sock.sendall(asked)
            told = sock.recv(65536)
            begun = time.perf_counter()
            headers, _, body = told.partition(b"\r\n\r\n")
            length = int(headers.lower().partition(b"content-length:")[2].split()[0])
            while len(body) < length:
                body += sock.recv(65536)
            waits.append(time.perf_counter() - begun)
    assert min(waits[6:]) < 0.02, waits


def test_news_reach_every_tab_and_dropped_ones_are_forgotten(served):
    ends = [socket.create_connection(("127.0.0.1", served.port), 20) for _ in range(30)]
    for sock in ends:
        sock.sendall(f"GET /news?seen=1 HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\n\r\n".encode())
    for sock in ends:
        _until(sock, b"retry")
    for sock in ends[:20]:
        sock.close()
    served.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
    for sock in ends[20:]:
        _until(sock, b"data: 2")
        sock.close()
    with served.client() as client:
        assert client.get("/news?seen=x").status_code == 400


def test_no_more_listen_than_are_let_in(served):
    """Before, of seventy that asked at once all were let in."""
    ends = [socket.create_connection(("127.0.0.1", served.port), 20) for _ in range(70)]
    for sock in ends:
        sock.sendall(f"GET /news?seen=1 HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\n\r\n".encode())
    told = [sock.recv(100)[9:12] for sock in ends]
    assert (told.count(b"200"), told.count(b"503")) == (MOST_LISTENERS, 70 - MOST_LISTENERS)
    for sock in ends:
        sock.close()
    served.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
    with socket.create_connection(("127.0.0.1", served.port), 20) as late:
        late.sendall(f"GET /news?seen=1 HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\n\r\n".encode())
        assert late.recv(100)[9:12] == b"200", "those that went make room"


def _until(sock: socket.socket, words: bytes) -> None:
    told = b""
    while words not in told:
        part = sock.recv(4000)
        assert part, told
        told += part
