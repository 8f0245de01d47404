"""What pulls, shears and slips at the bolts, as the judge says it, against hand sums and printed limits."""

import pytest

from plategen.checks.finding import Finding
from plategen.ground.refusal import Refusal
from tests.checks.bench import Bench
from tests.checks.cases import FOUR
from tests.checks.edited import Edited

LBF = 4.4482216152605


def _of(findings: tuple[Finding, ...], check: str) -> Finding:
    return next(f for f in findings if f.check == check and f.decides)


def test_bolts_in_long_slots_slip_at_the_safety_of_long_slots() -> None:
    # AISC 360-16 J3.8: Omega 2.14 in long slots in any direction; 7,889 lbf were told with the 1.50 of round holes
    found = _of(Edited("forwarder-split-mount", ()).findings(), "bolt slip")
    assert found.capacity / LBF == pytest.approx(5530.0, abs=1.0)


@pytest.mark.parametrize(
    ("rules", "grade", "right"),
    [
        ("aisc-asd", "Grade 2", "A325"),
        ("aisc-asd", "A307", "A325"),
        ("aisc-lrfd", "Grade 8", "A490"),
        ("aisc-asd", "8.8", "A325"),
        ("en-1993", "4.6", "8.8"),
        ("en-1993", "12.9", "10.9"),
    ],
)
def test_grades_that_a_rule_set_gives_no_pretension_are_refused(rules: str, grade: str, right: str) -> None:
    # AISC 360 Table J3.1 lists A325 and A490 alone; EN 1993-1-8:2005 3.1.2 classes 8.8 and 10.9
    bolted = {"bolts": FOUR, "nose": 80.0, "bolt": 16.0, "bolt_hole": 18.0}
    with pytest.raises(Refusal, match=f'no pretension; "{right}" is right') as refused:
        Bench(**bolted, rules={"set": rules, "bolt_grade": grade, "pretensioned": True}).findings()  # type: ignore[arg-type]
    assert refused.value.key == "rules.bolt_grade"
    assert refused.value.cure is not None
    assert [change.to for change in refused.value.cure.changes] == [right]
    assert Bench(**bolted, rules={"set": rules, "bolt_grade": right, "pretensioned": True}).findings()  # type: ignore[arg-type]
    assert Bench(**bolted, rules={"set": rules, "bolt_grade": grade}).findings()  # type: ignore[arg-type]
