"""`cureyard listen`: a bay's readings, from a topic of a broker."""

from __future__ import annotations

from datetime import UTC

import click

from .. import clock
from ..api import Answer
from ..asking import Ask, asks
from ..options.common import Choice
from ..options.stored import BAY

UNITS = Choice(["degC", "degF", "K"])


@click.command("listen")
@click.argument("address", metavar="mqtt://HOST/TOPIC")
@click.option("--bay", "-b", type=BAY, help="The bay whose probe it is.")
@click.option("--as", "unit", type=UNITS, required=True, help="The unit of its numbers.")
@click.option("--field", metavar="NAME", help="The temperature's name, if messages are JSON.")
@click.option("--humidity-field", metavar="NAME", help="The relative humidity's name in the JSON.")
@asks
def command(
    ask: Ask,
    address: str,
    bay: str | None,
    unit: str,
    field: str | None,
    humidity_field: str | None,
) -> None:
    """Record what a bay's probe sends to an MQTT broker, until Ctrl-C.

    A message is a plain number, or JSON with --field; a.b names b inside a. What is no
    reading is passed over. A broker or a service that goes away is waited for; readings
    keep the moment at which they were heard. mqtts:// is encrypted.

    \b
    Examples:
      cureyard listen mqtt://broker.example/shed/temperature --bay SHED --as degC
      cureyard listen mqtts://broker.example/shed --bay SHED --as degC \\
        --field temperature --humidity-field humidity
    """
    from ..sensors.broker import Address, Listener
    from ..sensors.login import login
    from ..sensors.payloads import NoReading, Shape, read
    from ..sensors.teller import Heard, Teller

    if humidity_field is not None and field is None:
        raise click.UsageError("--humidity-field is a name in JSON: it goes with --field.")
    bay, shape = ask.needed("bay", bay), Shape(unit, field, humidity_field)
    teller = Teller(ask.api, bay, ask.say, lambda heard, answer: _show(ask, heard, answer))
    passed_over = ""

    def heard(payload: bytes) -> None:
        nonlocal passed_over
        moment = clock.now().astimezone(UTC).replace(microsecond=0).isoformat()
        try:
            heat, damp = read(payload, shape)
        except NoReading as why:
            if passed_over != str(why):  # once, however often it comes again
                passed_over = str(why)
                ask.say(f"A message is passed over: {why}")
            return
        passed_over = ""
        teller.hear(Heard(moment, heat, damp))

    listener = Listener(Address.of(address), login(), heard, ask.say, teller.stop)
    listener.start()
    try:
        teller.tell()
    finally:
        listener.stop()
        if left := teller.waiting():
            ask.say(f"{left} readings wait and are lost with the end of this command.")


def _show(ask: Ask, heard: object, answer: Answer) -> None:
    """A line for each reading."""
    from ..rendering import yard

    ask.show(answer, lambda body, view: yard.reading_heard(vars(heard), body, view))
