"""What is looked up: heads, lines with their words, and keys; made from what happened."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

_SERIAL = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the tables and the index of words of either database."""
    op.create_table(
        "heads",
        sa.Column("item", _SERIAL, sa.ForeignKey("items.id"), primary_key=True,
                  autoincrement=False),
        sa.Column("kind", sa.String(40), nullable=False, index=True),
        sa.Column("number", sa.String(40), nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("state", sa.String(40), nullable=False, index=True),
        sa.Column("day", sa.String(10), nullable=False, index=True),
        sa.Column("until", sa.String(10), nullable=False),
        sa.Column("sender", sa.Text, nullable=False),
        sa.Column("reference", sa.Text, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("currency", sa.String(3), nullable=False),
        sa.Column("digits", sa.Integer, nullable=False),
        sa.Column("total_minor", sa.BigInteger, nullable=False),
        sa.Column("line_count", sa.Integer, nullable=False),
    )  # fmt: skip
    op.create_table(
        "lines",
        sa.Column("id", _SERIAL, primary_key=True),
        sa.Column("item", _SERIAL, sa.ForeignKey("items.id"), nullable=False, index=True),
        sa.Column("label", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("words", sa.Text, nullable=False),
    )
    op.create_table(
        "keys",
        sa.Column("key", sa.String(80), primary_key=True),
        sa.Column("item", _SERIAL, sa.ForeignKey("items.id"), primary_key=True,
                  autoincrement=False),
    )  # fmt: skip
    op.create_index("ix_keys_item", "keys", ["item"])
    if op.get_bind().dialect.name == "sqlite":
        op.execute(
            "CREATE VIRTUAL TABLE word_index USING fts5("
            "words, content='lines', content_rowid='id', tokenize='unicode61')"
        )
        op.execute(
            "CREATE TRIGGER lines_added AFTER INSERT ON lines BEGIN "
            "INSERT INTO word_index (rowid, words) VALUES (new.id, new.words); END"
        )
        op.execute(
            "CREATE TRIGGER lines_gone AFTER DELETE ON lines BEGIN "
            "INSERT INTO word_index (word_index, rowid, words) "
            "VALUES ('delete', old.id, old.words); END"
        )
        return
    op.execute(
        "ALTER TABLE lines ADD COLUMN tokens tsvector "
        "GENERATED ALWAYS AS (array_to_tsvector(string_to_array(words, ' '))) STORED"
    )
    op.execute("CREATE INDEX ix_lines_tokens ON lines USING gin (tokens) WITH (fastupdate = off)")
    op.execute("CREATE INDEX ix_keys_prefix ON keys (key varchar_pattern_ops)")
