"""Dumps of a PostgreSQL database by its own programs, and the way back."""

import os
import subprocess
import tempfile
from pathlib import Path

from django.db import connection, transaction

from config.running.copies import keep_on_disk
from workshop.keeping.trouble import KeepingTrouble

ADDRESS = object()  # stands for the database's address among the words of a call
PASSED_ON = ("host", "port", "user", "dbname", "sslmode", "sslrootcert")


def call(program, *words):
    """Run one of PostgreSQL's programs on this database; the password goes by the environment."""
    params = connection.get_connection_params()
    address = " ".join(f"{name}='{params[name]}'" for name in PASSED_ON if params.get(name))
    env = {**os.environ, "PGPASSWORD": str(params.get("password") or "")}
    words = [address if word is ADDRESS else str(word) for word in words]
    try:
        # fixed programs, no shell, and words of our own
        done = subprocess.run([program, *words], env=env, capture_output=True, text=True, check=False)  # noqa: S603
    except FileNotFoundError as error:
        raise KeepingTrouble(
            f"{program} is not installed. On Debian and Ubuntu: apt install postgresql-client"
        ) from error
    if done.returncode:
        raise KeepingTrouble(f"{program}: {done.stderr.strip() or 'it failed'}")
    return done.stdout


def standing():
    """The migrations and the rows of each table, as the open transaction sees them."""
    with connection.cursor() as cursor:
        tables = sorted(connection.introspection.table_names(cursor))
        rows = {}
        for table in tables:
            # the names come from the database's own list of tables
            cursor.execute(f"SELECT count(*) FROM {connection.ops.quote_name(table)}")  # noqa: S608
            rows[table] = cursor.fetchone()[0]
        cursor.execute("SELECT app, name FROM django_migrations")
        return [f"{app}.{name}" for app, name in cursor.fetchall()], rows


def dump(target):
    """A dump, and what it holds: counts and dump see the same moment."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        cursor.execute("SELECT pg_export_snapshot()")
        snapshot = cursor.fetchone()[0]
        found = standing()
        words = ("--format=custom", "--no-owner", f"--snapshot={snapshot}", f"--file={target}")
        call("pg_dump", *words, "-d", ADDRESS)
    Path(target).chmod(0o600)
    keep_on_disk(Path(target))
    check(target)
    return found


def check(file):
    """Read the list of what a dump holds; raises KeepingTrouble where it can't be read."""
    if " TABLE DATA " not in call("pg_restore", "--list", file):
        raise KeepingTrouble(f"{file} holds no tables of a database.")


def put_in(file):
    """Make the database what the dump is, in one transaction: all of it or nothing."""
    with connection.cursor() as cursor:
        names = [connection.ops.quote_name(name) for name in connection.introspection.table_names(cursor)]
    connection.close()
    with tempfile.TemporaryDirectory(prefix="grainglass-restore-") as folder:
        script, away = Path(folder) / "restore.sql", Path(folder) / "away.sql"
        away.write_text("".join(f"DROP TABLE IF EXISTS {name} CASCADE;\n" for name in names))
        call("pg_restore", "--no-owner", "--no-privileges", f"--file={script}", file)
        words = ("--quiet", "--single-transaction", "--set=ON_ERROR_STOP=1", "--no-psqlrc")
        call("psql", *words, f"--file={away}", f"--file={script}", "-d", ADDRESS)
