"""Programs from outside Python that some tests need: found, or said to be missing."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from order import is_outside, longest_first

from meshcore.demo import BOOK_VARIABLE, demo_data

#: The tests price with the invented mill's book, and name it: where none is named, every estimate
#: is in review. Fixtures that outlive a test find it here, each test in `app_fixtures`.
os.environ[BOOK_VARIABLE] = str(demo_data() / "price_book.toml")
# How long an example takes is the machine's affair: a busy one would fail at random.
settings.register_profile("meshcore", deadline=None)
settings.load_profile("meshcore")

#: Fixtures of the app and of the register: in modules of their own, since two files named conftest
#: cannot be told apart by the type checker.
pytest_plugins = ["app_fixtures", "databases", "desk_fixtures", "quotation_fixtures"]
#: Other people's code, built and installed by its tests and not collected as ours.
collect_ignore = ["plugins/distributions"]


#: Fields that came up empty on a busy machine are mended (`test_app_broken_off.py`). Until twenty
#: runs of the whole browser set in a row have shown that nothing else fails there, a browser test
#: is tried again where CI runs, and each try is named in its report.
BROWSER_TRIES_AGAIN = 2


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark and order the tests; let those of the browser be tried again where CI runs."""
    for item in items:
        if is_outside(item):
            item.add_marker(pytest.mark.outside)
    longest_first(items)
    if os.environ.get("CI") == "true":
        for item in items:
            if item.get_closest_marker("browser"):
                item.add_marker(pytest.mark.flaky(reruns=BROWSER_TRIES_AGAIN))


@pytest.fixture(autouse=True)
def _main_module() -> Iterator[None]:
    """A page that was tested is not the main module of what comes after it.

    Streamlit leaves the page's script as ``__main__``, and the processes that a later test spawns
    would run it again.
    """
    main = sys.modules["__main__"]
    yield
    sys.modules["__main__"] = main


def _program(names: tuple[str, ...], package: str) -> Path:
    """Path of the first program found; a test that needs it is skipped, or fails where CI is."""
    for name in names:
        if found := shutil.which(name):
            return Path(found)
    reason = f"needs {' or '.join(names)}; on Debian: apt-get install {package}"
    if os.environ.get("CI") == "true":
        pytest.fail(f"{reason} (nothing is skipped where CI=true)")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def chromium_path() -> Path:
    """Chromium of the system, for the browser tests."""
    return _program(("chromium", "chromium-browser", "google-chrome"), "chromium")


@pytest.fixture(scope="session")
def soffice_path() -> Path:
    """LibreOffice of the system, for recalculating workbooks."""
    return _program(("soffice", "libreoffice"), "libreoffice-calc")


@pytest.fixture(scope="session")
def units_path() -> Path:
    """GNU units, an independent source of gauge tables and conversions."""
    return _program(("units",), "units")


@pytest.fixture(scope="session")
def make_path() -> Path:
    """The program make, for what the Makefile would do."""
    return _program(("make",), "make")


#: Where `.ci/run` puts what comes from npm, of the root of the source tree.
NPM = Path("out/npm/node_modules")


@pytest.fixture(scope="session")
def axe_path(project_root: Path) -> Path:
    """axe-core, which judges pages by the Web Content Accessibility Guidelines."""
    return _from_npm(project_root, "axe-core", "axe.min.js")


@pytest.fixture(scope="session")
def gltf_validator_path(project_root: Path) -> Path:
    """The validator of glTF files by those who keep the format."""
    return _from_npm(project_root, "gltf-validator", "index.js")


@pytest.fixture(scope="session")
def node_path() -> Path:
    """Node, which runs what comes from npm."""
    return _program(("node", "nodejs"), "nodejs")


def _from_npm(project_root: Path, package: str, name: str) -> Path:
    if (found := project_root / NPM / package / name).is_file():
        return found
    reason = f"needs {package}: npm install --prefix out/npm {package}"
    if os.environ.get("CI") == "true":
        pytest.fail(f"{reason} (nothing is skipped where CI=true)")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory, project_root: Path) -> Path:
    """The project's wheel, built once, whichever test process asks for it first."""
    from environments import project_wheel  # noqa: PLC0415 - of the install tests alone

    base = tmp_path_factory.getbasetemp()
    # Each process of one run has a folder of its own in that of the run.
    run = base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base
    return project_wheel(run / "project-wheel", project_root)


@pytest.fixture(scope="session")
def project_root() -> Path:
    """Root of the source tree."""
    return Path(__file__).resolve().parent.parent
