"""One user for each role, with passwords that are made on this machine and kept in one file."""

import os
import secrets
import stat
from pathlib import Path

from django.conf import settings
from django.db import connection, transaction
from msgspec import Struct

from inventory.models import Role, User

_WORDS = tuple(Path(__file__).with_name("words.txt").read_text(encoding="utf-8").split())


class DemoSignIn(Struct, frozen=True):
    name: str
    password: str | None
    """None where the user has another password than the one that was made here."""


def make() -> list[DemoSignIn]:
    """One user per role: made where there is none, left as it is where there is one."""
    passwords = _read()
    fresh = {role.value: _password() for role in Role if not User.objects.filter(username=role.value).exists()}
    _write({**passwords, **fresh})
    with transaction.atomic():
        for name, password in fresh.items():
            User.objects.create_user(name, password=password, role=name)
    return [
        DemoSignIn(role.value, fresh.get(role.value) or _password_if_it_opens(role.value, passwords)) for role in Role
    ]


def password_file() -> Path:
    """Beside the database where that is a file of ours, else in the project's folder."""
    file = Path(connection.settings_dict["NAME"])
    if connection.vendor == "sqlite" and file.exists():  # not so where a test has it in memory
        return file.absolute().parent / "demo-sign-ins.txt"
    return settings.BASE_DIR / "demo-sign-ins.txt"


def _password() -> str:
    # 50 words and 9000 numbers twice over: some 37 bits, behind a door that locks after six tries.
    return "-".join(part for _ in range(2) for part in (secrets.choice(_WORDS), str(1000 + secrets.randbelow(9000))))


def _password_if_it_opens(name: str, passwords: dict[str, str]) -> str | None:
    password = passwords.get(name)
    user = User.objects.get(username=name)
    return password if password and user.is_active and user.check_password(password) else None


def _read() -> dict[str, str]:
    try:
        lines = password_file().read_text(encoding="utf-8").splitlines()
    except FileNotFoundError:
        return {}
    return dict(line.split() for line in lines if len(line.split()) == 2)


def _write(passwords: dict[str, str]) -> None:
    owner_only = stat.S_IRUSR | stat.S_IWUSR
    descriptor = os.open(password_file(), os.O_CREAT | os.O_TRUNC | os.O_WRONLY, owner_only)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        os.chmod(password_file(), owner_only)  # The file may be older than this run, and open to others.
        file.writelines(f"{name} {password}\n" for name, password in passwords.items())
