"""What an option of the command line means where it is left out, or given without a value."""

from __future__ import annotations

import argparse

import pytest

from meshcore.commands.options import add_cutting_options, read_cutting
from meshcore.supply.cutting import CuttingEffort


@pytest.mark.parametrize(
    ("words", "effort"),
    [
        ([], None),
        (["--seed", "3"], None),
        # How pieces must lie was passed over in silence without --plan.
        (["--seed", "3", "--bias"], CuttingEffort(10.0, 3, bias_45=True)),
        (["--plan", "0"], CuttingEffort(0.0, 0)),
        (["--plan"], CuttingEffort(10.0, 0)),
        (["--plan", "2.5", "--seed", "0"], CuttingEffort(2.5, 0)),
        (["--plan", "--seed", "7"], CuttingEffort(10.0, 7)),
        (["--plan", "--bias"], CuttingEffort(10.0, 0, bias_45=True)),
        (["--plan", "--warp-along"], CuttingEffort(10.0, 0, warp_along_long_side=True)),
    ],
)
def test_cutting_is_planned_as_asked_and_only_then(
    words: list[str], effort: CuttingEffort | None
) -> None:
    parser = argparse.ArgumentParser()
    add_cutting_options(parser)
    assert read_cutting(parser.parse_args(words)) == effort


@pytest.mark.parametrize("text", ["1" * 19, "-1", "1.0", "", "x" * 60])
def test_a_seed_out_of_reason_is_named_in_short(
    text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    parser = argparse.ArgumentParser()
    add_cutting_options(parser)
    with pytest.raises(SystemExit):
        parser.parse_args(["--seed=" + text])
    assert f"'{text[:40]}' is no whole number" in capsys.readouterr().err


def test_a_seed_of_many_digits_is_taken() -> None:
    parser = argparse.ArgumentParser()
    add_cutting_options(parser)
    assert parser.parse_args(["--seed", "9" * 18]).seed == 10**18 - 1
