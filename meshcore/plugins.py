"""The one plugin manager: loads what is installed, sets aside what fails, and says so."""

from __future__ import annotations

import importlib.metadata
import inspect
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import TypeVar

import pluggy

from meshcore import hookspecs

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class PluginRecord:
    """A plugin that loaded, and where it came from."""

    name: str
    distribution: str
    version: str
    location: str
    hooks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PluginFault:
    """What a plugin did wrong; the rest of the program goes on without that part of it."""

    plugin: str
    where: str
    error: str

    def __str__(self) -> str:
        return f"plugin {self.plugin} set aside in {self.where}: {self.error}"


@dataclass(frozen=True, slots=True)
class Contribution:
    """One thing contributed through a hook, and by which plugin."""

    plugin: str
    item: object


@dataclass(slots=True)
class PluginSet:
    """The plugins of this process."""

    manager: pluggy.PluginManager
    records: tuple[PluginRecord, ...]
    load_faults: tuple[PluginFault, ...]
    _collected: dict[str, tuple[tuple[Contribution, ...], tuple[PluginFault, ...]]] = field(
        default_factory=dict
    )

    def collect(
        self, hook: str, kind: type[T], check: Callable[[T], str] = lambda _: ""
    ) -> list[tuple[str, T]]:
        """Gather what every plugin returns from `hook`, each with its plugin's name.

        Parameters
        ----------
        hook
            Name of the hook.
        kind
            Type that each contributed item must have.
        check
            Returns what is wrong with an item, or an empty text.

        Notes
        -----
        A plugin that raises, or returns something other than items of `kind`, is set aside for
        this hook and reported by `faults`.
        """
        if hook not in self._collected:
            good: list[Contribution] = []
            bad: list[PluginFault] = []
            for plugin, name in self._implementers(hook):
                try:
                    items = _call(plugin, hook, kind, check)
                except Exception as error:  # noqa: BLE001 - a stranger's code may raise anything
                    bad.append(PluginFault(name, hook, f"{type(error).__name__}: {error}"))
                else:
                    good.extend(Contribution(name, item) for item in items)
            self._collected[hook] = (tuple(good), tuple(bad))
        estimates, _ = self._collected[hook]
        return [(c.plugin, c.item) for c in estimates if isinstance(c.item, kind)]

    def _implementers(self, hook: str) -> list[tuple[object, str]]:
        named = self.manager.list_name_plugin()
        return [(plugin, name) for name, plugin in named if plugin and hasattr(plugin, hook)]

    def faults(self) -> tuple[PluginFault, ...]:
        """All faults found so far, load faults first."""
        return self.load_faults + tuple(f for _, bad in self._collected.values() for f in bad)


def _call(plugin: object, hook: str, kind: type[T], check: Callable[[T], str]) -> list[T]:
    returned = getattr(plugin, hook)()
    if not isinstance(returned, Sequence) or isinstance(returned, str | bytes):
        raise TypeError(f"returned {type(returned).__name__}, not a sequence of {kind.__name__}")
    for item in returned:
        if not isinstance(item, kind):
            raise TypeError(f"returned a {type(item).__name__} where a {kind.__name__} is due")
        if wrong := check(item):
            raise ValueError(wrong)
    return list(returned)


def _hooks_of(plugin: object) -> tuple[str, ...]:
    names = [n for n, _ in inspect.getmembers(hookspecs, inspect.isfunction)]
    return tuple(n for n in names if n.startswith("meshcore_") and hasattr(plugin, n))


def load(entry_points: Iterable[importlib.metadata.EntryPoint]) -> PluginSet:
    """Load plugins from entry points; one that fails to import is recorded, not raised."""
    manager = pluggy.PluginManager(hookspecs.PROJECT)
    manager.add_hookspecs(hookspecs)
    records: list[PluginRecord] = []
    faults: list[PluginFault] = []
    for point in sorted(entry_points, key=lambda p: p.name):
        try:
            plugin = point.load()
            manager.register(plugin, name=point.name)
            manager.check_pending()
        except Exception as error:  # noqa: BLE001 - a stranger's module may raise anything
            if manager.has_plugin(point.name):
                manager.unregister(name=point.name)
            faults.append(PluginFault(point.name, "load", f"{type(error).__name__}: {error}"))
            continue
        distribution = point.dist
        records.append(
            PluginRecord(
                name=point.name,
                distribution=distribution.name if distribution else "",
                version=distribution.version if distribution else "",
                location=str(getattr(plugin, "__file__", "") or point.value),
                hooks=_hooks_of(plugin),
            )
        )
    return PluginSet(manager, tuple(records), tuple(faults))


@cache
def installed() -> PluginSet:
    """Return the plugins registered under the entry-point group ``meshcore``, loaded once."""
    return load(importlib.metadata.entry_points(group=hookspecs.PROJECT))
