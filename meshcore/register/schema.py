"""Tables of the register.

What happened is only ever added: ``items`` and ``changes`` cannot be altered, which triggers hold
against any program. What is looked up (``heads``, ``lines``, ``keys``) is derived from them, and
can be made anew at any time.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

#: Newest layout that this program knows; the layouts are in ``migrations/versions``.
LAYOUT = "0004"
#: Signs of a number, a day as ISO 8601 has it, and a time with its zone.
NUMBER_SIGNS, _DAY, _TIME = 40, 10, 32

metadata = MetaData()
#: Numbers its rows by itself in either database.
_SERIAL = BigInteger().with_variant(Integer, "sqlite")

#: A thing on file: what it is, its number, and what it came from.
items = Table(
    "items", metadata,
    Column("id", _SERIAL, primary_key=True),
    Column("kind", String(NUMBER_SIGNS), nullable=False),
    Column("number", String(NUMBER_SIGNS), nullable=False),
    Column("parent", _SERIAL, ForeignKey("items.id")),
    UniqueConstraint("kind", "number"),
)  # fmt: skip
#: What was done to it, in order: contents saved, or a mark such as "sent" or "deleted".
changes = Table(
    "changes", metadata,
    Column("item", _SERIAL, ForeignKey("items.id"), primary_key=True),
    Column("version", Integer, primary_key=True, autoincrement=False),
    Column("at", String(_TIME), nullable=False),
    Column("who", Text, nullable=False),
    Column("what", String(NUMBER_SIGNS), nullable=False),
    Column("note", Text, nullable=False),
    Column("head", Text),
    Column("lines", Text),
    Column("body", Text),
)  # fmt: skip
#: How each thing stands now.
heads = Table(
    "heads", metadata,
    Column("item", _SERIAL, ForeignKey("items.id"), primary_key=True, autoincrement=False),
    Column("kind", String(NUMBER_SIGNS), nullable=False, index=True),
    Column("number", String(NUMBER_SIGNS), nullable=False),
    Column("version", Integer, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("state", String(NUMBER_SIGNS), nullable=False, index=True),
    Column("day", String(_DAY), nullable=False, index=True),
    Column("until", String(_DAY), nullable=False),
    Column("sender", Text, nullable=False),
    Column("reference", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("currency", String(3), nullable=False),
    Column("digits", Integer, nullable=False),
    Column("total_minor", BigInteger, nullable=False),
    Column("choice_minor", BigInteger, nullable=False, server_default="0"),
    Column("line_count", Integer, nullable=False),
)  # fmt: skip
#: Lines of each thing, with the words by which they are found.
lines = Table(
    "lines", metadata,
    Column("id", _SERIAL, primary_key=True),
    Column("item", _SERIAL, ForeignKey("items.id"), nullable=False, index=True),
    Column("label", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("words", Text, nullable=False),
)  # fmt: skip
#: Numbers and references, as they are typed without signs between.
keys = Table(
    "keys", metadata,
    Column("key", String(80), primary_key=True),
    Column("item", _SERIAL, ForeignKey("items.id"), primary_key=True, autoincrement=False),
)  # fmt: skip
