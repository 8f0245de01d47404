"""Which piece of the rack each plate comes from: the smallest that takes all, no piece overfilled, nothing lost."""

import numpy as np
import pytest

from plategen.cut.nest.rack import Taken, from_rack
from plategen.cut.part import Cut, CutPart
from plategen.cut.table.cutting import cut_parts, laid_out
from plategen.cut.table.notes import cut_notes
from plategen.ground.show import Show
from plategen.job.parse import parse_table
from plategen.job.shop import StockPiece
from plategen.make import carry_through
from plategen.tell.report.job import job_report
from plategen.tell.sheet.cut_table import cut_words
from plategen.tell.sheet.hand_over import parts_csv
from plategen.tell.sheet.tables import cut_list
from tests.cut.nest.test_layout import prove, random_part
from tests.support.cut_examples import rectangle
from tests.support.every_example import loaded_of, work_of


def piece(name: str, length_mm: float, width_mm: float, count: int = 1) -> StockPiece:
    return parse_table(
        StockPiece,
        {"name": name, "steel": "S355", "thickness": 12, "length": length_mm, "width": width_mm, "count": count},
        "mm",
    )


def block(name: str, length_mm: float, width_mm: float) -> CutPart:
    return CutPart(name=name, outside=Cut(rectangle(length_mm, width_mm)))


def names(taken: tuple[Taken, ...]) -> list[str]:
    return [one.piece.name for one in taken]


def test_the_smallest_piece_that_takes_all_is_used() -> None:
    parts = [block("a", 100, 80), block("b", 90, 80)]
    rack = [piece("sheet", 2000, 1000), piece("strip", 230, 110), piece("small", 120, 110)]
    taken, left = from_rack(parts, rack)
    assert (names(taken), left) == (["strip"], ())
    assert taken[0].which == (0, 1)


def test_two_pieces_are_begun_only_where_one_does_not_do() -> None:
    parts = [block("a", 100, 80), block("b", 90, 80)]
    taken, left = from_rack(parts, [piece("small", 120, 110, 2)])
    assert (names(taken), left) == (["small", "small"], ())
    assert sorted(i for one in taken for i in one.which) == [0, 1]


def test_what_no_piece_takes_is_left() -> None:
    parts = [block("a", 500, 400), block("b", 90, 80)]
    taken, left = from_rack(parts, [piece("small", 120, 110)])
    assert (names(taken), left) == (["small"], (0,))
    assert from_rack(parts, []) == ((), (0, 1))


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_random_racks(first: int) -> None:
    for seed in range(first, first + 20):
        rng = np.random.default_rng(seed)
        parts = [random_part(rng, f"p{i}") for i in range(rng.integers(2, 6))]
        rack = [
            piece(f"s{i}", rng.uniform(60, 400), rng.uniform(60, 300), int(rng.integers(1, 3)))
            for i in range(rng.integers(1, 5))
        ]
        taken, left = from_rack(parts, rack)
        assert sorted([*left, *(i for one in taken for i in one.which)]) == list(range(len(parts)))
        for one in taken:
            prove(one.layout, [parts[i] for i in one.which])
            assert one.layout.sheets == 1
        for stock in rack:
            assert names(taken).count(stock.name) <= stock.count


def test_sheet_list_and_note_say_where_each_plate_comes_from() -> None:
    work = work_of("quarry-straight-rail")
    parts = cut_parts(work)
    notes = cut_notes(work, parts, laid_out(work, parts))
    assert notes.from_rack("ear_near") == notes.from_rack("ear_far") == ("off-cut by the saw",)
    words = cut_words(notes, Show("mm"))
    assert "From the rack, off-cut by the saw: ear near, ear far." in words
    report = job_report(work)
    assert ",off-cut by the saw," in parts_csv(work, report, notes)
    cells = cut_list(report.plates, Show("mm"), notes).rows[0]
    assert any("from off-cut by the saw" in cell.small for cell in cells)


def test_other_steel_and_other_thickness_stay_in_the_rack() -> None:
    loaded = loaded_of("quarry-straight-rail")
    assert loaded.job.shop is not None
    stock = tuple(
        one.replaced(**change)
        for one, change in zip(loaded.job.shop.stock, ({"steel": "S275"}, {"thickness_mm": 12.7}), strict=True)
    )
    work = carry_through(loaded.job.replaced(shop=loaded.job.shop.replaced(stock=stock)), loaded.traces)
    parts = cut_parts(work)
    notes = cut_notes(work, parts, laid_out(work, parts))
    assert notes.from_rack("ear_near") == ()
    assert "No piece in the rack takes ear near, ear far: 12.0 mm S355 is to be bought." in cut_words(notes, Show("mm"))
    assert ",to be bought," in parts_csv(work, job_report(work), notes)
