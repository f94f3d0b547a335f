"""The names that ``meshcore`` offers: each is there, documented, and costs nothing until used."""

from __future__ import annotations

import ast
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

import meshcore as mc


def test_every_name_is_there_and_documented() -> None:
    assert len(mc.__all__) > 40
    for name in mc.__all__:
        assert getattr(mc, name).__doc__, name
    wanted = {
        "PriceBookError", "SupplyPolicyError", "ListError", "RecordsError", "Message",
        "PricingRule", "CostColumn", "Remark", "budget_range", "tornado", "questions", "explain",
        "draw_cloth", "register_rules", "__version__",
    }  # fmt: skip
    assert wanted <= set(mc.__all__)
    assert set(mc.__all__) <= set(dir(mc))


def test_type_checkers_see_the_same_names() -> None:
    tree = ast.parse(Path(mc.__file__).read_text("utf-8"))
    [block] = [n for n in tree.body if isinstance(n, ast.If)]
    seen = {
        (alias.name, node.module)
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    home = mc._HOME
    assert seen == {(name, home[name]) for name in home}


def test_importing_loads_nothing_heavy() -> None:
    code = "import sys, meshcore; print(sorted(sys.modules))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    for heavy in ("numpy", "pandas", "pint", "scipy", "shapely", "pluggy", "openpyxl"):
        assert f"'{heavy}'" not in run.stdout


def test_the_version_is_the_distributions() -> None:
    assert mc.__version__ == version(mc.DISTRIBUTION)


def test_names_that_are_not_there_say_so() -> None:
    with pytest.raises(AttributeError, match="no_such_name"):
        mc.no_such_name  # noqa: B018
