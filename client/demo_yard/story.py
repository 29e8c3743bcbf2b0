"""The story of the demo: a day at the invented yard, told by its commands."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Step:
    """One command.

    Attributes:
        words: what it is for.
        command: the line as typed; `demo` fills in the `{fields}`.
        refused: the slug of the refusal, if the command must be refused.
    """

    words: str
    command: str
    refused: str | None = None


STORY = (
    Step(
        "The catalogue: a catalyst, a mat, and a resin with the cure times of its data sheet.",
        """
cureyard product add PEROX-9 --name "Ketone peroxide, 9 % active oxygen" --role catalyst \\
  --chemistry ketone_peroxide --density "1.15 kg/L" --active-oxygen 9 --peroxide-type mekp \\
  --shelf-life "365 d" --life-type I""",
    ),
    Step(
        "",
        """
cureyard product add MAT-450 --name "Chopped strand mat" --role reinforcement \\
  --areal-weight "450 g/m2" --width "1.25 m" --fibre-fraction 0.3""",
    ),
    Step(
        "",
        """
cureyard product add LAM-PE --name "Laminating polyester, promoted" --role resin \\
  --chemistry polyester --density "1.1 kg/L" --shelf-life "180 d" --life-type II \\
  --mix catalysed --surface air_inhibited --with PEROX-9 --reference "20 degC" 2 \\
  --gel-time "15 degC" 2 "25-29 min" --gel-time "20 degC" 2 "18-20 min" \\
  --gel-time "20 degC" 1 "36-42 min" --gel-time "25 degC" 2 "13-14 min" \\
  --percent-min 1 --percent-max 3 --apply-min "12 degC" --cure-min "8 degC" \\
  --recoat-opens "2 h" --recoat-closes "20 h" --sandable "8 h" --full-cure "96 h" \\
  --pot-max "3 kg" --build-max "5 mm" """,
    ),
    Step(
        "The shed, and its logger's file. The temperatures are real: Seattle, hour by hour, "
        "12 to 16 July 2010 (NOAA, public domain). Their dates are moved so that they end today.",
        """
cureyard bay add SHED --title "Laminating shed" --day "20 degC" --night "14 degC" \\
  --day-from 07:00 --day-until 19:00""",
    ),
    Step("", "cureyard bay read SHED --csv {log}"),
    Step(
        "A delivery, and what was found at the back of the shelf.",
        """
cureyard lot receive LAM-PE "20 kg" --number B-2207 --made-on {made} \\
  --received-on {came}""",
    ),
    Step(
        "",
        """
cureyard lot receive LAM-PE "8 kg" --number B-1911 --expires-on {expired} \\
  --received-on {came}""",
    ),
    Step(
        "",
        'cureyard lot receive PEROX-9 "1 kg" --number P-14 --made-on {made} --received-on {came}',
    ),
    Step("", 'cureyard lot receive MAT-450 "30 m" --number M-7731 --received-on {came}'),
    Step(
        "The job.",
        'cureyard job open D-7 --title "Stem repair" --craft "the sloop Saltgrass" --structural no',
    ),
    Step(
        "The old drum first? It is out of date.",
        'cureyard draw --lot LAM-PE/B-1911 "1.5 kg" --job D-7',
        refused="expired-lot",
    ),
    Step("The mat for three plies.", 'cureyard draw MAT-450 "2.4 m" --job D-7'),
    Step(
        "How much catalyst, at the shed's temperature now?",
        'cureyard dose LAM-PE "1.5 kg" --bay SHED --gel "25 min"',
    ),
    Step(
        "Mix it. The pot is drawn from stock, from the drum that is in date.",
        'cureyard mix LAM-PE "1.5 kg" --bay SHED --gel "25 min" --job D-7',
    ),
    Step(
        "Lay it up: when does it gel, when can the next ply go on, when can it be sanded?",
        """
cureyard layup start D-7 "Stem, plies 1-3" --kind laminate --bay SHED --batch 1 \\
  --cover peel_ply --surface-temperature "{surface}" """,
    ),
    Step(
        "Yesterday's layup, with the temperatures that the logger has measured since.",
        """
cureyard mix LAM-PE "1.2 kg" --temperature "{yesterday}" --gel "25 min" --job D-7 \\
  --at "yesterday 13:00" """,
    ),
    Step(
        "",
        """
cureyard layup start D-7 "Keel landing, plies 1-2" --kind laminate --bay SHED --batch 2 \\
  --surface-temperature "{yesterday}" --cover film --at "yesterday 13:10" """,
    ),
    Step("And what is there to do?", "cureyard now"),
    Step("Two years later, somebody asks where that drum went.", "cureyard trace LAM-PE/B-2207"),
    Step("Do the books hold?", "cureyard prove"),
)
