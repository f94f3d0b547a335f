"""Files of a mill's settings: opened and parsed in one way, with words a person can act on."""

from __future__ import annotations

import tomllib
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from meshcore.limits import parse_toml


def read_toml(source: Path | Traversable, name: str, problem: type[ValueError]) -> dict[str, Any]:
    """Read a file of settings in TOML.

    Parameters
    ----------
    source
        The file.
    name
        What it is called where something is wrong with it.
    problem
        What is raised then: each kind of settings has an error of its own.

    Raises
    ------
    ValueError
        As `problem`, if it cannot be opened, or is not TOML.

    Examples
    --------
    >>> read_toml(Path("nowhere.toml"), "nowhere.toml", ValueError)
    Traceback (most recent call last):
    ValueError: nowhere.toml: cannot be opened (No such file or directory).
    """
    try:
        return parse_toml(source.read_text(encoding="utf-8"))
    except OSError as error:
        raise problem(f"{name}: cannot be opened ({error.strerror}).") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise problem(f"{name}: not a TOML file ({error}).") from error
