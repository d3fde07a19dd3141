"""The database's own guard against a place that stands, by way of others, in itself.

A constraint sees one row only, so this is a trigger. It is put in after every migrate and not by a migration: SQLite
loses the triggers of a table that a later migration writes anew.
"""

from inventory.models import Location

NAME = "inventory_location_in_no_circle"
_TABLE = Location._meta.db_table
_CIRCLE = f"""WITH RECURSIVE outside(id, parent_id) AS (
        SELECT id, parent_id FROM {_TABLE} WHERE id = NEW.parent_id
        UNION SELECT up.id, up.parent_id FROM {_TABLE} up JOIN outside ON up.id = outside.parent_id)
    SELECT 1 FROM outside WHERE id = NEW.id"""
_SQLITE = (
    f"""CREATE TRIGGER IF NOT EXISTS {NAME} BEFORE UPDATE OF parent_id ON {_TABLE} WHEN NEW.parent_id <> NEW.id
    BEGIN SELECT RAISE(ABORT, '{NAME}') WHERE EXISTS ({_CIRCLE}); END""",
)
# Two moves at once would not see each other: the lock lets one wait, and what it then reads is newer than its wait.
_POSTGRESQL = (
    f"""CREATE OR REPLACE FUNCTION {NAME}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
    PERFORM pg_advisory_xact_lock(hashtext('{NAME}'));
    IF EXISTS ({_CIRCLE}) THEN
        RAISE EXCEPTION '{NAME}' USING ERRCODE = 'check_violation';
    END IF;
    RETURN NEW; END $$""",
    f"""CREATE OR REPLACE TRIGGER {NAME} BEFORE UPDATE OF parent_id ON {_TABLE}
    FOR EACH ROW WHEN (NEW.parent_id <> NEW.id) EXECUTE FUNCTION {NAME}()""",
)
_BY_VENDOR = {"sqlite": _SQLITE, "postgresql": _POSTGRESQL}


def install(connection) -> None:
    """Put the trigger in, where it is not there already."""
    with connection.cursor() as cursor:
        for statement in _BY_VENDOR[connection.vendor]:
            cursor.execute(statement)
