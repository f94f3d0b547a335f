"""Supply policy and capability table, field by field.

What the readers ask a file for is recorded as they read the bundled files, so that the pages list
every key that is read, and no other.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from making.columns import meanings
from making.markdown import block, code, table
from making.rooms import ROOT

#: What stands for the name of a weave, in sections whose keys are weaves.
WEAVE = "WEAVE"
_POLICY = ROOT / "meshcore" / "supply" / "default_policy.toml"
_DEMO_POLICY = ROOT / "demo_data" / "supply_policy.toml"
_CAPABILITY = ROOT / "plugins" / "meshcore_weave_practice" / "capability.toml"


class Recording(dict[str, Any]):
    """A table of a file that writes down each key that it is asked for."""

    def __init__(self, cells: Mapping[str, Any], asked: dict[str, None], name: str = "") -> None:
        super().__init__(cells)
        self.asked, self.name = asked, name

    def _note(self, key: str) -> None:
        self.asked[f"{self.name}.{key}" if self.name else key] = None

    def _wrapped(self, key: str, cell: object) -> object:
        return Recording(cell, self.asked, key) if isinstance(cell, dict) else cell

    def get(self, key: str, default: Any = None) -> Any:  # noqa: ANN401 - TOML holds anything
        """Look a key up, and write it down."""
        self._note(key)
        return self._wrapped(key, super().get(key, default))

    def __getitem__(self, key: str) -> Any:  # noqa: ANN401 - TOML holds anything
        self._note(key)
        return self._wrapped(key, super().__getitem__(key))

    def items(self) -> Any:  # noqa: ANN401 - TOML holds anything
        """Hand out the keys of a section whose keys are weaves."""
        self._note(WEAVE)
        return super().items()


def asked_for(read: Callable[[Mapping[str, Any], str], object], text: str) -> tuple[str, ...]:
    """Keys that a reader asks a file for, in its order; sections themselves are left out."""
    asked: dict[str, None] = {}
    read(Recording(tomllib.loads(text), asked), "recorded")
    return tuple(key for key in asked if "." in key)


def policy_keys() -> tuple[str, ...]:
    """Keys of a supply policy that are read."""
    from meshcore.supply.policy import parse_supply_policy  # noqa: PLC0415 - others do without

    return asked_for(parse_supply_policy, _DEMO_POLICY.read_text("utf-8"))


def capability_keys() -> tuple[str, ...]:
    """Keys of a capability table that are read."""
    from meshcore_weave_practice import parse_capability  # noqa: PLC0415

    return asked_for(parse_capability, _CAPABILITY.read_text("utf-8"))


def supply_policy() -> str:
    """Return the fields of a supply policy, with the customary values, or the demo mill's."""
    usual = tomllib.loads(_POLICY.read_text("utf-8"))
    demo = tomllib.loads(_DEMO_POLICY.read_text("utf-8"))
    said = meanings("supply_policy")
    return "\n\n".join(
        f"### [{section}]\n\n"
        + table(
            ["Field", "Meaning", "Customary" if section in usual else "Demo mill"],
            ([code(k), said[f"{section}.{k}"], _shown({**demo, **usual}, section, k)]
             for k in keys),
        )
        for section, keys in _sections(policy_keys())
    )  # fmt: skip


def capability() -> str:
    """Return the fields of a capability table."""
    said = meanings("capability")
    usual = tomllib.loads(_CAPABILITY.read_text("utf-8"))
    parts = []
    for section, keys in _sections(capability_keys()):
        rows = []
        for key in keys:
            example = _shown(usual, section, key)
            if key == WEAVE:
                weave = next(name for name in usual[section] if name != "origin")
                example = f'`"{weave}" = {_toml(usual[section][weave])}`'
            name = "each weave" if key == WEAVE else code(key)
            rows.append([name, said.get(f"{section}.{key}", said.get(key, "")), example])
        parts.append(f"### [{section}]\n\n{table(['Field', 'Meaning', 'Bundled'], rows)}")
    return "\n\n".join(parts)


def default_policy() -> str:
    """Return the bundled supply policy as it stands."""
    return block(_POLICY.read_text("utf-8"), "toml")


def customary_capability() -> str:
    """Return the bundled capability table as it stands."""
    return block(_CAPABILITY.read_text("utf-8"), "toml")


def _sections(keys: tuple[str, ...]) -> Iterator[tuple[str, list[str]]]:
    gathered: dict[str, list[str]] = {}
    for key in keys:
        section, _, name = key.partition(".")
        gathered.setdefault(section, []).append(name)
    yield from gathered.items()


def _shown(data: Mapping[str, Any], section: str, key: str) -> str:
    cell = data.get(section, {}).get(key)
    return "–" if cell is None else code(_toml(cell))


def _toml(cell: object) -> str:
    match cell:
        case bool():
            return str(cell).lower()
        case str():
            return f'"{cell}"'
        case list():
            return f"[{', '.join(map(_toml, cell))}]"
        case _:
            return str(cell)
