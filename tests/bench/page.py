"""The page in a browser: what it weighs and takes to open, how fast it follows a hand, whether it keeps what it drew.

``python -m tests.bench page [EDITS]``. Wall times want a quiet machine; the processor time of the server and of the
page's own thread beside them says what a busy one would hide. 2,000 edits take some six minutes; each hundred is told.
"""

import asyncio
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx

from tests.conftest import CHROMIUM, FLAGS
from tests.page.conftest import Served, serving
from tests.support.every_example import PROFILES

OPEN_MS, OPEN_BYTES, A_SECOND, GROWN_MB, SLOWEST_S = 300, 250_000, 20, 5.0, 2.0
"""What is asked: opening, its weight, redraws while dragging, heap after the edits, the slowest of 200 requests."""

EDITS, PIECE = 2000, 100
"""How many edits, and after how many the heap is looked at."""


@contextmanager
def opened(profile: str) -> Iterator[tuple[Served, Any]]:
    """An example served, and a browser."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / profile
        shutil.copytree(PROFILES / profile, folder)
        with serving(folder) as served, sync_playwright() as p:
            browser = p.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
            yield served, browser
            browser.close()


def opening(served: Served, browser: Any, times: int = 4) -> tuple[float, float, int]:
    """Least wall and least processor time until the page can be worked with, ms, and the bytes that came for it."""
    walls, taken, weight = [], [], 0
    for _ in range(times):
        context = browser.new_context(viewport={"width": 1440, "height": 900})
        page = context.new_page()
        clock = Clock(served, page)
        page.goto(served.url)
        page.wait_for_function("document.querySelector('svg.live') && document.readyState === 'complete'")
        taken.append(clock.ms())
        told = page.evaluate(
            """(() => { const [whole] = performance.getEntriesByType('navigation');
               const all = [whole, ...performance.getEntriesByType('resource')];
               return [whole.domContentLoadedEventEnd, all.reduce((sum, e) => sum + e.transferSize, 0)]; })()"""
        )
        walls.append(told[0])
        weight = round(told[1])
        context.close()
    return min(walls), min(taken), weight


class Clock:
    """Processor time of the server and of a page's own thread from now on."""

    def __init__(self, served: Served, page: Any) -> None:
        self._served, self._client = served, page.context.new_cdp_session(page)
        self._client.send("Performance.enable", {"timeDomain": "threadTicks"})
        self._begun = self._now_ms()

    def ms(self) -> float:
        """How much went by, ms."""
        return self._now_ms() - self._begun

    def _now_ms(self) -> float:
        told = {m["name"]: m["value"] for m in self._client.send("Performance.getMetrics")["metrics"]}
        words = Path(f"/proc/{self._served.process.pid}/stat").read_text().rpartition(")")[2].split()
        ticks = int(words[11]) + int(words[12])
        return 1e3 * (told["TaskDuration"] + ticks / os.sysconf("SC_CLK_TCK"))


def dragging(served: Served, browser: Any, redraws: int = 30) -> tuple[float, float]:
    """How often a second the drawing is drawn anew while the pin is dragged, and the processor time of each, ms."""
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(served.url)
    box = page.locator('[data-hold="pin"] .knob').bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.evaluate(
        """() => { window.redraws = 0; new MutationObserver(() => { window.redraws++; }).observe(
           document.querySelector('[data-part=drawing]'), { attributes: true, attributeFilter: ['data-mark'] }); }"""
    )
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 12, y + 6)
    clock, begun, step = Clock(served, page), time.perf_counter(), 0
    while (drawn := page.evaluate("window.redraws")) < redraws and time.perf_counter() - begun < 60.0:
        step += 1
        page.mouse.move(x + 12 + 2 * step % 90, y + 6 + step % 7)
        page.wait_for_timeout(8)  # as often as a mouse says where it is
    a_second, each = drawn / (time.perf_counter() - begun), clock.ms() / max(drawn, 1)
    page.keyboard.press("Escape")
    page.mouse.up()
    page.close()
    return a_second, each


def kept(served: Served, browser: Any, edits: int) -> tuple[float, list[int]]:
    """Growth of the heap, MB, over so many edits with the views in space and of the steering open; listeners."""
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(served.url)
    client = page.context.new_cdp_session(page)
    client.send("Performance.enable")
    for view in ("solid", "steering"):
        page.locator(f"[data-view={view}]").click()
        page.locator("#turntable canvas" if view == "solid" else "#linkage svg").first.wait_for()

    def measured() -> tuple[float, int]:
        client.send("HeapProfiler.collectGarbage")
        told = {m["name"]: m["value"] for m in client.send("Performance.getMetrics")["metrics"]}
        return told["JSHeapUsedSize"] / 1e6, int(told["JSEventListeners"])

    def edit(many: int) -> None:
        page.evaluate(
            """async (many) => { const { ask } = await import('/static/page.js');
               for (let i = 0; i < many; i++) {
                 await ask('/change', { edits: [{ do: 'set', path: 'bracket.toe', text: i % 2 ? '1' : '1 1/8' }] });
                 await ask('/state'); } }""",
            many,
        )

    edit(10)
    first, listeners = measured()
    last, counts, begun = first, [listeners], time.perf_counter()
    for done in range(PIECE, edits + 1, PIECE):
        edit(PIECE)
        last, listeners = measured()
        counts.append(listeners)
        one = (time.perf_counter() - begun) / done
        print(f"  {done} edits, {1e3 * one:.0f} ms each: heap {last - first:+.2f} MB, {listeners}", flush=True)
    page.close()
    return last - first, counts


def at_once(served: Served, many: int = 200) -> tuple[set[int], float]:
    """The answers' statuses and the slowest one's time, s, of so many requests at once."""

    async def run() -> list[tuple[int, float]]:
        bounds = httpx.Limits(max_connections=many)
        async with httpx.AsyncClient(base_url=served.url, timeout=90, limits=bounds, trust_env=False) as client:

            async def timed(i: int) -> tuple[int, float]:
                begun = time.perf_counter()
                edit = {"edits": [{"do": "set", "path": "title", "text": f"job {i}"}]}
                answer = await (
                    client.get("/") if i % 3 == 0 else client.post("/change", json=edit if i % 3 == 1 else {})
                )
                return answer.status_code, time.perf_counter() - begun

            return list(await asyncio.gather(*(timed(i) for i in range(many))))

    with ThreadPoolExecutor(1) as beside:  # the browser's driver holds this thread's own loop
        told = beside.submit(lambda: asyncio.run(run())).result()
    return {status for status, _ in told}, max(taken for _, taken in told)


def main() -> None:
    """Print the table."""
    edits = next((int(word) for word in sys.argv if word.isdigit()), EDITS)
    with opened("sprayer-kicked-rail") as (served, browser):
        wall, taken, weight = opening(served, browser)
        print(f"\nThe page opens in {wall:.0f} ms ({OPEN_MS}), processor {taken:.0f}; {weight / 1000:.0f} kB (250)")
        statuses, slowest = at_once(served)
        print(f"200 requests at once: {statuses}, the slowest {slowest:.2f} s ({SLOWEST_S:.0f})", flush=True)
    for name in ("quarry-straight-rail", "sprayer-kicked-rail"):
        with opened(name) as (served, browser):
            a_second, each = dragging(served, browser)
            print(
                f"{name}: dragged, drawn {a_second:.0f} times a second ({A_SECOND}), processor time {each:.0f} ms each"
            )
    with opened("orchard-sprayer-steering") as (served, browser):
        grown, listeners = kept(served, browser, edits)
        print(f"{edits} edits, two views open: heap {grown:+.2f} MB ({GROWN_MB:.0f}), listeners {listeners}")


if __name__ == "__main__":
    main()
