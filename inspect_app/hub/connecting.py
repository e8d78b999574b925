"""The way to a hub and into it; whatever PostgreSQL says against it becomes a sentence. Knows no entry."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from inspect_app.trade.measuring.refusal import Refusal

if TYPE_CHECKING:
    from psycopg import Connection, Error

FORM = 1
"""The form of the tables in a hub that this version makes and knows."""
SCHEMA = Path(__file__).with_name("schema.sql")

NO_DRIVER = "A hub needs psycopg; install it beside the program: pip install '.[hub]'."
NO_HUB = "There is no hub in this database; make one with `inspect-app hub init`."
NO_SITE = (
    "The login {login} belongs to no site of this hub. Whoever runs the hub lets it in: "
    "SELECT hub.let_in('{login}', 'north', 'Workshop north');"
)


class Unreachable(Refusal):
    """The hub cannot be reached now; nothing is wrong with what was to be brought there."""


@contextmanager
def connected(url: str) -> Iterator[Connection]:
    """A connection, closed at the end; each transaction on it is one of its own.

    Args:
        url: of the database, as libpq takes it; TLS, password file and service are libpq's.
    Raises:
        Unreachable: it cannot be reached, or went away.
        Refusal: what the hub refuses, in its words; psycopg is not installed.
    """
    try:
        import psycopg
    except ImportError as e:
        raise Refusal(NO_DRIVER) from e
    try:
        with psycopg.connect(url, autocommit=True, connect_timeout=10) as hub:
            yield hub
    except psycopg.Error as e:
        if e.sqlstate is None and not isinstance(e, psycopg.OperationalError):
            raise  # asked wrongly, by us
        raise _refused(e) from e


def _refused(e: Error) -> Refusal:
    from psycopg import OperationalError, errors

    said = (e.diag.message_primary or str(e)).strip().splitlines()[0]
    if isinstance(e, errors.UndefinedTable | errors.InvalidSchemaName | errors.UndefinedFunction):
        return Refusal(NO_HUB)
    if isinstance(e, OperationalError):
        return Unreachable("The hub cannot be reached: {said}", said=said)
    if isinstance(e, errors.RaiseException):  # the hub's own words
        return Refusal("{said}", said=said)
    if isinstance(e, errors.InsufficientPrivilege):
        return Refusal("The hub does not allow that to this login: {said}.", said=said)
    return Refusal("The hub refused: {said}. Nothing that came with it was taken.", said=said)


def make(hub: Connection) -> str:
    """Make the tables of a hub in an empty database, or say that they are there.

    Args:
        hub: a connection of who will own them.
    Returns: what was done, as a sentence.
    Raises:
        Refusal: the database is not in UTF-8, or holds a hub of a newer version.
    """
    with hub.transaction():
        if hub.execute("SELECT to_regclass('hub.this')").fetchone() != (None,):
            refuse_other_form(hub)
            return "The hub is there already, and of this version. Nothing was changed in it."
        if hub.info.parameter_status("server_encoding") != "UTF8":
            raise Refusal("The database is not in UTF-8; make it with: createdb --encoding=UTF8 NAME.")
        hub.execute(SCHEMA.read_bytes())
    return f"The hub is made in the database {hub.info.dbname}."


def refuse_other_form(hub: Connection) -> None:
    """Refuse a hub whose tables this version does not know."""
    found = hub.execute("SELECT form FROM hub.this").fetchone()
    if found != (FORM,):
        raise Refusal(
            "The hub is of another version of this program (its form is {form}, known here is {known}). "
            "Nothing was changed in it; update the older of the two.",
            form=str(found and found[0]),
            known=str(FORM),
        )


def epoch(hub: Connection) -> str:
    """Which hub this is, and since when it goes on without a break; its first part stays when it is restored."""
    return str(only(hub, "SELECT hub.epoch()"))


def site_of(hub: Connection) -> str:
    """The site whose entries this login brings.

    Raises:
        Refusal: it belongs to none.
    """
    site = only(hub, "SELECT hub.my_site()")
    if site is None:
        raise Refusal(NO_SITE, login=hub.info.user)
    return str(site)


def only(hub: Connection, sql: str, values: tuple[object, ...] = ()) -> object:
    """The one value a question has."""
    found = hub.execute(sql.encode(), values).fetchone()
    return found[0] if found else None
