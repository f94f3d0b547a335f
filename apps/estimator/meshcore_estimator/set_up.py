"""Whether the app is set up rightly: who may reach it, and what it is to read."""

from __future__ import annotations

import importlib.util
import ipaddress
import os
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from meshcore.demo import availability_in_use, default_price_book, policy_in_use
from meshcore_estimator.access import ACCESS_VARIABLE, AccessError, access_in_use

#: Address under the app's own at which it says whether what it rests on can be read.
HEALTH = "/health"
#: Path of the mill's terms and letterhead, where they are not those of the demonstration.
TERMS_VARIABLE = "MESHCORE_TERMS"
#: Where Streamlit looks for its secrets: the user's own, and those of the folder it is started in.
SECRETS = (Path.home() / ".streamlit" / "secrets.toml", Path(".streamlit") / "secrets.toml")
#: What Streamlit's sign-in by OpenID Connect needs under ``[auth]``.
_NEEDED = ("redirect_uri", "cookie_secret", "client_id", "client_secret", "server_metadata_url")
#: A secret that signs cookies is to be as long as this [characters] (256 bits in hex; our choice).
_SECRET_LENGTH = 32


@dataclass(frozen=True, slots=True)
class Checked:
    """One thing that was looked at, and what is wrong with it, if anything is."""

    what: str
    wrong: str = ""

    def __str__(self) -> str:
        return f"{self.what}: {self.wrong or 'good'}"


def is_of_this_machine(address: str) -> bool:
    """Whether an address is reached from this machine alone.

    Examples
    --------
    >>> [is_of_this_machine(one) for one in ("localhost", "127.0.0.1", "::1", "0.0.0.0", "")]
    [True, True, True, False, False]
    """
    if address == "localhost":
        return True
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def wrong_with_address(address: str, *, trusted: bool) -> str:
    """Say why the app is not served on an address; empty where it is."""
    try:
        behind_proxy = bool((access := access_in_use()) and access.proxy)
    except AccessError as error:
        # Nobody would get in, and nobody would know why.
        return str(error)
    if behind_proxy and not is_of_this_machine(address):
        return (
            f"{address or 'every address'} is reached from other machines, and whoever reaches it "
            "can write the headers of [proxy]. Serve on localhost, with the proxy on this machine."
        )
    if is_of_this_machine(address) or trusted or not wrong_with_sign_in():
        return ""
    return (
        f"{address or 'every address'} is reached from other machines, and nobody has to sign in "
        f"({wrong_with_sign_in()}). Set up sign-in, serve on localhost behind a proxy that signs "
        "people in, or say --trusted-network."
    )


def wrong_with_sign_in() -> str:
    """Say what is wrong with the sign-in of ``secrets.toml``; empty where it is set up."""
    if importlib.util.find_spec("authlib") is None:
        return 'signing in needs authlib: pip install "wirecloth-meshcore[server]"'
    file = next((one for one in reversed(SECRETS) if one.is_file()), None)
    if file is None:
        return "there is no .streamlit/secrets.toml"
    try:
        auth = tomllib.loads(file.read_text(encoding="utf-8")).get("auth")
    except (OSError, ValueError) as error:
        return f"{file}: cannot be read ({error})"
    if not isinstance(auth, dict):
        return f"{file}: has no [auth]"
    wrong = _wrong_with_auth(auth)
    return f"{file}: {wrong}" if wrong else wrong_with_roles()


def wrong_with_roles() -> str:
    """Say what is wrong with the file of roles; empty where people who sign in have one."""
    try:
        access = access_in_use()
    except AccessError as error:
        return str(error)
    if access is None:
        return "nobody who signs in has a role: name a file of roles with --access"
    if access.proxy:
        return "people sign in by [auth], so the file of roles may have no [proxy]"
    return ""


def _wrong_with_auth(auth: dict[str, object]) -> str:
    provider = next((one for one in auth.values() if isinstance(one, dict)), {})
    lacking = [name for name in _NEEDED if not (auth.get(name) or provider.get(name))]
    if lacking:
        return f"[auth] lacks {', '.join(lacking)}"
    if len(str(auth["cookie_secret"])) < _SECRET_LENGTH:
        return f"cookie_secret is shorter than {_SECRET_LENGTH} characters"
    return ""


def checks(address: str, *, trusted: bool) -> list[Checked]:
    """Look at all that the app rests on."""
    return [
        Checked(f"address {address}", wrong_with_address(address, trusted=trusted)),
        *_checked_people(),
        *(Checked(what, _tried(read)) for what, read in _readings()),
        Checked("plugins", _plugin_faults()),
    ]


def health() -> list[Checked]:
    """Look at what each estimate rests on, for whoever watches over the server."""
    wanted = ("price book", "supply policy", "register")
    return [Checked(what, _tried(read)) for what, read in _readings() if what in wanted]


def _checked_people() -> Iterator[Checked]:
    """Look at sign-in and roles, where either is set up."""
    if any(one.is_file() for one in SECRETS):
        yield Checked("sign-in", wrong_with_sign_in())
    elif os.environ.get(ACCESS_VARIABLE):
        yield Checked("roles", _tried(access_in_use))


def _readings() -> Iterator[tuple[str, Callable[[], object]]]:
    yield "price book", default_price_book
    yield "supply policy", policy_in_use
    yield "list of wire", availability_in_use
    yield "terms", _terms
    yield "register", _register


def _tried(read: Callable[[], object]) -> str:
    try:
        read()
    except (ValueError, OSError) as error:
        return " ".join(str(error).split())
    return ""


def _terms() -> None:
    from meshcore.documents.terms import read_terms  # noqa: PLC0415 - heavy

    if named := os.environ.get(TERMS_VARIABLE):
        read_terms(Path(named))


def _register() -> None:
    from meshcore.register.errors import MissingRegisterError  # noqa: PLC0415 - heavy
    from meshcore.register.finding import find  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415

    try:
        find(open_register(create=False), "", limit=1)
    except MissingRegisterError:
        # The first that is saved makes one.
        return


def _plugin_faults() -> str:
    from meshcore import plugins  # noqa: PLC0415 - heavy

    return "; ".join(str(one) for one in plugins.installed().faults())
