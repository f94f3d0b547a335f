"""Lines that hold words, newest first: in either database, whether the words are rare or common."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from meshcore.register.amounts import amount_condition
from meshcore.register.wanting import Wanted

if TYPE_CHECKING:
    from sqlalchemy import Connection, Row

#: Lines of the newest things that are ranked; older ones come when more words are typed (our
#: choice: it bounds the time of a word that stands everywhere).
MOST_RANKED = 200
#: A word of so many signs is found by its beginning too; shorter ones are numbers mostly.
PREFIX_FROM = 3


def newest_lines(
    connection: Connection, asked: Wanted, *, every: bool, begins: bool
) -> Sequence[Row[Any]]:
    """Return the newest lines that hold what is wanted, as many as are ranked.

    Parameters
    ----------
    connection
        Open to read.
    asked
        What is wanted.
    every
        Whether all terms must stand in the line, or any will do.
    begins
        Whether a word may only begin so.
    """
    is_sqlite = connection.dialect.name == "sqlite"
    limits = _limits(asked)
    if _are_few(connection, asked, *limits):
        return _newest_of_few(connection, _condition(asked, is_sqlite, every, begins), *limits)
    newest = _newest_in_sqlite if is_sqlite else _newest_in_postgresql
    return newest(connection, _query(asked, is_sqlite, every, begins), *limits)


#: What is told of a line that holds the words.
_TOLD = (
    "SELECT heads.*, lines.label AS line_label, lines.text AS line_text, "
    "lines.words AS line_words FROM lines JOIN heads ON heads.item = lines.item"
)
#: The newest lines that hold the words; the order of their ids is that of filing.
_NEWEST = f"ORDER BY lines.id DESC LIMIT {MOST_RANKED}"


#: Things that kind, state and day leave, of which all lines are looked through.
_FEW = 3000


def _are_few(connection: Connection, asked: Wanted, limits: str, values: dict[str, str]) -> bool:
    """Tell whether kind, state and day leave so few that a common word is met late, if at all."""
    from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when one is opened

    if not (asked.kinds or asked.states or asked.since or asked.until or asked.amount):
        return False
    left = connection.execute(
        text(f"SELECT 1 FROM heads WHERE {limits} LIMIT {_FEW}"), values
    ).all()
    return len(left) < _FEW


def _newest_of_few(
    connection: Connection,
    condition: tuple[str, dict[str, str]],
    limits: str,
    values: dict[str, str],
) -> Sequence[Row[Any]]:
    from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when one is opened

    held, words = condition
    # A cross join is taken in the order that is written; the things are the few.
    few = _TOLD.replace("lines JOIN heads ON heads.item = lines.item", "heads CROSS JOIN lines")
    return connection.execute(
        text(f"{few} WHERE lines.item = heads.item AND {limits} AND {held} {_NEWEST}"),
        values | words,
    ).all()


def _condition(
    asked: Wanted, is_sqlite: bool, every: bool, begins: bool
) -> tuple[str, dict[str, str]]:
    """Write what is wanted as a condition on one line, which no index is asked for."""
    if not is_sqlite:
        query = _query(asked, is_sqlite, every, begins)
        return "(lines.tokens @@ cast(:words AS tsquery)) IS TRUE", {"words": query}
    values: dict[str, str] = {}

    def word(plain: str) -> str:
        name = f"word{len(values)}"
        end = "" if begins and len(plain) >= PREFIX_FROM else " "
        values[name] = f" {plain}{end}"
        return f"instr(' ' || lines.words || ' ', :{name}) > 0"

    return _joined(asked, word, " AND ", " OR ", every), values


def _newest_in_sqlite(
    connection: Connection, query: str, limits: str, values: dict[str, str]
) -> Sequence[Row[Any]]:
    from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when one is opened

    return connection.execute(
        text(
            f"{_TOLD} JOIN word_index ON lines.id = word_index.rowid "
            f"WHERE word_index MATCH :words AND {limits} "
            f"ORDER BY word_index.rowid DESC LIMIT {MOST_RANKED}"
        ),
        {"words": query} | values,
    ).all()


#: Lines that hold words which are rare; common ones are met soon among the newest lines.
_RARE = 3000


def _newest_in_postgresql(
    connection: Connection, query: str, limits: str, values: dict[str, str]
) -> Sequence[Row[Any]]:
    """Look rare words up in their index, and meet common ones from the newest line back.

    How many lines hold a word is unknown to the planner, which takes every word that is not among
    the commonest for one in two hundred, and would read all lines for one that stands in none. So
    it is counted first, up to a limit, and each way is taken where it is the quick one.
    """
    from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when one is opened

    held = "lines.tokens @@ cast(:words AS tsquery)"
    if query.count("|") > query.count("&"):
        # Any of several words is mostly met among the newest lines.
        recent = _TOLD.replace(
            "FROM lines", f"FROM (SELECT * FROM lines ORDER BY id DESC LIMIT {_RARE}) AS lines"
        )
        rows = connection.execute(
            text(f"{recent} WHERE {held} AND {limits} {_NEWEST}"), {"words": query} | values
        ).all()
        if len(rows) == MOST_RANKED:
            return rows
    _plan(connection, seqscan=False, bitmapscan=True)
    ids = connection.execute(
        text(f"SELECT id FROM lines WHERE {held} LIMIT {_RARE}"), {"words": query}
    ).scalars().all()  # fmt: skip
    if len(ids) < _RARE:
        given = {"ids": list(ids)} | values
        return connection.execute(
            text(f"{_TOLD} WHERE lines.id = ANY(:ids) AND {limits} {_NEWEST}"), given
        ).all()
    _plan(connection, seqscan=True, bitmapscan=False)
    return connection.execute(
        text(f"{_TOLD} WHERE {held} AND {limits} {_NEWEST}"), {"words": query} | values
    ).all()


def _plan(connection: Connection, *, seqscan: bool, bitmapscan: bool) -> None:
    """Tell PostgreSQL's planner which ways to take, until the transaction ends."""
    from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when one is opened

    connection.execute(
        text("SELECT set_config('enable_seqscan', :seq, true), "
             "set_config('enable_bitmapscan', :bitmap, true)"),
        {"seq": "on" if seqscan else "off", "bitmap": "on" if bitmapscan else "off"},
    )  # fmt: skip


def _limits(asked: Wanted) -> tuple[str, dict[str, str]]:
    """Conditions on the heads as SQL, with their values."""
    held: list[str] = []
    values: dict[str, str] = {}
    for column, given in (("kind", asked.kinds), ("state", asked.states)):
        if given:
            names = {f"{column}{n}": one for n, one in enumerate(given)}
            held.append(f"heads.{column} IN ({', '.join(f':{name}' for name in names)})")
            values |= names
    if not asked.states:
        held.append("heads.state <> 'deleted'")
    for sign, name, day in ((">=", "since", asked.since), ("<=", "until", asked.until)):
        if day:
            held.append(f"heads.day {sign} :{name}")
            values[name] = day
    if asked.amount is not None:
        held.append(f"({amount_condition(asked.amount)})")
    return " AND ".join(held), values


def _query(asked: Wanted, is_sqlite: bool, every: bool, begins: bool) -> str:
    """Write what is wanted as either database's own query; words are letters and digits alone."""
    both, either = (" AND ", " OR ") if is_sqlite else (" & ", " | ")
    quote, rest = ('"', "*") if is_sqlite else ("'", ":*")

    def word(plain: str) -> str:
        return f"{quote}{plain}{quote}{rest if begins and len(plain) >= PREFIX_FROM else ''}"

    return _joined(asked, word, both, either, every)


def _joined(asked: Wanted, word: Callable[[str], str], both: str, either: str, every: bool) -> str:
    """Join the words of the terms, each by any of its alternatives."""
    terms = [
        "(" + either.join("(" + both.join(map(word, option)) + ")" for option in term) + ")"
        for term in asked.terms
    ]
    return (both if every else either).join(terms)
