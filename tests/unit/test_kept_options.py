"""The options of every command, as they were read and found right: kept in ``tests/golden``."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

import pytest
from currencies import kept

from meshcore.cli import _parser, main


def options(parser: argparse.ArgumentParser, words: str) -> Iterator[str]:
    """Each option of a command with what it needs, means and is without."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            yield f"{words}: a command is {'needed' if action.required else 'not needed'}"
            for name, below in action.choices.items():
                yield from options(below, f"{words} {name}")
        elif not isinstance(action, argparse._HelpAction | argparse._VersionAction):
            named = ", ".join(action.option_strings) or action.metavar
            facts = {
                "for": action.dest,
                "needed": action.required,
                "values": action.nargs,
                "one of": action.choices,
                "without": action.default,
                "bare": action.const,
                "kind": getattr(action.type, "__name__", None),
            }
            told = "; ".join(f"{k} {v!r}" for k, v in facts.items() if v not in (None, False, ""))
            yield f"{words} {named}: {told}"
    for group in parser._mutually_exclusive_groups:
        together = ", ".join(action.option_strings[0] for action in group._group_actions)
        yield f"{words}: one at most of {together}; {'one' if group.required else 'none'} is due"


def test_the_options_are_as_they_were_read() -> None:
    text = "\n".join(options(_parser(), "meshcore")) + "\n"
    assert text.splitlines() == kept("options", "all", text).splitlines()


def test_without_an_output_nothing_is_priced(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["price", "list.csv"])
    assert ended.value.code == 2
    assert "-o" in capsys.readouterr().err
