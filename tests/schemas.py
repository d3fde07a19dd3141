"""What a database is built of, so that two can be compared."""

import re


def sqlite_schema(database) -> dict[str, set]:
    """Of each table its columns and what its checks say; of each index what it is on."""
    rows = database.execute("SELECT type, name, tbl_name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    found = {}
    for kind, name, table, sql in rows:
        if kind == "table":
            columns = database.execute(f'PRAGMA table_info("{name}")').fetchall()
            checks = re.findall(r'CONSTRAINT "(\w+)" (CHECK|UNIQUE)', sql)
            found[name] = {tuple(column[1:4]) for column in columns} | set(checks)
        elif kind == "index":
            # The hash that ends an automatic name is made of the columns, which stand in the rest of the text.
            found.setdefault(f"indexes of {table}", set()).add(re.sub(r' ON "\w+"', "", sql).replace(name, ""))
        else:
            found[f"{kind} {name}"] = {table}
    return found


def postgres_schema(cursor) -> dict[str, set]:
    """Of each table of ours its columns, indexes and constraints."""
    found = {}
    for sql in (
        "SELECT table_name, column_name, data_type, is_nullable FROM information_schema.columns",
        "SELECT tablename, regexp_replace(indexdef, '^.* USING', 'USING') FROM pg_indexes WHERE schemaname = 'public'",
        """SELECT conrelid::regclass::text, pg_get_constraintdef(oid) FROM pg_constraint
            WHERE connamespace = 'public'::regnamespace""",
    ):  # fmt: skip
        cursor.execute(sql)
        for table, *rest in cursor.fetchall():
            if table.startswith("inventory_"):
                found.setdefault(table, set()).add(tuple(rest))
    return found
