"""What the least of a quotation's choices come to, beside its sum."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Add the column, which is filled in as all that is looked up is made anew."""
    there = {column["name"] for column in sa.inspect(op.get_bind()).get_columns("heads")}
    if "choice_minor" not in there:
        op.add_column(
            "heads", sa.Column("choice_minor", sa.BigInteger, nullable=False, server_default="0")
        )


def downgrade() -> None:
    """Take the column away."""
    op.drop_column("heads", "choice_minor")
