"""A process with the heavy libraries at hand, which runs tests in a copy of itself.

Each line on its standard input asks for one run, as JSON: the tests, and how long they may take.
Each is answered by a line with the exit code of pytest, or minus the signal that ended it. What a
mutant does to the modules of the project ends with the copy that loaded them.
"""

from __future__ import annotations

import importlib
import json
import os
import resource
import signal
import sys

#: Other people's libraries that nearly every test loads; none of the project's own modules.
LIBRARIES = ("_pytest.assertion.rewrite", "pytest", "hypothesis", "numpy", "pandas", "pint",
             "openpyxl", "highspy", "shapely", "ezdxf", "pluggy", "xlrd")  # fmt: skip
#: A mutant may also wait for ever, without computing: so many times its allowed time at most.
WAITING = 10


def run(tests: list[str], seconds: int) -> int:
    """Run tests in a copy of this process; minus the signal, where it had to be ended."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
    signal.alarm(WAITING * seconds)
    nothing = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nothing, stream)
    code = 1
    try:
        pytest = importlib.import_module("pytest")
        code = int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", *tests]))
    finally:
        os._exit(code)


def main() -> None:
    """Answer each line until there are no more."""
    for library in LIBRARIES:
        importlib.import_module(library)
    for line in sys.stdin:
        asked = json.loads(line)
        sys.stdout.write(f"{run(asked['tests'], asked['seconds'])}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
