"""Heat-treated steel is not welded without a word: it stops, or a declared procedure says what is left of it.

That the heat beside a bead takes the strength of quenched and tempered steel is handbook knowledge (EN 1011-2 C.2.4,
the maker's rules for truck rails); how much is a matter of tests, so the test here holds the counting alone.
"""

from dataclasses import dataclass

import pytest

from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.bracket import Procedure, Weld
from plategen.job.parse import parse_table
from plategen.rules.material import steel
from tests.checks.bench import Bench

TESTED = Procedure(document="WPS 4", yield_mpa=400.0, tensile_mpa=520.0)


@dataclass(frozen=True, kw_only=True)
class Declared(Bench):
    """The bench with a welding procedure."""

    procedure: Procedure = TESTED

    def job(self) -> Job:
        job = super().job()
        return job.replaced(weld=job.weld.replaced(procedure=self.procedure))


@pytest.mark.parametrize("name", ["4140-HT", "A514", "S690", "S690QL", "42CrMo4", "C45"])
def test_a_heat_treated_rail_stops_and_says_what_is_done_instead(name: str) -> None:
    bench = Bench(wall_steel=name)
    assert "beads on heat-treated steel" in bench.stops()
    stop = next(f for f in bench.findings() if f.check == "beads on heat-treated steel" and f.verdict == "stop")
    assert stop.part.words == "rail"
    assert stop.demand == 4.0
    assert stop.cure is not None
    assert "bolt it to the rail's web" in str(stop.cure.advice)


def test_an_ordinary_rail_does_not() -> None:
    for name in ("A36", "A572-50", "S355", "S460", "A500-C"):
        assert steel(name).treated == ""
        assert "beads on heat-treated steel" not in Bench(wall_steel=name).stops()


def test_a_heat_treated_plate_stops_as_well() -> None:
    stopped = {f.part.words for f in Bench(steel="A514").findings() if f.of.row.startswith("beads") and f.cure}
    assert stopped == {"ear_near", "ear_far"}


def test_the_strength_that_a_procedure_declares_is_counted_beside_the_bead() -> None:
    def wall(bench: Bench) -> float:
        return next(f.capacity for f in bench.findings() if f.check == "rail wall beside the weld")

    declared = Declared(wall_steel="S690")
    assert "beads on heat-treated steel" not in declared.stops()
    # AISC 360 J4.2, ASD: the lesser of 0.60 x 400 x 10/1.50 = 1600 and 0.60 x 520 x 10/2.00 = 1560 N/mm
    assert wall(declared) == pytest.approx(1560.0)
    assert wall(Bench(wall_steel="S690")) == pytest.approx(2310.0)
    # more than the steel has is not believed, and ordinary steel is what it is
    strong = Procedure(document="WPS 5", yield_mpa=900.0, tensile_mpa=990.0)
    assert wall(Declared(wall_steel="S690", procedure=strong)) == pytest.approx(2310.0)
    assert wall(Declared()) == wall(Bench())


def test_a_procedure_without_a_name_or_with_a_yield_over_its_tensile_strength_is_refused() -> None:
    good = {"document": "WPS 4", "yield": "400 MPa", "tensile": "520 MPa"}
    assert parse_table(Weld, {"leg": 6, "procedure": good}, "mm").procedure is not None
    for bad, words in (({"document": " "}, "no name"), ({"yield": "600 MPa"}, "more than the tensile")):
        with pytest.raises(Refusal, match=words):
            parse_table(Weld, {"leg": 6, "procedure": {**good, **bad}}, "mm", "weld")
