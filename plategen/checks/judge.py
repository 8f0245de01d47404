"""Does it hold? Every check of the registry over every load case, the worst of each reported and named."""

from plategen.bracket.model import Bracket
from plategen.checks.finding import Finding
from plategen.checks.registry import GROUPS
from plategen.checks.setting import Setting
from plategen.design.design import Design
from plategen.rail.tube import Surface


def judge(design: Design, bracket: Bracket, surface: Surface | None, *, opinions: bool = True) -> tuple[Finding, ...]:
    """Every finding about a bracket on its rail: the bracket's, the swing's, the steering's.

    Args:
        design: What was decided; the ``[rules]`` of its job choose the rule set that decides.
        bracket: The bracket as it was built, trimmed or kept.
        surface: The rail or tube that it stands on; None leaves out what is judged against it.
        opinions: False leaves out what other rule sets say, which decides nothing.

    Raises:
        Refusal: A steel or an electrode is not in the tables.
    """
    return findings_of(Setting(design, bracket, surface, opinions))


def findings_of(setting: Setting) -> tuple[Finding, ...]:
    """The same of a setting that is made already."""
    findings = tuple(f for group in GROUPS if group.ask is not None for f in group.ask(setting))
    # those who judge thousands of variants look at no opinions
    return findings if setting.opinions else tuple(f for f in findings if f.decides)
