"""Open the app: ``python -m meshcore_estimator``."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

from meshcore.demo import BOOK_VARIABLE, DEMO_VARIABLE, POLICY_VARIABLE
from meshcore.supply.shapes.drawing_files import DRAWINGS_VARIABLE
from meshcore_estimator import set_up
from meshcore_estimator.access import ACCESS_VARIABLE

#: Exit code where the app cannot start, as for the command line of the core.
COULD_NOT = 2
_NO_STREAMLIT = (
    "meshcore_estimator: streamlit is not installed. "
    'Install it with: pip install "wirecloth-meshcore[app]"\n'
)
SCRIPT = Path(__file__).parent / "app.py"
#: What is served: the script, with an address for its health.
_SERVED = SCRIPT.with_name("served.py")


def main(arguments: list[str] | None = None) -> int:
    """Serve the app until it is interrupted.

    Parameters
    ----------
    arguments
        Command line; that of the process, if None.

    Returns
    -------
    Exit code.
    """
    chosen = _parser().parse_args(arguments)
    try:
        from streamlit.web import cli  # noqa: PLC0415 - an extra: its absence is answered below

        from meshcore_estimator.shared import watching  # noqa: PLC0415 - needs it too
    except ModuleNotFoundError:
        sys.stderr.write(_NO_STREAMLIT)
        return COULD_NOT
    if chosen.demo:
        os.environ[DEMO_VARIABLE] = "1"
        os.environ.pop(BOOK_VARIABLE, None)
        os.environ.pop(POLICY_VARIABLE, None)
    if chosen.book:
        os.environ[BOOK_VARIABLE] = str(chosen.book.resolve())
    if chosen.policy:
        os.environ[POLICY_VARIABLE] = str(chosen.policy.resolve())
    if chosen.access:
        os.environ[ACCESS_VARIABLE] = str(chosen.access.resolve())
    if chosen.backup or chosen.restore:
        return _copied(chosen)
    if chosen.check:
        found = set_up.checks(chosen.address, trusted=chosen.trusted_network)
        sys.stdout.write("".join(f"{one}\n" for one in found))
        return COULD_NOT if any(one.wrong for one in found) else 0
    if wrong := set_up.wrong_with_address(chosen.address, trusted=chosen.trusted_network):
        sys.stderr.write(f"meshcore_estimator: {wrong}\n")
        return COULD_NOT
    watching.log_to_stderr()
    # A list that is uploaded names no file of this computer but the drawings that came with it.
    with tempfile.TemporaryDirectory(prefix="meshcore-") as folder:
        os.environ[DRAWINGS_VARIABLE] = os.path.realpath(folder)
        try:
            cli.main(["run", str(_SERVED), *_server_options(chosen)], standalone_mode=False)
        finally:
            del os.environ[DRAWINGS_VARIABLE]
    return 0


def _copied(chosen: argparse.Namespace) -> int:
    from meshcore_estimator import office_copy  # noqa: PLC0415 - heavy, and only when it runs

    try:
        if chosen.backup:
            names = office_copy.back_up(chosen.backup)
        elif chosen.into:
            names = office_copy.put_back(chosen.restore, chosen.into)
        else:
            sys.stderr.write("meshcore_estimator: --restore needs --into FOLDER, a new one\n")
            return COULD_NOT
    except office_copy.CopyError as error:
        sys.stderr.write(f"meshcore_estimator: {error}\n")
        return COULD_NOT
    sys.stdout.write(office_copy.told(names))
    return 0


def _server_options(chosen: argparse.Namespace) -> list[str]:
    options = [f"--server.port={chosen.port}", f"--server.address={chosen.address}",
               # A click is not lost to the message after it; see `shared.unbroken`.
               "--runner.fastReruns=false",
               # The viewer of models is a file of this server: see `shared.model_view`.
               "--server.enableStaticServing=true",
               # What fails is in the log, under a number, and not on the screen.
               "--client.showErrorDetails=none"]  # fmt: skip
    return [*options, "--server.headless=true"] if chosen.no_browser else options


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="meshcore_estimator", description="Estimates for woven wire cloth, in the browser."
    )
    parser.add_argument("--demo", action="store_true",
                        help="start with the invented mill and one of its enquiries")  # fmt: skip
    parser.add_argument("--book", type=Path, metavar="FILE", help="price book (.toml or .xlsx)")
    parser.add_argument("--policy", type=Path, metavar="FILE", help="supply policy (.toml)")
    parser.add_argument("--access", type=Path, metavar="FILE",
                        help="who may do what, by their sign-in (.toml)")  # fmt: skip
    parser.add_argument("--port", type=int, default=8501, help="port to serve on (8501)")
    parser.add_argument("--address", default="localhost",
                        help="address to serve on (localhost: this machine only)")  # fmt: skip
    parser.add_argument("--trusted-network", action="store_true",
                        help="serve on another address without sign-in: whoever reaches it is "
                             "trusted with prices, costs and the register")  # fmt: skip
    parser.add_argument("--check", action="store_true",
                        help="say what is wrong with the set-up, and serve nothing")  # fmt: skip
    parser.add_argument("--backup", type=Path, metavar="FILE",
                        help="write register, book with versions and the other files into one file "
                             "(.zip), and serve nothing")  # fmt: skip
    parser.add_argument("--restore", type=Path, metavar="FILE",
                        help="put such a file back: the register into an empty one, files --into a "
                             "new folder")  # fmt: skip
    parser.add_argument("--into", type=Path, metavar="FOLDER", help="where --restore puts files")
    parser.add_argument("--no-browser", action="store_true", help="do not open a browser")
    return parser


if __name__ == "__main__":
    sys.exit(main())
