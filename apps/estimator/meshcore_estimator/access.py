"""Who may do what: the file that gives people their roles, by what their sign-in says of them."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from pathlib import Path

#: Path of the file of roles.
ACCESS_VARIABLE = "MESHCORE_ACCESS"
#: Claim that names a person (OpenID Connect Core 1.0, section 5.1), and the one that says whether
#: the provider has made sure of it.
EMAIL, _VERIFIED = "email", "email_verified"
_OTHERWISE, _PROXY, _REFUSED = "otherwise", "proxy", "refused"


class Deed(Enum):
    """What not everybody may do."""

    COSTS = "see costs"
    REGISTER = "put anything on file or change it"
    BOOK = "save the price book"


@dataclass(frozen=True, slots=True)
class Role:
    """What a person is here, and what that allows."""

    name: str
    may: frozenset[Deed]


VIEWER = Role("viewer", frozenset())
ESTIMATOR = Role("estimator", frozenset({Deed.COSTS, Deed.REGISTER}))
KEEPER = Role("keeper", frozenset(Deed))
#: From the least to the most: of several roles that a person has, the last counts.
ROLES = (VIEWER, ESTIMATOR, KEEPER)
_BY_NAME = {role.name: role for role in ROLES}

#: What a sign-in says of a person: claim → its values.
Claims = Mapping[str, tuple[str, ...]]


class AccessError(ValueError):
    """A file of roles that cannot be used."""


@dataclass(frozen=True, slots=True)
class Access:
    """A file of roles, read.

    Parameters
    ----------
    otherwise
        Role of whoever signs in and is named nowhere; None where such a person is refused.
    named
        Role → claim → the values that give it.
    proxy
        Claim → header in which a proxy on this machine tells it; empty where none signs people in.
    """

    otherwise: Role | None
    named: Mapping[str, Mapping[str, tuple[str, ...]]]
    proxy: Mapping[str, str]

    def role_of(self, claims: Claims) -> Role | None:
        """Return the role of a person; None where the person is refused.

        Examples
        --------
        >>> access = Access(None, {"viewer": {"email": ("@mill.example",)},
        ...                        "keeper": {"groups": ("book",)}}, {})
        >>> access.role_of({"email": ("ann@mill.example",)}).name
        'viewer'
        >>> access.role_of({"email": ("bo@mill.example",), "groups": ("book", "all")}).name
        'keeper'
        >>> access.role_of({"email": ("cy@elsewhere.example",)}) is None
        True
        """
        known = [role for role in ROLES if _is_named(self.named.get(role.name, {}), claims)]
        return known[-1] if known else self.otherwise


def _is_named(wanted: Mapping[str, tuple[str, ...]], claims: Claims) -> bool:
    return any(
        _agrees(value, said, is_address=claim == EMAIL)
        for claim, values in wanted.items()
        for value in values
        for said in claims.get(claim, ())
    )


def _agrees(value: str, said: str, *, is_address: bool) -> bool:
    if not is_address:
        return value == said
    value, said = value.casefold(), said.casefold()
    return said.endswith(value) if value.startswith("@") else said == value


def claims_of(told: Mapping[str, object]) -> Claims:
    """Return what a sign-in says, each claim as texts.

    An address that the provider itself calls unverified names nobody.

    Examples
    --------
    >>> claims_of({"email": "ann@mill.example", "groups": ["a", "b"], "exp": 1})
    {'email': ('ann@mill.example',), 'groups': ('a', 'b')}
    >>> claims_of({"email": "ann@mill.example", "email_verified": False})
    {}
    """
    claims: dict[str, tuple[str, ...]] = {}
    for name, value in told.items():
        if isinstance(value, str):
            claims[name] = (value,)
        elif isinstance(value, Iterable) and not isinstance(value, Mapping):
            claims[name] = tuple(one for one in value if isinstance(one, str))
    if told.get(_VERIFIED) in (False, "false"):
        claims.pop(EMAIL, None)
    return claims


def access_in_use() -> Access | None:
    """Return the file that ``MESHCORE_ACCESS`` names, as it is now; None where none is named.

    Raises
    ------
    AccessError
        If it cannot be used.
    """
    named = os.environ.get(ACCESS_VARIABLE)
    if not named:
        return None
    path = Path(named)
    try:
        changed = path.stat().st_mtime_ns
    except OSError as error:
        raise AccessError(f"{path}: cannot be read ({error.strerror})") from error
    return _read(path, changed)


@lru_cache(maxsize=2)
def _read(path: Path, _changed: int) -> Access:
    return read_access(path)


def read_access(path: Path) -> Access:
    """Read a file of roles.

    Raises
    ------
    AccessError
        If it is no such file; what is wrong is named.
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise AccessError(f"{path}: cannot be read ({error.strerror})") from error
    except ValueError as error:
        raise AccessError(f"{path}: is not TOML ({error})") from error
    if unknown := [name for name in data if name not in (*_BY_NAME, _OTHERWISE, _PROXY)]:
        known = ", ".join((_OTHERWISE, _PROXY, *_BY_NAME))
        raise AccessError(f"{path}: {', '.join(unknown)}: no such entry. It may have {known}")
    otherwise = data.get(_OTHERWISE)
    if otherwise not in (*_BY_NAME, _REFUSED):
        raise AccessError(
            f"{path}: {_OTHERWISE}: say what people are who are named nowhere: {_REFUSED}, "
            f"{', '.join(_BY_NAME)}"
        )
    named = {
        name: {str(claim): _values(path, name, claim, given) for claim, given in table.items()}
        for name, table in _tables(path, data, tuple(_BY_NAME))
    }
    proxy = {
        str(claim): _text(path, claim, header)
        for _, table in _tables(path, data, (_PROXY,))
        for claim, header in table.items()
    }
    if proxy and EMAIL not in proxy:
        raise AccessError(f"{path}: [{_PROXY}]: {EMAIL}: name the header that tells the address")
    return Access(_BY_NAME.get(otherwise), named, proxy)


def _tables(
    path: Path, data: Mapping[str, object], names: Iterable[str]
) -> Iterable[tuple[str, Mapping[str, object]]]:
    for name in names:
        table = data.get(name, {})
        if not isinstance(table, Mapping):
            raise AccessError(f"{path}: {name}: write a table, [{name}]")
        yield name, table


def _values(path: Path, role: str, claim: str, given: object) -> tuple[str, ...]:
    if not isinstance(given, list) or not all(isinstance(one, str) and one for one in given):
        raise AccessError(f'{path}: [{role}]: {claim}: write a list, such as ["ann@mill.example"]')
    return tuple(given)


def _text(path: Path, claim: str, header: object) -> str:
    if not isinstance(header, str) or not header:
        raise AccessError(f'{path}: [{_PROXY}]: {claim}: name a header, as "X-Forwarded-Email"')
    return header
