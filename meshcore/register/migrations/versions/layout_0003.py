"""Amounts among the keys, which are made anew after each layout: no table changes."""

from __future__ import annotations

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Change no table."""


def downgrade() -> None:
    """Change no table."""
