"""What takes its seconds is done beside the page: it tells how far it is, ends when it is called off, and says so."""

import asyncio
import time

import pytest

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

from plategen.ground.refusal import Refusal
from plategen.page.downloads import Downloads
from plategen.page.draft import Draft
from plategen.page.errand import Errand
from tests.page.conftest import Served


def made(served: Served, **asked: str) -> dict:
    return served.post("/files/make", asked).json()


def test_files_tell_how_far_they_are_and_are_handed_out_once_made(served):
    steps: list[str] = []
    for _ in range(600):
        told = made(served, name="ear_near.dxf")
        assert told.get("refused", "") == "", told
        if told["done"]:
            break
        steps.append(told["step"])
        time.sleep(0.02)
    assert told["done"]
    assert any(" of " in step for step in steps), steps
    with served.client() as client:
        assert client.get("/files/ear_near.dxf").content.endswith(b"EOF\n")


def test_what_is_called_off_ends_and_can_be_asked_for_again(served):
    assert made(served)["done"] is False
    assert served.post("/files/stop", {}).status_code == 200
    told = made(served, name="ear_near.dxf")
    assert told["done"] is False, "begun anew"
    with served.client() as client:
        assert client.get("/files/ear_near.dxf").status_code == 200


def test_nothing_is_begun_of_what_is_not_saved_nor_of_no_file(standing):
    standing.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
    assert standing.post("/files/make", {}).status_code == 409
    standing.post("/undo", {})
    assert standing.post("/files/make", {"name": "../job.toml"}).status_code == 404
    assert standing.post("/files/make", {"paper": "papyrus"}).status_code == 422
    assert standing.post("/files/make", {"what": 1}).status_code == 422


def test_who_waits_for_what_is_called_off_is_told():
    async def go() -> None:
        downloads = Downloads("job.toml")
        waiting = asyncio.create_task(downloads.of(Draft("title = 'x'"), solid=False, paper="letter"))
        await asyncio.sleep(0.1)
        downloads.forget()
        with pytest.raises(Refusal, match="called off"):
            await waiting

    asyncio.run(go())


@pytest.mark.parametrize(("module", "most_time_s", "words"), [("this", 20.0, "could not"), ("timeit", 0.05, "longer")])
def test_a_process_that_fails_or_takes_too_long_is_a_refusal(module, most_time_s, words):
    async def go() -> None:
        errand = Errand.begin(module, b"{}", name="the files", most_time_s=most_time_s)
        with pytest.raises(Refusal, match=words):
            await errand.answer()
        assert errand.failed

    asyncio.run(go())
