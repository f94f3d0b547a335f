"""The one plugin manager: loads what is installed, sets aside what fails, and says so."""

from __future__ import annotations

import importlib.metadata
import inspect
import itertools
import threading
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from types import TracebackType
from typing import Any, TypeAlias, TypeVar

import pluggy

from meshcore import contained, hookspecs
from meshcore.contained import broken_off_after
from meshcore.limits import most

T = TypeVar("T")
#: What a plugin's code may raise and is then set aside for: leaving the program too, which is
#: not for a plugin to decide. Ctrl-C is the user's.
PLUGIN_ERRORS = (Exception, SystemExit)


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
class Returned:
    """What one plugin returned from a hook, or what went wrong."""

    plugin: str
    items: tuple[object, ...]
    error: str


#: Items that passed, each with its plugin, and the faults of those that did not.
Collected: TypeAlias = tuple[tuple[tuple[str, object], ...], tuple[PluginFault, ...]]


@dataclass(slots=True)
class PluginSet:
    """The plugins of this process."""

    manager: pluggy.PluginManager
    records: tuple[PluginRecord, ...]
    load_faults: tuple[PluginFault, ...]
    _returned: dict[str, tuple[Returned, ...]] = field(default_factory=dict)
    _collected: dict[tuple[object, ...], Collected] = field(default_factory=dict)
    #: Threads register, remove and ask side by side.
    _changing: threading.RLock = field(default_factory=threading.RLock, repr=False, compare=False)

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
        Each plugin is asked by itself and once: those marked ``tryfirst`` first, those marked
        ``trylast`` last, and otherwise in the order of registration. One that raises, or returns
        something other than items of `kind` that pass `check`, is set aside for this hook and
        reported by `faults`.
        """
        key = (hook, kind, check)
        with self._changing:
            if key not in self._collected:
                self._collected[key] = self._gathered(hook, kind, check)
            contributed, _ = self._collected[key]
        return [(plugin, item) for plugin, item in contributed if isinstance(item, kind)]

    def _gathered(self, hook: str, kind: type[T], check: Callable[[T], str]) -> Collected:
        good: list[tuple[str, object]] = []
        bad: list[PluginFault] = []
        for answer in self._asked(hook):
            wrong = answer.error or _wrong(answer.items, kind, check)
            if wrong:
                bad.append(PluginFault(answer.plugin, hook, wrong))
            else:
                good.extend((answer.plugin, item) for item in answer.items)
        return tuple(good), tuple(bad)

    def _asked(self, hook: str) -> tuple[Returned, ...]:
        if hook not in self._returned:
            self._returned[hook] = tuple(map(_ask, self._implementations(hook)))
        return self._returned[hook]

    def _implementations(self, hook: str) -> list[pluggy.HookImpl]:
        registered = [name for name, _ in self.manager.list_name_plugin()]
        caller: pluggy.HookCaller = getattr(self.manager.hook, hook)
        return sorted(
            caller.get_hookimpls(),
            key=lambda one: (one.trylast - one.tryfirst, registered.index(one.plugin_name)),
        )

    def register(self, plugin: object, name: str, *, numbered: bool = False) -> Registration:
        """Add a plugin to this process, after those that are there.

        Parameters
        ----------
        plugin
            A module or an object with functions marked ``hookimpl``.
        name
            What it is called in estimates and faults.
        numbered
            Number the name where it is taken, from 2 on.

        Raises
        ------
        ValueError
            If a plugin of that name is there already, or a function is not marked for its hook.
        """
        with self._changing:
            name = self._free_name(name) if numbered else name
            if self.manager.has_plugin(name):
                raise ValueError(f'"{name}" is registered already. Give another name.')
            self.manager.register(plugin, name=name)
            try:
                self.manager.check_pending()
                _check_marked(self.manager, plugin)
            except Exception:
                self.manager.unregister(name=name)
                raise
            hooks = _hooks_of(self.manager, plugin)
            self.records += (PluginRecord(name, "", "", "in this process", hooks),)
            self._forget()
        return Registration(self, name, plugin)

    def _free_name(self, name: str) -> str:
        tries = (f"{name} {n}" if n > 1 else name for n in itertools.count(1))
        return next(one for one in tries if not self.manager.has_plugin(one))

    def remove(self, name: str) -> None:
        """Take a plugin out of this process."""
        with self._changing:
            self.manager.unregister(name=name)
            self.records = tuple(record for record in self.records if record.name != name)
            self._forget()

    def holds(self, name: str, plugin: object) -> bool:
        """Whether `plugin` is registered under `name`."""
        return self.manager.get_plugin(name) is plugin

    def _forget(self) -> None:
        contained.forget()
        self._returned.clear()
        self._collected.clear()

    def faults(self) -> tuple[PluginFault, ...]:
        """All faults found so far, load faults first."""
        with self._changing:
            collected = [fault for _, bad in self._collected.values() for fault in bad]
        return (*self.load_faults, *dict.fromkeys(collected))


@dataclass(frozen=True, slots=True)
class Registration:
    """A plugin that was added to this process, until it is removed.

    As a context manager it removes the plugin at the end of the block.
    """

    plugins: PluginSet
    name: str
    plugin: object

    def remove(self) -> None:
        """Take the plugin out of this process; a second time does nothing."""
        if self.plugins.holds(self.name, self.plugin):
            self.plugins.remove(self.name)

    def __enter__(self) -> Registration:
        """Return itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Remove the plugin."""
        self.remove()


def _ask(implementation: pluggy.HookImpl) -> Returned:
    """Call one plugin's function; whatever it raises is its fault."""
    name = implementation.plugin_name
    if implementation.hookwrapper or implementation.wrapper:
        return Returned(name, (), "TypeError: a wrapper; every plugin is asked by itself")
    try:
        returned: Any = broken_off_after(implementation.function, most("load_ms") / 1e3)
        if not isinstance(returned, Sequence) or isinstance(returned, str | bytes):
            return Returned(name, (), f"TypeError: returned {type(returned).__name__}, no sequence")
        return Returned(name, tuple(returned), "")
    except PLUGIN_ERRORS as error:
        return Returned(name, (), f"{type(error).__name__}: {error}")


def _wrong(items: Sequence[object], kind: type[T], check: Callable[[T], str]) -> str:
    """Say what is wrong with the first item that is; empty where all will do."""
    for item in items:
        if not isinstance(item, kind):
            return f"TypeError: returned a {type(item).__name__} where a {kind.__name__} is due"
        try:
            wrong = check(item)
        except PLUGIN_ERRORS as error:
            return f"{type(error).__name__}: {error}"
        if wrong:
            return f"ValueError: {wrong}"
    return ""


def _hooks_of(manager: pluggy.PluginManager, plugin: object) -> tuple[str, ...]:
    return tuple(sorted(caller.name for caller in manager.get_hookcallers(plugin) or ()))


def _check_marked(manager: pluggy.PluginManager, plugin: object) -> None:
    """Refuse a plugin with a function of a hook's name that is not marked, so never called."""
    specified = [n for n, _ in inspect.getmembers(hookspecs, inspect.isfunction)]
    marked = _hooks_of(manager, plugin)
    forgotten = [
        n for n in specified
        if n.startswith("meshcore_") and callable(getattr(plugin, n, None)) and n not in marked
    ]  # fmt: skip
    if forgotten:
        raise ValueError(f"{', '.join(forgotten)}: not marked with hookimpl")


def load(entry_points: Iterable[importlib.metadata.EntryPoint]) -> PluginSet:
    """Load plugins from entry points; one that fails to import is recorded, not raised."""
    manager = pluggy.PluginManager(hookspecs.PROJECT)
    manager.add_hookspecs(hookspecs)
    records: list[PluginRecord] = []
    faults: list[PluginFault] = []
    for point in sorted(entry_points, key=lambda p: p.name):
        try:
            plugin = broken_off_after(point.load, most("load_ms") / 1e3)
            manager.register(plugin, name=point.name)
            manager.check_pending()
            _check_marked(manager, plugin)
        except PLUGIN_ERRORS as error:
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
                hooks=_hooks_of(manager, plugin),
            )
        )
    return PluginSet(manager, tuple(records), tuple(faults))


#: Two threads that ask at once must get the same plugins.
_LOADING = threading.Lock()


def installed() -> PluginSet:
    """Return the plugins registered under the entry-point group ``meshcore``, loaded once."""
    with _LOADING:
        return _load_installed()


@cache
def _load_installed() -> PluginSet:
    return load(importlib.metadata.entry_points(group=hookspecs.PROJECT))
