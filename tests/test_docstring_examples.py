"""Every example in a docstring does what it says."""

import doctest
import importlib
from pathlib import Path

import pytest

import plategen

ROOT = Path(plategen.__file__).parent
WITH_EXAMPLES = sorted(file for file in ROOT.rglob("*.py") if ">>> " in file.read_text(encoding="utf-8"))


@pytest.mark.parametrize("file", WITH_EXAMPLES, ids=lambda file: str(file.relative_to(ROOT)))
def test_the_examples_hold(file: Path) -> None:
    name = ".".join(("plategen", *file.relative_to(ROOT).with_suffix("").parts))
    result = doctest.testmod(importlib.import_module(name), optionflags=doctest.ELLIPSIS)
    assert result.attempted > 0
    assert result.failed == 0
