"""A day at an invented yard, as it is typed: the same lines against a server and by the door."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path


@dataclass(frozen=True)
class Step:
    """A line that is typed.

    Attributes:
        name: what its answer is called in the tests.
        line: the command; `{fields}` are moments, dates and files of the day.
        exits: how it must end.
    """

    name: str
    line: str
    exits: int = 0


RESIN = (
    "product add LAM-PE --name 'Laminating polyester' --role resin --chemistry polyester "
    "--density '1.1 kg/L' --shelf-life '180 d' --mix catalysed --surface air_inhibited "
    "--with PEROX-9 --reference '20 degC' 2 --gel-time '15 degC' 2 '25-29 min' "
    "--gel-time '20 degC' 2 '18-20 min' --gel-time '20 degC' 1 '36-42 min' "
    "--gel-time '25 degC' 2 '13-14 min' --percent-min 1 --percent-max 3 --apply-min '12 degC' "
    "--cure-min '8 degC' --recoat-opens '2 h' --recoat-closes '20 h' --sandable '8 h' "
    "--pot-max '3 kg'"
)

DAY = (
    Step("peroxide", "product add PEROX-9 --name Peroxide --role catalyst --density '1.15 kg/L'"),
    Step("resin", RESIN),
    Step("mat", "product add MAT-450 --name 'Chopped strand mat' --role reinforcement "
                "--areal-weight '450 g/m2' --width '1.25 m'"),
    Step("filler", "product add MICROS --name Microballoons --role filler"),
    Step("bay", "bay add SHED --title Shed --day '20 degC' --night '20 degC' "
                "--day-from 07:00 --day-until 19:00"),
    Step("drum", "lot receive LAM-PE '20 kg' --number B-2207 --received-on {week} --cost '90 EUR'"),
    Step("old drum", "lot receive LAM-PE '8 kg' --number B-1911 --expires-on 2020-01-31"),
    Step("hot drum", "lot receive LAM-PE '5 kg' --number B-2100 --expires-on {soon}"),
    Step("bottle", "lot receive PEROX-9 '1 kg' --number P-14 --received-on {week}"),
    Step("roll", "lot receive MAT-450 '30 m' --number M-7 --received-on {week}"),
    Step("tub", "lot receive MICROS '2 kg' --number C-3 --received-on {week}"),
    Step("hold", "lot hold LAM-PE/B-2100 --reason 'stood in the sun'"),
    Step("job", "job open D-7 --title 'Stem repair' --craft 'the dory Teal' --structural no"),
    Step("log", "bay read SHED --csv {log}"),
    Step("reading", "bay read SHED '20 degC' --humidity 55"),
    Step("expired", "draw --lot LAM-PE/B-1911 '1 kg' --job D-7", exits=1),
    Step("held", "draw --lot LAM-PE/B-2100 '1 kg' --job D-7", exits=1),
    Step("unitless", "draw MAT-450 5 --job D-7", exits=2),
    Step("dose", "dose LAM-PE '1.5 kg' --bay SHED --gel '25 min'"),
    Step("pot", "mix LAM-PE '1.5 kg' --temperature '20 degC' --gel '25 min' --job D-7 "
                "--filler MICROS '60 g' --at {mixed}"),
    Step("layup", "layup start D-7 'Plies 1-3' --kind laminate --bay SHED --batch 1 --at {laid} "
                  "--cover peel_ply --surface-temperature '20 degC'"),
    Step("gelled", "layup observe 1 gelled --at {gelled}"),
    Step("shown", "layup show 1"),
    Step("now", "now"),
    Step("draw", "draw MAT-450 '5 m' --job D-7"),
    Step("return", "return MAT-450/M-7 '2 m' --job D-7"),
    Step("too much", "return MAT-450/M-7/1 '4 m' --job D-7", exits=2),
    Step("count", "count LAM-PE/B-2207 '18 kg' --reason spilt"),
    Step("scrap", "scrap LAM-PE/B-1911 all --reason 'out of date'"),
    Step("still cures", "job close D-7", exits=1),
    Step("too soft", "layup observe 1 handed_over", exits=1),
    Step("hard", "layup observe 1 thumbnail"),
    Step("handed over", "layup observe 1 handed_over --note 'to the owner'"),
    Step("closed", "job close D-7"),
    Step("trace", "trace LAM-PE/B-2207"),
    Step("lots", "lot list"),
)  # fmt: skip
"""Each is typed with `--json`."""


def filling(now: datetime, folder: Path) -> dict[str, str]:
    """What stands in the braces of the day's lines; the logger's file is written.

    Args:
        now: the time it is, aware.
    """

    def ago(hours: float) -> str:
        return (now - timedelta(hours=hours)).isoformat(timespec="seconds")

    log = folder / "log.csv"
    heats = zip((7, 6, 5, 4, 3, 2, 1), (17.5, 18, 19, 19.5, 20, 20, 20), strict=True)
    lines = [f"{ago(hours)},{heat} degC,55" for hours, heat in heats]
    log.write_text("\n".join(["at,temperature,humidity_percent", *lines]), encoding="utf-8")
    return {
        "log": log.as_posix(),
        "mixed": ago(6), "laid": ago(5.9), "gelled": ago(5.6),
        "week": (now - timedelta(days=7)).date().isoformat(),
        "soon": (now + timedelta(days=30)).date().isoformat(),
    }  # fmt: skip
