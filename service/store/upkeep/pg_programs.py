"""PostgreSQL's own programs, told where a store is by their environment.

An argument can be read by everybody on the machine while a program runs, so no part of a
store's address is one: libpq reads them all from variables (its manual, 'Environment Variables').
"""

from __future__ import annotations

import os
import shutil
import subprocess

from ..engine.faults import NoBackup


def run(program: str, url: str, *arguments: str) -> str:
    """Run `pg_dump` or `pg_restore`, as found on the PATH, on a store; what it wrote.

    Raises: NoBackup with what it said, or where it is not installed.
    """
    found = shutil.which(program)
    if found is None:
        raise NoBackup(
            f"{program} is not on the PATH.",
            advice="Install PostgreSQL's client programs.",
        )
    done = subprocess.run(  # noqa: S603 (its arguments are ours)
        [found, "--no-password", *arguments],
        env={**os.environ, **environment(url)},
        stdin=subprocess.DEVNULL, capture_output=True, text=True, errors="replace",
    )  # fmt: skip
    if done.returncode:
        said = done.stderr.strip().splitlines() or [f"it ended with {done.returncode}"]
        raise NoBackup(f"{said[0].rstrip('.')}.", advice="Nothing was changed.")
    return done.stdout


def environment(url: str) -> dict[str, str]:
    """libpq's variables for an address."""
    from psycopg import conninfo, pq  # late: only who uses PostgreSQL has it

    given = conninfo.conninfo_to_dict(url)
    names = {option.keyword.decode(): option.envvar for option in pq.Conninfo.get_defaults()}
    return {
        variable.decode(): str(value)
        for name, value in given.items()
        if (variable := names.get(name)) and value is not None
    }
