"""Who is let in, told from outside: names, origins, phones with links, and nothing outside the job's folder."""

import re
import socket

import pytest

from plategen.page.access import Access, from_here, host_names
from plategen.page.serve import network_address
from tests.page.conftest import serving


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:{port}", "", "0.0.0.0:{port}"]
)
def test_a_foreign_host_is_sent_away(standing, host):
    with standing.client() as client:
        answer = client.get("/", headers={"host": host.format(port=standing.port)})
    assert answer.status_code == 421
    assert "default-src 'none'" in answer.headers["content-security-policy"]


def test_two_hosts_or_none_are_sent_away(standing):
    for head in (b"", b"Host: 127.0.0.1:%d\r\nHost: evil.example\r\n" % standing.port):
        with socket.create_connection(("127.0.0.1", standing.port), 10) as sock:
            sock.sendall(b"GET / HTTP/1.1\r\n" + head + b"\r\n")
            assert re.match(rb"HTTP/1.1 4(00|21)", sock.recv(4000))


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1"])
@pytest.mark.parametrize(
    "path", ["/change", "/save", "/undo", "/theirs", "/state", "/photo/open", "/photo/read", "/photo/take"]
)
def test_a_foreign_origin_is_refused_and_changes_nothing(standing, origin, path):
    before, text = standing.version(), (standing.folder / "job.toml").read_bytes()
    with standing.client() as client:
        told = (
            {"edits": [{"do": "set", "path": "title", "text": "taken over"}]} if path == "/change" else {"seen": before}
        )
        answer = client.post(path, json=told, headers={"origin": origin.format(port=standing.port)})
    assert answer.status_code == 403
    assert standing.version() == before
    assert (standing.folder / "job.toml").read_bytes() == text


def test_a_foreign_page_cannot_send_forms_or_fetch_files(standing):
    with standing.client() as client:
        form = client.post("/undo", content="{}", headers={"content-type": "text/plain"})
        files = client.get("/files.zip", headers={"sec-fetch-site": "cross-site"})
    assert form.status_code == 415
    assert files.status_code == 403


@pytest.mark.parametrize(
    "path",
    ["/files/..%2f..%2fetc%2fpasswd", "/files/%2e%2e/job.toml", "/files/job.toml", "/static/../app.py",
     "/static/%2e%2e%2fapp.py", "/static/page.html", "/files/front.csv", "/files/",
     "/%00", "/files/ear_near.dxf%00.txt", "/job.toml", "/nothing"],
)  # fmt: skip
def test_path_tricks_find_nothing(standing, path):
    with socket.create_connection(("127.0.0.1", standing.port), 60) as sock:  # a client library would tidy the path
        sock.sendall(f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{standing.port}\r\nConnection: close\r\n\r\n".encode())
        answer = b""
        while part := sock.recv(65536):
            answer += part
    assert re.match(rb"HTTP/1.1 404", answer), answer[:200]
    assert b"root:" not in answer
    assert b"inline_offset" not in answer


def test_every_answer_keeps_the_browser_on_a_short_lead(standing):
    with standing.client() as client:
        answers = [client.get("/"), client.get("/static/page.js"), client.get("/nothing"), client.put("/")]
    assert [a.status_code for a in answers] == [200, 200, 404, 405]
    for answer in answers:
        policy = answer.headers["content-security-policy"]
        assert "script-src 'self';" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert "access-control-allow-origin" not in answer.headers
        assert "server" not in answer.headers


def test_it_listens_on_this_machine_only(standing):
    network = network_address()
    if network is None:
        pytest.skip("this machine is on no network")
    with pytest.raises(OSError, match=r"refused|timed out"):
        socket.create_connection((network, standing.port), 2).close()


def test_a_phone_comes_in_by_a_link_that_works_once(job):
    network = network_address()
    if network is None:
        pytest.skip("this machine is on no network")
    import httpx

    with serving(job, "--share") as page:
        link = _link(page.process)
        base = f"http://{network}:{page.port}"
        with httpx.Client(base_url=base, timeout=30, trust_env=False) as phone:
            assert phone.get("/").status_code == 403, "without the link"
            assert phone.get("/enter/guessed").status_code == 403
            assert phone.get(link).status_code == 200, "a look at the link does not use it up"
            assert phone.post(link, headers={"origin": "http://evil.example"}).status_code == 403
            answer = phone.post(link, headers={"origin": base})
            assert answer.status_code == 303
            cookie = answer.headers["set-cookie"].lower()
            assert "httponly" in cookie
            assert "samesite=strict" in cookie
            assert phone.get("/").status_code == 200
            assert phone.post("/state", json={}, headers={"origin": base}).status_code == 200
        with httpx.Client(base_url=base, timeout=30, trust_env=False) as other:
            assert other.post(link, headers={"origin": base}).status_code == 403, "used up"
            assert other.get("/", headers={"cookie": "plategen-page=guessed"}).status_code == 403
            assert other.get(_link(page.process)).status_code == 200, "the next link is told at once"
        assert page.version() >= 1, "this machine needs no link"


def _link(process) -> str:
    """The path of the next link that is told."""
    for line in process.stdout:
        if found := re.search(r"http://[\d.]+:\d+(/enter/\S+)", line):
            return found[1]
    raise AssertionError("no link was told")


def test_the_door_by_itself():
    door = Access(host_names(("127.0.0.1", "::1"), 80))
    assert door.hosts == {"127.0.0.1:80", "[::1]:80", "127.0.0.1", "[::1]"}
    first = door.give_link()
    second = door.give_link()
    assert not door.is_link(first), "only the latest link opens"
    assert door.enter(second, "phone") is not None
    assert door.enter(second, "phone") is None
    assert not from_here({"client": ("192.0.2.7", 1), "server": ("127.0.0.1", 2)})
    assert not from_here({"client": None, "server": ("127.0.0.1", 2)})
