"""`cureyard serve`: the store, for other programs and for the yard's network."""

from __future__ import annotations

import click

from ..asking import Ask, asks


@click.command("serve")
@click.option(
    "--host", default="127.0.0.1", metavar="HOST", help="The address to listen at (127.0.0.1)."
)
@click.option(
    "--port", default=8765, type=click.IntRange(0, 65535), help="The port to listen at (8765)."
)
@click.option("--lan", is_flag=True, help="The yard's network comes in too, over TLS.")
@click.option(
    "--address", metavar="ADDRESS", help="With --lan: this machine's address, if it has several."
)
@click.option("--behind-proxy", is_flag=True, help="A proxy with TLS passes requests on.")
@click.option(
    "--trust",
    multiple=True,
    metavar="ADDRESS",
    help="The proxy's address, if it is on another machine.",
)
@click.option("--log", is_flag=True, help="A line a request, on stderr.")
@asks
def command(
    ask: Ask, host: str, port: int, lan: bool, address: str | None, behind_proxy: bool,
    trust: tuple[str, ...], log: bool,
) -> None:  # fmt: skip
    """Serve the store to other machines and programs.

    Without options it answers only programs on this machine.

    With --lan it also answers the machines of the yard's network, over TLS, with a
    certificate that it makes itself and keeps beside the store. Then everybody needs a
    token, and a phone comes in by 'cureyard phone add'.

    With --behind-proxy other machines come through a proxy that has a certificate.
    Then everybody needs a token too, and the service believes the proxy about where a
    request came from (X-Forwarded-For, -Proto and -Host).

    If the proxy is on another machine, --trust names its address, and no other
    machine is answered. Nothing is encrypted between the two: keep that network to
    them.

    Wrong entrances and faults are always logged. For a service that starts with
    the machine, see 'cureyard help server'.

    \b
    Examples:
      cureyard serve --port 8765
      cureyard serve --lan
      cureyard serve --behind-proxy --log
      cureyard serve --behind-proxy --host 192.0.2.10 --trust 192.0.2.20
    """
    if lan and behind_proxy:
        raise click.UsageError("The proxy has the certificate: --lan goes without --behind-proxy.")
    if address and not lan:
        raise click.UsageError("--address is for the yard's network: it goes with --lan.")
    if trust and not behind_proxy:
        raise click.UsageError("--trust names a proxy: it goes with --behind-proxy.")
    ask.need_no_server("serve")
    from .. import upkeep

    upkeep.serve(
        ask.settings, host, port, behind_proxy=behind_proxy, trust=trust, lan=lan,
        address=address, log=log,
    )  # fmt: skip
