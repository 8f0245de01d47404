"""One open job and several who change it: nothing is lost, whoever comes first or last."""

import asyncio
import os
from pathlib import Path

import pytest

from plategen.ground.refusal import Refusal
from plategen.page import disk as disk_room
from plategen.page.disk import Folder
from plategen.page.draft import Draft
from plategen.page.edits import Stale
from plategen.page.history import History
from plategen.page.request import AddReading, Set
from plategen.page.session import Session


def with_session(job: Path, do):
    async def run():
        session = Session(Folder(job))
        try:
            return await do(session)
        finally:
            await session.leave()

    return asyncio.run(run())


def theirs(job: Path, old: str = "stroke = 8", new: str = "stroke = 7") -> str:
    """An edit made in an editor."""
    path = job / "job.toml"
    text = path.read_text().replace(old, new)
    path.write_text(text)
    return text


def test_a_save_writes_what_was_changed_and_keeps_the_remarks(job):
    before, names = (job / "job.toml").read_text(), sorted(job.iterdir())

    async def do(session):
        await session.change([Set("cylinder.bore", "2 1/2", "2"), Set("cylinder.body_diameter", "3")])
        assert session.unsaved == ("job.toml",)
        await session.save(session.version)
        assert session.unsaved == ()

    with_session(job, do)
    expected = before.replace("bore = 2\n", 'bore = "2 1/2"\n').replace('"2 3/8"', "3")
    assert (job / "job.toml").read_text() == expected
    assert sorted(job.iterdir()) == names


def test_undo_and_redo_go_through_the_steps_and_a_drag_is_one(job):
    async def do(session):
        first = session.draft
        for text in ("1", "1 1/8", "1 3/16"):
            await session.change([Set("bracket.toe", text)], "drag 1")
        assert len(session.history.steps) == 1
        await session.go(History.undone)
        assert session.draft == first
        await session.go(History.redone)
        assert '"1 3/16"' in session.draft.job
        await session.go(History.undone)
        await session.change([Set("weld.leg", "5/16")])
        assert session.history.redoable() is None

    with_session(job, do)


def test_an_editors_change_is_taken_when_nothing_here_would_be_lost(job):
    async def do(session):
        text = theirs(job)
        await session.look()
        assert session.draft.job == text
        assert session.drawn.work.job.cylinder.stroke_mm == pytest.approx(7 * 25.4)
        assert session.unsaved == ()
        await session.go(History.undone)
        assert "stroke = 8" in session.draft.job, "and it can be undone"

    with_session(job, do)


def test_a_stale_save_writes_nothing_and_shows_both(job):
    async def do(session):
        await session.change([Set("cylinder.base.pin", "7/8")])
        text = theirs(job)
        with pytest.raises(Stale, match="meanwhile"):
            await session.save(session.version)
        assert (job / "job.toml").read_text() == text
        assert session.theirs.job == text
        assert 'pin = "7/8"' in session.draft.job
        return text

    with_session(job, do)


def test_keeping_mine_leaves_theirs_in_undo_and_taking_theirs_leaves_mine(job):
    async def keep(session):
        await session.change([Set("cylinder.base.pin", "7/8")])
        text = theirs(job)
        await session.look()
        seen = disk_room.fingerprint(session.theirs)
        theirs(job, "stroke = 7", "stroke = 6")
        with pytest.raises(Stale):
            await session.save(session.version, seen)
        assert "stroke = 6" in (job / "job.toml").read_text(), "what nobody has seen is never written over"
        await session.save(session.version, disk_room.fingerprint(session.theirs))
        assert 'pin = "7/8"' in (job / "job.toml").read_text()
        await session.go(History.undone)
        assert "stroke = 6" in session.draft.job
        return text

    with_session(job, keep)

    async def take(session):
        await session.change([Set("bracket.toe", "1")])
        text = theirs(job, "rod = ", "# theirs\nrod = ")
        await session.look()
        await session.take_theirs(disk_room.fingerprint(session.theirs))
        assert session.draft.job == text
        assert session.theirs is None
        await session.go(History.undone)
        assert "toe = 1\n" in session.draft.job

    with_session(job, take)


def test_a_tab_that_has_not_seen_the_latest_cannot_save(job):
    async def do(session):
        seen = session.version
        await session.change([Set("bracket.toe", "1")])
        before = (job / "job.toml").read_text()
        with pytest.raises(Stale, match="another tab"):
            await session.save(seen)
        assert (job / "job.toml").read_text() == before

    with_session(job, do)


def test_two_hundred_changes_at_once_are_all_there(job):
    async def do(session):
        await asyncio.gather(*(session.change([Set("title", f"number {i}")]) for i in range(200)))
        assert len(session.history.steps) == 200
        assert session.drawn.draft == session.draft

    with_session(job, do)


def test_a_disk_that_fails_leaves_every_file_whole(job, monkeypatch):
    before = {p.name: p.read_bytes() for p in job.iterdir()}

    def fail(handle):
        raise OSError(28, "No space left on device")

    async def do(session):
        await session.change([Set("bracket.toe", "1")])
        monkeypatch.setattr(os, "fsync", fail)
        with pytest.raises(Refusal, match="no space left"):
            await session.save(session.version)
        assert session.unsaved == ("job.toml",), "what was typed is still here"

    with_session(job, do)
    assert {p.name: p.read_bytes() for p in job.iterdir() if p.name in before} == before
    assert {p.name for p in job.iterdir()} - set(before) == {".plategen-not-saved.json"}, "and is kept"


def test_a_file_that_cannot_be_read_for_a_while_loses_nothing(job):
    async def do(session):
        await session.change([Set("bracket.toe", "1")])
        text = (job / "job.toml").read_text()
        (job / "job.toml").write_text("[[[ half a file")
        await session.look()
        assert "cannot be read" in session.trouble
        assert "toe = 1" in session.draft.job
        (job / "job.toml").write_text(text)
        await session.look()
        assert session.trouble == ""
        await session.save(session.version)

    with_session(job, do)


def test_a_trace_added_here_is_written_beside_the_job(job):
    from plategen.page.request import Add, AddReading

    async def do(session):
        await session.change([Add("rail.trace")])
        await session.change([AddReading("trace-1.csv", (str(s), "1 1/2", "")) for s in range(14)])
        await session.change([Set("rail.trace[2].plane", "5")])
        assert session.drawn.refusal is None
        await session.save(session.version)

    with_session(job, do)
    assert (job / "trace-1.csv").read_text().count("1 1/2") == 14


def test_a_file_fetched_from_the_folder_is_not_written_over_unseen(job):
    (job / "other.csv").write_text((job / "front.csv").read_text())

    async def do(session):
        await session.change([Set("rail.trace[0].file", "other.csv")])
        assert session.drawn.refusal is None
        (job / "other.csv").write_text("station,offset\n0,1\n5,1\n20,1\n")
        with pytest.raises(Stale):
            await session.save(session.version)
        assert (job / "other.csv").read_text().startswith("station,offset\n0,1\n5,1")

    with_session(job, do)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        ("station,offset,note\n0,1,gr\xfcn\n1,1,\n2,1,\n".encode("latin-1"), "UTF-8"),
        (b"station,offset\n" + b"0,1\n" * 600_000, "larger than 2 MB"),
    ],
)
def test_a_trace_that_cannot_be_read_is_said_and_never_written_over(job, data, why):
    """Before, it was told as ``no such file``, and rows that were typed and saved took its place."""
    (job / "front.csv").write_bytes(data)

    async def do(session):
        assert why in str(session.drawn.refusal)
        assert "no such file" not in str(session.drawn.refusal)
        with pytest.raises(Refusal, match=why):
            await session.change([AddReading("front.csv", ("0", "1", ""))])
        await session.change([Set("bracket.toe", "1")])
        await session.save(session.version)

    with_session(job, do)
    assert (job / "front.csv").read_bytes() == data


def test_a_file_that_became_unreadable_meanwhile_is_not_written_over(job):
    async def do(session):
        await session.change([AddReading("front.csv", ("14", "1 1/2", ""))])
        (job / "front.csv").write_bytes(b"gr\xfcn")
        with pytest.raises(Exception, match=r"UTF-8|someone else"):
            await session.save(session.version)

    with_session(job, do)
    assert (job / "front.csv").read_bytes() == b"gr\xfcn"


@pytest.mark.parametrize("name", ["job.toml", "./job.toml"])
def test_a_trace_named_as_the_job_file_does_not_take_its_place(job, name):
    async def do(session):
        await session.change([Set("rail.trace[0].file", name)])
        assert "is the job file by another name" in str(session.drawn.refusal)
        with pytest.raises(Refusal, match="another file is right"):
            await session.change([AddReading(name, ("0", "1", ""))])
        await session.save(session.version)

    with_session(job, do)
    assert "[cylinder]" in (job / "job.toml").read_text()


def test_history_keeps_its_promises():
    a, b, c = (Draft(f"title = '{text}'") for text in "abc")
    history = History(a).then(b).then(c)
    assert history.undone().undone().undone().draft == a
    assert history.undone().redone().draft == c
    assert history.then(c) is history
    long = History(a)
    for i in range(1000):
        long = long.then(Draft(str(i)))
    assert len(long.steps) == 300
    assert long.draft.job == "999"


def test_undo_takes_back_what_ones_own_tab_did_and_nothing_else():
    def job(bore, stroke, toe=1):
        return Draft(f"[cylinder]\nbore = {bore}\n\n[bracket]\n# a remark\ntoe = {toe}\nstroke = {stroke}\n")

    history = History(job(2, 8)).then(job(3, 8), tab="desk").then(job(3, 9), tab="phone")
    assert history.undone("desk").draft == job(2, 9), "what the phone did stays"
    assert history.undone("desk").undone("desk").draft == job(2, 9), "and the desk cannot take it back"
    assert history.undone("desk").redone("desk").draft == job(3, 9)
    assert history.undone("desk").redone("phone").draft == job(2, 9), "nor bring back what the desk undid"
    both = history.then(job(4, 9), tab="phone")
    with pytest.raises(Refusal, match="another tab has changed the same"):
        both.undone("desk")
    drag = history.then(job(3, 9, 2), "drag 1", "desk").then(job(3, 9, 3), "drag 1", "desk")
    assert drag.undone("desk", "drag 1").draft == job(3, 9)
    assert drag.undone("desk", "drag 2") is drag, "a drag that moved nothing takes nothing back"


def test_what_was_not_saved_is_there_again_after_a_power_cut(job):
    async def before(session):
        await session.change([Set("bracket.toe", "1")])
        session.autosave()  # what the watch does each second; then the lights go out
        session.history = History(session.saved)
        session._autosaved = None

    async def after(session):
        assert session.unsaved == ("job.toml",)
        assert "toe = 1\n" in session.draft.job
        await session.go(History.undone)
        assert session.unsaved == ()
        await session.go(History.redone)
        await session.save(session.version)
        session.autosave()
        assert not (job / ".plategen-not-saved.json").exists()

    with_session(job, before)
    with_session(job, after)
    assert "toe = 1\n" in (job / "job.toml").read_text()


def test_what_a_killed_save_left_lying_is_taken_away(job):
    left = [job / name for name in (".job.toml.0a1b2c3d.part", ".front.csv.ffffffff.part")]
    left += [job / ".plategen-not-saved.json.4711.part"]
    own = job / ".mine.part"
    for path in (*left, own):
        path.write_text("half a fi")

    async def do(session):
        pass

    with_session(job, do)
    assert [path.exists() for path in (*left, own)] == [False, False, False, True]


def test_what_a_killed_save_had_ready_is_put_in_place(job):
    """Before, a kill between two files left a trace of the new save beside the job of the old one."""
    mine = (job / "front.csv").read_text() + "# mine\n"
    (job / ".front.csv.0a1b2c3d.part").write_text(mine)
    (job / ".rear.csv.ffffffff.part").write_text("half a fi")
    (job / ".elsewhere.csv.0a1b2c3d.part").write_text("no file of this job")
    (job / ".plategen-save-0a1b2c3d").touch()
    before = (job / "rear.csv").read_text()
    Folder(job).tidy()
    assert (job / "front.csv").read_text() == mine
    assert (job / "rear.csv").read_text() == before
    assert not (job / "elsewhere.csv").exists()
    assert [path.name for path in job.iterdir() if path.name.endswith(".part") or "-save-" in path.name] == []


@pytest.mark.parametrize("text", ["", "{", "[]", '{"job": 1, "files": {}}', '{"job": "[[[", "files": {}}'])
def test_a_spoilt_autosave_is_passed_over(job, text):
    (job / ".plategen-not-saved.json").write_text(text)

    async def do(session):
        assert session.unsaved == ()

    with_session(job, do)


def test_what_a_quick_redraw_leaves_out_follows_as_news_and_whoever_saw_the_first_may_save(job):
    async def do(session):
        await session.change([Set("bracket.thickness", "1/8")])
        seen = session.version
        assert session.drawn.quick
        assert await asyncio.wait_for(session.news(seen), 20) == seen + 1
        assert not session.drawn.quick
        assert any(finding.opinion for finding in session.drawn.work.findings)
        await session.save(seen)
        assert session.unsaved == ()
        assert not session.saved_drawn.quick

    with_session(job, do)


def test_of_many_changes_only_the_last_is_followed_up(job):
    async def do(session):
        for toe in ("1", "1 1/16", "1 1/8"):
            await session.change([Set("bracket.toe", toe)])
        await asyncio.wait_for(session.news(session.version), 20)
        assert not session.drawn.quick
        assert session.drawn.draft == session.draft
        assert session.version == 1 + 3 + 1

    with_session(job, do)
