"""What happened: things and their changes, which nothing may alter."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_SERIAL = sa.BigInteger().with_variant(sa.Integer, "sqlite")
_KEPT = "a register is only added to"


def upgrade() -> None:
    """Make the two tables, and what keeps them from being altered."""
    op.create_table(
        "items",
        sa.Column("id", _SERIAL, primary_key=True),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("number", sa.String(40), nullable=False),
        sa.Column("parent", _SERIAL, sa.ForeignKey("items.id")),
        sa.UniqueConstraint("kind", "number"),
    )
    op.create_table(
        "changes",
        sa.Column("item", _SERIAL, sa.ForeignKey("items.id"), primary_key=True),
        sa.Column("version", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("what", sa.String(40), nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("head", sa.Text),
        sa.Column("lines", sa.Text),
        sa.Column("body", sa.Text),
    )
    op.create_index("ix_items_parent", "items", ["parent"])
    if op.get_bind().dialect.name == "sqlite":
        for table in ("items", "changes"):
            for deed in ("UPDATE", "DELETE"):
                op.execute(
                    f"CREATE TRIGGER {table}_{deed.lower()} BEFORE {deed} ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{_KEPT}'); END"
                )
        return
    op.execute(
        "CREATE FUNCTION only_added() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{_KEPT}'; END $$"
    )
    for table in ("items", "changes"):
        op.execute(
            f"CREATE TRIGGER {table}_kept BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION only_added()"
        )
