"""What is done on the store itself, not over the interface: serve, prove, back up, restore, move.

Imported only by a command that does it, because it imports the service.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from cureyard_service.store.engine.database import db, open_store, sqlite_path

from .answers import Record
from .embedded import close, explained, open_service, service_settings
from .exits import Stopped, Unreached
from .settings import Settings


def serve(
    settings: Settings,
    host: str,
    port: int,
    *,
    behind_proxy: bool = False,
    trust: Sequence[str] = (),
    lan: bool = False,
    address: str | None = None,
    log: bool = False,
) -> None:
    """Serve the store over HTTP until somebody stops it.

    Args:
        behind_proxy: whether a proxy with TLS passes requests on.
        trust: the proxy's addresses, where it is on another machine.
        lan: whether the yard's network is served too, over TLS.
        address: this machine's on that network, where it has several.
        log: whether each request is a line on stderr.

    Raises:
        Stopped: the address, the port or the store can't be used.
    """
    from cureyard_service.web.serve import Exposed
    from cureyard_service.web.serve import serve as serve_store

    with explained():
        try:
            serve_store(
                host,
                port,
                service_settings(settings),
                behind_proxy=behind_proxy,
                trust=trust,
                lan=lan,
                address=address,
                log=log,
            )
        except Exposed as error:
            raise Stopped(str(error)) from error
        except OSError as error:
            advice = "Take another with --port, or end what uses it."
            where = f"{host}:{port}" + (f" or {address or 'the network'}:{port}" if lan else "")
            raise Unreached(f"{where} can't be served: {error}.", advice) from error


def prove(settings: Settings, head: str | None = None) -> Record:
    """Check the books of the store that the settings name.

    Args:
        head: an older head, of which the chain is to be the continuation.

    Returns:
        `proofs`, each its `name`, whether it is `ok`, and its `findings`, one sentence each; and
        the `head` of the chain of seals, None where there is none yet.

    Raises:
        Stopped: the store can't be used, or that is no head.
    """
    from cureyard_service.store.upkeep import account, proofs
    from cureyard_service.store.yard import heads

    begins = None if head is None else heads.digits(head)
    if head is not None and begins is None:
        raise Stopped(
            f"'{head}' is no head.",
            f"Give at least its first {heads.LEAST} digits, 0 to 9 and a to f.",
        )
    with explained():
        _open_alone(settings)
        found = proofs.prove(db)
        if begins is not None:
            found.append(proofs.contains(db, begins))
        return {
            "proofs": [asdict(proof) for proof in found],
            "head": account.told(db, heads.head),
        }


def back_up(settings: Settings, file: Path) -> Record:
    """Back up the store that the settings name, into a new file.

    Returns:
        The `file`, and of its contents the `version`, the number of `movements`, and the
        `findings` of the proofs.

    Raises:
        Stopped: there is no store, or the file can't be made.
    """
    from cureyard_service.store.upkeep.backup import back_up as make

    with explained():
        path = sqlite_path(service_settings(settings).database)
        if path is not None and not path.exists():
            raise Stopped(f"There is no store at {path}.", "Set CUREYARD_DATABASE to it.")
        _open_alone(settings)
        return {"file": str(file), **_account(make(db.obj, file.absolute()))}


def look_at_backup(settings: Settings, file: Path) -> Record:
    """Whether restoring a backup would let everybody in without a token.

    Returns:
        `opens`: the backup has no token, and the store that is in use may have some;
        `tokens`: how many that store has, or None where it can't be read.

    Raises:
        Stopped: the backup can't be restored.
    """
    from cureyard_service.store.upkeep.restore import look

    close()
    with explained():
        found = look(service_settings(settings).database, file.absolute())
    return {"opens": found.opens, "tokens": found.tokens}


def restore(settings: Settings, file: Path, who: str | None, *, carry: bool = True) -> Record:
    """Replace the store that the settings name by a backup.

    Args:
        carry: whether the tokens of the replaced store stay valid.

    Returns:
        As `back_up`; `kept`, where the replaced store is now, or None; `backup_version`, the
        version of the backup; `carried`, how many `tokens` and `revocations` were taken over, or
        None where the replaced store can't be read; `has_tokens`, whether a token is needed now;
        `checksum`, whether the backup had one.

    Raises:
        Stopped: the backup can't be restored; the store is unchanged.
    """
    from cureyard_service.store.upkeep.restore import restore as put
    from cureyard_service.store.yard.hands import Hand
    from cureyard_service.web.context.settings import wall_clock

    close()
    chosen = service_settings(settings)
    hand = Hand(who or chosen.hand, verified=False)
    with explained():
        done = put(chosen.database, file.absolute(), now=wall_clock(), hand=hand, carry=carry)
    return {
        "file": str(file),
        **_account(done.account),
        "kept": done.kept,
        "backup_version": done.version,
        "carried": done.carried and done.carried._asdict(),
        "has_tokens": done.has_tokens,
        "checksum": done.sealed,
    }


def move_store(settings: Settings, to: str) -> Record:
    """Copy the store that the settings name to another address.

    Returns:
        `to`, and of the new store what `back_up` returns.

    Raises:
        Stopped: it can't be copied; the store is unchanged.
    """
    from cureyard_service.store.upkeep.transfer import move

    with explained():
        open_service(settings)
        return {"to": to, **_account(move(db.obj, to))}


def _account(account: Any) -> Record:
    return {**asdict(account), "findings": list(account.findings)}


def _open_alone(settings: Settings) -> None:
    """Open the store without the service: damaged books are looked at without asking the yard."""
    from cureyard_service.store.upkeep.migrate import migrate_forward

    close()
    migrate_forward(open_store(service_settings(settings).database))
