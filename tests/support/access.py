"""Whether everyone can use a page, as the rules of axe-core tell it."""

from pathlib import Path
from typing import Any

import pytest

RUN = """async ([within, colours]) => {
  const roots = within.flatMap(selector => [...document.querySelectorAll(selector)]);
  // contrast takes most of the time: it is asked of one element of each kind, of which a sheet has a hundred or two
  const kinds = new Map();
  for (const root of roots) for (const e of root.querySelectorAll('*')) {
    const words = [...e.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim());
    if (!words && !e.matches('input, select, textarea') || !e.getClientRects().length) continue;
    const { color, fill, opacity, fontSize, fontWeight } = getComputedStyle(e);
    const chain = [color, fill, opacity, fontSize, fontWeight];
    for (let at = e; at && at !== document.body; at = at.parentElement) {
      chain.push(at.tagName, at.getAttribute('class'), getComputedStyle(at).backgroundColor);
    }
    const kind = chain.join(' ');
    if (!kinds.has(kind)) kinds.set(kind, e);
  }
  for (const e of kinds.values()) e.setAttribute('data-kind', '');
  axe.configure({ rules: [{ id: 'color-contrast', selector: '[data-kind]' }] });
  const told = await axe.run({ include: roots },
    { resultTypes: ['violations'], ...(colours ? { runOnly: ['color-contrast'] } : {}) });
  for (const e of kinds.values()) e.removeAttribute('data-kind');
  return [told.passes.length, told.violations];
}"""


def broken(page: Any, *within: str, colours_alone: bool = False) -> list[tuple[str, str, int, str]]:
    """Rules that a page breaks, or the part of it that these selectors name: rule, how grave, how often, the first."""
    axe = pytest.importorskip("axe_playwright_python", reason="pip install axe-playwright-python carries axe-core")
    if not page.evaluate("'axe' in window"):
        page.evaluate(Path(axe.__file__).with_name("axe.min.js").read_text(encoding="utf-8"))
    passes, found = page.evaluate(RUN, [list(within) or ["html"], colours_alone])
    assert found or passes > (0 if within or colours_alone else 10), "axe looked at the page"
    return [(v["id"], v["impact"], len(v["nodes"]), v["nodes"][0]["html"][:160]) for v in found]
