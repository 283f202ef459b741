"""The five rules as five queries: in an analytic SQL engine with columns, and in the one of Python's standard library."""

from __future__ import annotations

import sqlite3
from typing import Any

from peers.hand import Broken
from peers.rows import Rows

QUERIES = {
    "loss": """
        select l.camera from links l join inputs i on l.input = i.input
        where i."exists" and l.outcome not in ('no-picture', 'needs-setting') and l.loss > l.loss_limit""",
    "shared": """
        select i.input from inputs i join links l on l.input = i.input
        where i."exists" group by i.input having count(*) > 1""",
    "encode": """
        select r.recorder from recorders r join links l on l.recorder = r.recorder
        group by r.recorder, r.encode_total having sum(l.pixels * l.rate) > r.encode_total""",
    "output": """
        select o.output from outputs o join feeds f on f.output = o.output
        where o."exists" group by o.output, o.amps_max
        having max(cast(f.collapsed as integer)) = 0 and sum(f.amps_night) > o.amps_max""",
    "picture": """
        select l.camera from links l join inputs i on l.input = i.input
        where i."exists" and l.emits_set_mode and l.family_taken and l.outcome = 'no-picture'""",
}


def _answers(run: Any) -> Broken:
    return {name: [row[0] for row in run(query).fetchall()] for name, query in QUERIES.items()}


class Duck:
    """DuckDB, from columns."""

    name = "DuckDB"
    package = "duckdb"
    includes = "columns of numpy, scanned in place (less work than tables); one thread (less than several)"

    def __init__(self) -> None:
        import duckdb
        import numpy

        self.connect, self.array = duckdb.connect, numpy.array

    def load(self, rows: Rows) -> Any:
        """Views of columns."""
        connection = self.connect(config={"threads": 1})
        for name, table in rows._asdict().items():
            columns = zip(*table, strict=True)
            frame = {field: self._column(values) for field, values in zip(table[0]._fields, columns, strict=True)}
            connection.register(name, frame)
        return connection

    def _column(self, values: tuple[Any, ...]) -> Any:
        return self.array(values, dtype=object if isinstance(values[0], str) else None)

    def judge(self, connection: Any) -> Broken:
        """Five queries."""
        return _answers(connection.execute)


class Lite:
    """SQLite, in memory."""

    name = "SQLite"
    package = ""
    includes = "tables in memory with a primary key and indexes on what is joined"

    def load(self, rows: Rows) -> sqlite3.Connection:
        """Tables and indexes."""
        connection = sqlite3.connect(":memory:")
        for name, table in rows._asdict().items():
            fields = ", ".join(f'"{field}"' for field in table[0]._fields)
            key = f", primary key ({table[0]._fields[0]})) without rowid" if name not in ("links", "feeds") else ")"
            connection.execute(f"create table {name} ({fields}{key}")
            connection.executemany(f"insert into {name} values ({', '.join('?' * len(table[0]))})", table)
        return connection

    def judge(self, connection: sqlite3.Connection) -> Broken:
        """Five queries."""
        return _answers(connection.execute)
