"""Which tests need more than Python, and which files begin first."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

#: Marks of tests that start a browser, an office or pip.
_MARKS = ("browser", "office", "install")
#: What a test asks for that is a program beside Python, by the name of its fixture.
_PROGRAMS = frozenset({
    "axe_path", "chromium_path", "gltf_validator_path", "make_path", "node_path", "postgresql",
    "soffice_path", "wheel",
})  # fmt: skip
#: Folders whose tests draw the app, kill what writes, or install what they test.
_FOLDERS = ("app", "faults", "plugins")
#: Files whose tests take longest, longest first. A process that is left with one of them at the
#: end would have the other wait for it.
_LONGEST: tuple[str, ...] = (
    "test_app_typing.py", "test_for_everyone.py", "test_app_connection.py", "test_model_browser.py",
    "test_alloy_services_browser.py", "test_app_browser.py", "test_one_day_browser.py",
    "test_quotations_browser.py", "test_list_browser.py", "test_app_broken_off.py",
    "test_known_first.py", "test_workbook_job.py", "test_tutorial.py", "test_developers_guide.py",
    "test_installed_plugins.py", "test_unbroken.py",
)  # fmt: skip


def is_outside(item: pytest.Item) -> bool:
    """Whether a test needs more than Python."""
    folder = item.path.relative_to(Path(__file__).parent).parts[0] if _is_ours(item) else ""
    asked = {*getattr(item, "fixturenames", ()), *_parameters(item)}
    return (
        folder in _FOLDERS
        or bool(asked & _PROGRAMS)
        or any(item.get_closest_marker(name) for name in _MARKS)
    )


def _is_ours(item: pytest.Item) -> bool:
    return item.path.is_relative_to(Path(__file__).parent)


def _parameters(item: pytest.Item) -> Iterable[str]:
    """Fixtures that a test asks for by a parameter, as the databases are."""
    given = getattr(item, "callspec", None)
    return () if given is None else [one for one in given.params.values() if isinstance(one, str)]


def longest_first(items: list[pytest.Item]) -> None:
    """Put the files that take longest before the others, whose order stays."""
    place = {name: number for number, name in enumerate(_LONGEST)}
    items.sort(key=lambda item: place.get(item.path.name, len(place)))
