"""Tables of the store, and the steps from one version of them to the next.

Nothing in them is ever changed or taken away: triggers refuse it, also where somebody replaces a
row. Who removes the triggers is found out by the hashes.
"""

import sqlite3

APPLICATION = 0x5365616D  # in the head of the file: this is a store of ours
NEWEST = 1

_TABLES = (
    "CREATE TABLE texts (hash TEXT PRIMARY KEY NOT NULL, size INTEGER NOT NULL,"
    " packed BLOB NOT NULL)",
    "CREATE TABLE bases (digest TEXT PRIMARY KEY NOT NULL,"
    " files TEXT NOT NULL REFERENCES texts (hash))",
    "CREATE TABLE entries (hash TEXT PRIMARY KEY NOT NULL, job TEXT NOT NULL,"
    " base TEXT NOT NULL REFERENCES bases (digest), content TEXT NOT NULL)",
    "CREATE TABLE history (seq INTEGER PRIMARY KEY NOT NULL,"
    " kind TEXT NOT NULL CHECK (kind IN ('kept', 'imported')), at TEXT NOT NULL,"
    " entry TEXT NOT NULL UNIQUE REFERENCES entries (hash), head TEXT NOT NULL)",
    "CREATE INDEX entries_by_job ON entries (job)",
    "CREATE INDEX history_by_time ON history (at)",
)
_KEYS = {"texts": "hash", "bases": "digest", "entries": "hash", "history": "seq"}


def _guards(table: str, key: str) -> tuple[str, ...]:
    refuse = f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
    return (
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} {refuse}",
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} {refuse}",
        f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table}"
        f" WHEN EXISTS (SELECT 1 FROM {table} WHERE {key} = NEW.{key}) {refuse}",
    )


_IN_ORDER = (
    "CREATE TRIGGER history_in_order BEFORE INSERT ON history"
    " WHEN NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM history)"
    " BEGIN SELECT RAISE(ABORT, 'history goes on by one'); END"
)
# From a version to the next one: statements that run in one transaction, with what they bring.
STEPS: dict[int, tuple[str, ...]] = {
    0: (*_TABLES, *(g for t, k in _KEYS.items() for g in _guards(t, k)), _IN_ORDER),
}


def version_of(connection: sqlite3.Connection) -> int:
    """Version of the tables; 0 for an empty file, -1 for the file of another program."""
    [application] = connection.execute("PRAGMA application_id").fetchone()
    [version] = connection.execute("PRAGMA user_version").fetchone()
    if application == APPLICATION:
        return int(version)
    [tables] = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    return 0 if (application, version, tables) == (0, 0, 0) else -1


def bring_up_to_date(connection: sqlite3.Connection) -> None:
    """Run the steps that are missing, all of them or none; the version is read inside of it."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        version = version_of(connection)
        for step in range(version, NEWEST):
            for statement in STEPS[step]:
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        connection.execute(f"PRAGMA user_version = {NEWEST}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
