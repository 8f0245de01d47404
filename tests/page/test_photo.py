"""A photograph dropped on a trace: looked at, set right by mouse and by finger, taken; and what is no photograph."""

import json
import os
import re
import socket
import threading
import time
from dataclasses import replace
from functools import cache
from io import BytesIO

import httpx
import numpy as np
import pytest
from PIL import Image

from plategen.page.access import MOST_SENDING
from plategen.page.photos import MOST_OPEN, shown_name
from plategen.photo.picture import MOST_BYTES
from plategen.rail.reading import read_trace
from tests.page.conftest import serving
from tests.page.test_limits import raw
from tests.photo.test_pattern import FRONT, X, Y
from tests.photo.test_spoilt import SKIN, at_px, blotched
from tests.support.access import broken
from tests.support.photo_scene import packed, photographed

cv2 = pytest.importorskip("cv2", reason="pip install 'plategen[photo]' brings it")


@cache
def front() -> bytes:
    return photographed(replace(FRONT, quality=85))


@cache
def under_a_thumb() -> bytes:
    return packed(blotched(at_px(210.0, 100.0), 45, SKIN), 85)


def opened(served, file: str = "front.csv") -> str:
    return served.post("/photo/open", {"file": file}).json()["id"]


def sent(served, of: str, data: bytes, name: str = "front.jpg", kind: str = "image/jpeg") -> httpx.Response:
    with served.client() as client:
        query = {"id": of, "name": name}
        return client.post("/photo/add", params=query, content=data, headers={"content-type": kind})


def measured(served, of: str, **told) -> httpx.Response:
    return served.post("/photo/read", {"id": of, "thickness": "3 mm", "bar": "100 mm", **told})


def trace(served, file: str = "front.csv") -> str:
    """The trace as the page would save it."""
    version = served.version()
    assert served.post("/save", {"seen": version}).status_code == 200
    return (served.folder / file).read_text()


def away(text: str, but: tuple[float, float] = (0.0, 0.0)) -> np.ndarray:
    """How far each reading lies from the rail, but those between two stations."""
    trace = read_trace(text, "front.csv", units="in")
    points = np.array([p for r in trace.readings if not but[0] < (p := r.point).real < but[1]])
    fine = np.linspace(X[0], X[-1], 6001)
    return np.abs(points[:, None] - (fine + 1j * np.interp(fine, X, Y))[None, :]).min(1)


def test_a_photograph_becomes_the_trace_with_its_reading_error(served):
    of = opened(served)
    assert sent(served, of, front()).json() == {"pages": 2}
    told = measured(served, of).json()
    assert told["refused"] == ""
    assert told["readings"] > 40
    with served.client() as client:
        picture = client.get(told["picture"])
    assert picture.headers["content-type"] == "image/jpeg"
    assert "content-security-policy" in picture.headers
    assert Image.open(BytesIO(picture.content)).size[0] == pytest.approx(1600, abs=2)
    assert (served.post("/photo/take", {"id": of, "number": told["number"] - 1})).status_code == 409
    assert (served.post("/photo/take", {"id": of, "number": told["number"]})).status_code == 200
    text = trace(served)
    assert re.search(r"^# read_error: 0\.\d+ in$", text, re.M), text[:200]
    assert away(text).max() < 0.45
    assert measured(served, of).status_code == 409, "put away once it was taken"
    served.post("/undo", {})
    assert "read_error" not in trace(served), "one step of undo"


def test_what_another_tab_typed_meanwhile_is_not_written_over_unseen(served):
    of = opened(served)
    sent(served, of, front())
    number = measured(served, of).json()["number"]
    edit = {"do": "add-reading", "file": "front.csv", "cells": ["19", "3", ""]}
    assert served.post("/change", {"edits": [edit]}).status_code == 200
    assert served.post("/photo/take", {"id": of, "number": number}).status_code == 409
    assert served.post("/photo/take", {"id": of, "number": number}).status_code == 200


def bomb() -> bytes:
    data = BytesIO()
    Image.new("L", (9000, 9000)).save(data, "PNG")
    return data.getvalue()


@pytest.mark.parametrize(
    ("data", "kind", "status", "words"),
    [
        (lambda: b"station,offset\n", "image/jpeg", 422, "not a photograph"),
        (bomb, "image/png", 422, "too large|too many"),
        (lambda: b"\x00\x00\x00\x18ftypheic" + bytes(100), "image/heic", 422, "JPEG"),
        (lambda: front()[:9000], "image/jpeg", 422, "not a photograph"),
        (lambda: packed(np.full((1100, 1500, 3), 90, np.uint8)), "image/jpeg", 422, "no printed page"),
        (lambda: b"", "application/octet-stream", 422, "not a photograph"),
        (front, "text/html", 415, "photograph"),
    ],
)
def test_what_is_no_photograph_is_refused_in_one_line(standing, data, kind, status, words):
    of = opened(standing)
    answer = sent(standing, of, data(), kind=kind)
    assert answer.status_code == status
    assert re.search(words, answer.text), answer.text
    assert "Traceback" not in answer.text
    assert len(answer.text.strip().splitlines()) == 1
    assert measured(standing, of).status_code == 422, "there is nothing to measure"


def test_a_photograph_that_is_too_large_is_turned_away_and_a_change_is_no_larger_than_before(standing):
    line = f"Host: 127.0.0.1:{standing.port}\r\nContent-Type: image/jpeg\r\n"
    head = f"POST /photo/add?id=x HTTP/1.1\r\n{line}Content-Length: {10**10}\r\n\r\n".encode()
    assert raw(standing, head + bytes(MOST_BYTES + 200_000), wait=60.0).startswith(b"HTTP/1.1 413")
    for path in ("/photo/read", "/photo/open"):
        head = f"POST {path} HTTP/1.1\r\n{line}Content-Length: 400000\r\n\r\n".encode()
        assert raw(standing, head + bytes(400_000)).startswith(b"HTTP/1.1 413")


def test_no_more_are_sent_at_once_than_memory_holds(served):
    line = f"POST /photo/add?id=x HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\nContent-Type: image/jpeg\r\n"
    slow = [socket.create_connection(("127.0.0.1", served.port), 20) for _ in range(MOST_SENDING)]
    for sock in slow:
        sock.sendall(f"{line}Content-Length: 900\r\n\r\nx".encode())
    assert served.version() == 1
    assert sent(served, "x", b"x").status_code == 503
    for sock in slow:
        sock.close()
    assert served.version() == 1
    assert sent(served, "x", b"x").status_code == 409, "those that went make room"


def test_strangers_traces_and_names_are_refused(served):
    for file in ("../job.toml", "job.toml", "elsewhere.csv", "/etc/passwd"):
        assert served.post("/photo/open", {"file": file}).status_code == 422
    assert sent(served, "no such", front()).status_code == 409
    assert measured(served, "no such").status_code == 409
    with served.client() as client:
        assert client.get("/photo/picture?id=x&n=1").status_code == 404
        other = {"origin": "http://elsewhere.example", "content-type": "image/jpeg"}
        assert client.post("/photo/add?id=x", content=b"x", headers=other).status_code == 403
    of = opened(served)
    assert sent(served, of, front(), name="../../x\n1,2\n.jpg").status_code == 200
    number = measured(served, of).json()["number"]
    assert served.post("/photo/take", {"id": of, "number": number}).status_code == 200
    assert trace(served).splitlines()[0] == "# read off x1,2.jpg"
    assert shown_name("a\\b\\c.jpg") == "c.jpg"


def test_the_oldest_photographs_make_room(standing):
    names = [opened(standing) for _ in range(MOST_OPEN + 1)]
    assert sent(standing, names[0], b"x").status_code == 409
    assert sent(standing, names[-1], b"x").status_code == 422
    standing.post("/photo/close", {"id": names[-1]})
    assert sent(standing, names[-1], b"x").status_code == 409


def test_without_the_library_the_page_says_what_to_install(job, tmp_path, monkeypatch):
    (tmp_path / "cv2.py").write_text("raise ModuleNotFoundError('No module named cv2', name='cv2')\n")
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")]))
    with serving(job) as page:
        answer = page.post("/photo/open", {"file": "front.csv"})
        assert answer.status_code == 422
        assert "plategen[photo]" in answer.json()["words"]
        assert len(answer.json()["words"].splitlines()) == 1
        assert page.post("/change", {"edits": []}).status_code == 200


def test_the_page_answers_while_a_photograph_is_measured(served):
    of = opened(served)
    sent(served, of, front())
    took: list[float] = []
    worker = threading.Thread(target=lambda: measured(served, of))
    worker.start()
    while worker.is_alive():
        begun = time.perf_counter()
        served.version()
        took.append(time.perf_counter() - begun)
        time.sleep(0.05)
    assert len(took) > 3, "it was measured beside the page"
    assert max(took) < 3.0


# in a browser


def _ready(page, served, data: bytes, tmp_path) -> None:
    page.goto(served.url)
    page.get_by_role("button", name="Read front.csv off a photograph").click()
    page.locator("#photo-busy").wait_for(state="hidden")
    (tmp_path / "front.jpg").write_bytes(data)
    page.locator("#photo-choose").set_input_files(str(tmp_path / "front.jpg"))
    page.get_by_text("front.jpg: 2 pages seen").wait_for()
    page.locator("#photo-thickness").fill("3 mm")
    page.locator("#photo-bar").fill("100 mm")
    page.get_by_role("button", name="Measure", exact=True).click()
    page.locator("#photo-busy").wait_for()
    _settled(page)


def _settled(page) -> None:
    page.locator("#photo-picture [data-end]").first.wait_for(timeout=60_000)
    page.locator("#photo-busy").wait_for(state="hidden", timeout=60_000)


def _at(page, station_mm: float, offset_mm: float) -> tuple[float, float]:
    """Where a point of the pattern is on the screen."""
    return tuple(
        page.evaluate(
            """([u, v]) => { const p = new DOMPoint(u, -v)
                .matrixTransform(document.querySelector("#photo-picture").getScreenCTM()); return [p.x, p.y]; }""",
            [station_mm, offset_mm],
        )
    )


def _height(station_mm: float) -> float:
    return float(np.interp(station_mm, X, Y))


def _lines(page) -> str:
    return page.locator("#photo-lines").inner_text()


def _rows(served) -> dict[str, list]:
    return json.loads(served.post("/state", {}).json()["parts"]["fields"]["text"])["fields"]


def test_by_mouse_a_photograph_is_dropped_set_right_and_taken(browser, served, tmp_path):
    page = browser.new_page(viewport={"width": 1400, "height": 1000})
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(served.url)
    page.evaluate(
        """(bytes) => { const data = new DataTransfer();
            data.items.add(new File([new Uint8Array(bytes)], "front.jpg", { type: "image/jpeg" }));
            document.querySelector("[data-drop='front.csv']").dispatchEvent(
                new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true })); }""",
        list(under_a_thumb()),
    )
    page.get_by_text("front.jpg: 2 pages seen").wait_for(timeout=60_000)
    page.locator("#photo-thickness").fill("3 mm")
    page.locator("#photo-thickness").press("Enter")
    _settled(page)
    assert "cannot be told" in _lines(page)
    whole = int(re.match(r"(\d+) readings", _lines(page))[1])

    # a stretch is left out by drawing along it
    page.get_by_role("button", name="Leave a stretch out").click()
    page.mouse.move(*_at(page, 60.0, _height(60.0)))
    page.mouse.down()
    page.mouse.move(*_at(page, 110.0, _height(110.0)), steps=6)
    page.mouse.up()
    page.get_by_text("left out by hand").wait_for(timeout=60_000)
    assert int(re.match(r"(\d+) readings", _lines(page))[1]) < whole

    # and put back by undo; what the program doubted is put back by two clicks
    page.locator("#photo-undo").click()
    page.get_by_text("left out by hand").wait_for(state="detached", timeout=60_000)
    _settled(page)
    page.get_by_role("button", name="Put a stretch back").click()
    page.mouse.click(*_at(page, 170.0, _height(170.0)))
    page.get_by_text("Now its other end").wait_for()
    page.mouse.click(*_at(page, 245.0, _height(245.0)))
    page.get_by_text("put back by hand").wait_for(timeout=60_000)
    _settled(page)

    # an end is dragged
    begin = page.locator("[data-end=begin] .reach").bounding_box()
    page.mouse.move(begin["x"] + begin["width"] / 2, begin["y"] + begin["height"] / 2)
    page.mouse.down()
    page.mouse.move(*_at(page, 40.0, _height(40.0)), steps=5)
    page.mouse.up()
    page.get_by_text("were set by hand").wait_for(timeout=60_000)

    # the straight edge is chosen anew, in vain where there is none
    _settled(page)
    page.get_by_role("button", name="Straight edge").click()
    page.mouse.click(*_at(page, 60.0, _height(60.0)))
    page.mouse.click(*_at(page, 260.0, _height(260.0)))
    page.locator("#photo-says", has_text="no straight side").wait_for(timeout=60_000)

    page.get_by_role("button", name="Take these readings").click()
    page.locator("#photo").wait_for(state="hidden")
    page.locator(".saved.not").wait_for()
    stations = [float(text) for name, (text, _) in _rows(served).items() if re.match(r"front\.csv#\d+:0", name)]
    assert min(stations) * 25.4 == pytest.approx(40.0, abs=7.0)
    text = trace(served)
    assert away(text, but=(160.0, 255.0)).max() < 0.45, "the thumb's edge was put back there"
    assert "by hand" in text
    assert errors == []
    page.close()


def test_by_finger_at_390_px(browser, served, tmp_path):
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    _ready(page, served, front(), tmp_path)
    client = context.new_cdp_session(page)

    def touch(kind: str, *at: tuple[float, float]) -> None:
        client.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in at]})

    assert page.evaluate("document.querySelector('#photo').scrollWidth <= innerWidth")
    assert page.locator("#photo-camera").get_attribute("capture") == "environment"
    page.get_by_role("button", name="Leave a stretch out").tap()
    page.touchscreen.tap(*_at(page, 100.0, _height(100.0)))
    page.get_by_text("Now its other end").wait_for()
    page.touchscreen.tap(*_at(page, 160.0, _height(160.0)))
    page.get_by_text("left out by hand").wait_for(timeout=60_000)
    _settled(page)
    page.locator("#photo-picture").evaluate("picture => picture.scrollIntoView({ block: 'center' })")
    if shots := os.environ.get("PLATEGEN_SHOTS"):
        page.screenshot(path=f"{shots}/photo-390.png")
    end = page.locator("[data-end=end] .reach").bounding_box()
    assert end["width"] >= 40, "as large as a finger"
    at = end["x"] + end["width"] / 2, end["y"] + end["height"] / 2
    touch("touchStart", at)
    for station in (280.0, 265.0, 250.0):
        touch("touchMove", _at(page, station, _height(station)))
    touch("touchEnd")
    page.get_by_text("were set by hand").wait_for(timeout=60_000)
    _settled(page)
    page.get_by_role("button", name="Take these readings").tap()
    page.locator("#photo").wait_for(state="hidden")
    page.locator(".saved.not").wait_for()
    text = trace(served)
    rows = [float(line.split(",")[0]) * 25.4 for line in text.splitlines() if re.match(r"[\d.]+,", line)]
    assert max(rows) == pytest.approx(250.0, abs=8.0)
    assert not [x for x in rows if 103.0 < x < 157.0]
    assert away(text).max() < 0.45
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_putting_a_photograph_away_changes_nothing_and_all_can_use_it(browser, served, tmp_path, scheme):
    page = browser.new_page(viewport={"width": 1000, "height": 800}, color_scheme=scheme, bypass_csp=True)
    before = _rows(served)
    _ready(page, served, front(), tmp_path)
    assert broken(page, "#photo") == []
    page.keyboard.press("Escape")
    page.locator("#photo").wait_for(state="hidden")
    assert _rows(served) == before
    page.close()
