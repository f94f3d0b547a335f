from __future__ import annotations

from pathlib import Path

import pytest

from meshcore.demo import demo_data
from meshcore.supply.policy import SupplyPolicyError, default_supply_policy, read_supply_policy


def test_default_policy_is_the_customary_one() -> None:
    """Common practice, no source: 100 ft full, 49 or 41 ft half, ±10 %, 36 to 72 in, +2 %."""
    policy = default_supply_policy()
    assert [round(w / 0.0254, 9) for w in policy.widths_m] == [36, 48, 60, 72]
    assert [round(m / 0.3048, 9) for m in (policy.full_length_m, *policy.half_lengths_m)] == [
        100, 49, 41,
    ]  # fmt: skip
    assert (policy.rolls.length_under, policy.rolls.length_over) == (0.10, 0.10)
    assert (policy.rolls.width_under, policy.rolls.width_over) == (0.0, 0.02)


def test_demo_policy_reads() -> None:
    assert read_supply_policy(demo_data() / "supply_policy.toml").edge_trim_m == 0.01


def test_all_that_is_wrong_is_said_at_once(tmp_path: Path) -> None:
    text = (demo_data() / "supply_policy.toml").read_text("utf-8")
    path = tmp_path / "policy.toml"
    path.write_text(text.replace('"100 ft"', '"long"').replace('kerf = "1 mm"', ""), "utf-8")
    with pytest.raises(SupplyPolicyError, match=r"rolls.full_length.*cutting.kerf"):
        read_supply_policy(path)


def test_unreadable_files_say_so(tmp_path: Path) -> None:
    with pytest.raises(SupplyPolicyError, match="cannot be opened"):
        read_supply_policy(tmp_path / "none.toml")
    (tmp_path / "bad.toml").write_text("= nonsense", "utf-8")
    with pytest.raises(SupplyPolicyError, match="not a TOML file"):
        read_supply_policy(tmp_path / "bad.toml")


@pytest.mark.parametrize(
    ("wanted", "instead"),
    [('full_length = "100 ft"', 'full_length = "0 ft"'), ("widths = [", 'widths = ["0 in", ')],
)
def test_sizes_of_nothing_are_wrong(tmp_path: Path, wanted: str, instead: str) -> None:
    text = (demo_data() / "supply_policy.toml").read_text("utf-8")
    assert wanted in text
    path = tmp_path / "policy.toml"
    path.write_text(text.replace(wanted, instead), "utf-8")
    with pytest.raises(SupplyPolicyError, match="must be sizes above zero"):
        read_supply_policy(path)


def test_a_policy_without_widths_is_wrong(tmp_path: Path) -> None:
    lines = (demo_data() / "supply_policy.toml").read_text("utf-8").splitlines()
    none = ["widths = []" if line.startswith("widths") else line for line in lines]
    assert none != lines
    path = tmp_path / "policy.toml"
    path.write_text("\n".join(none), "utf-8")
    with pytest.raises(SupplyPolicyError, match="must be sizes above zero"):
        read_supply_policy(path)
