"""Request bodies of an invented yard, as the HTTP interface takes them: amounts as text with units.

The interface accepts each body as it is. Keywords change or add a field; None leaves it out.
`tests/putting.py` puts them into a store.
"""

from __future__ import annotations

from typing import Any

Body = dict[str, Any]

CRAFT = "the dory Teal"


def _body(figures: Body, changes: Body) -> Body:
    return {name: value for name, value in (figures | changes).items() if value is not None}


def gel_time(temperature: str, time: str, percent: float | None = 2) -> Body:
    """One gel time of a data sheet."""
    return _body({"temperature": temperature, "time": time, "catalyst_percent": percent}, {})


def sheet(*partners: str, **changes: Any) -> Body:
    """A polyester's cure sheet: 20 min at 20 °C and 2 %; with PEROX unless partners are named."""
    figures = {
        "with": list(partners or ["PEROX"]),
        "mix": {"kind": "catalysed"},
        "surface": "air_inhibited",
        "reference": {"temperature": "20 degC", "catalyst_percent": 2},
        "gel_times": [
            gel_time("15 degC", "28 min"), gel_time("20 degC", "20 min"),
            gel_time("25 degC", "14.5 min"), gel_time("20 degC", "40 min", 1),
        ],
        "catalyst_percent_min": 1,
        "catalyst_percent_max": 3,
        "apply_min": "12 degC",
        "cure_min": "8 degC",
        "milestones": {"recoat_opens": "2 h", "recoat_closes": "20 h", "sandable": "8 h"},
        "pot_max": "3 kg",
        "build_max": "5 mm",
    }  # fmt: skip
    return _body(figures, changes)


def two_part_sheet(*partners: str, **changes: Any) -> Body:
    """An epoxy's cure sheet: 40 min at 20 °C; with HARD unless partners are named."""
    figures = {
        "with": list(partners or ["HARD"]),
        "mix": {"kind": "two_part", "parts": [100, 25], "by": "mass"},
        "surface": "amine_blush",
        "reference": {"temperature": "20 degC"},
        "gel_times": [gel_time("20 degC", "40 min", None)],
        "milestones": {"recoat_opens": "4 h"},
    }
    return _body(figures, changes)


def moisture_sheet(**changes: Any) -> Body:
    """A sealant's cure sheet: 3 mm in 24 h at 23 °C and 50 %, and skinned in an hour."""
    figures = {
        "mix": {"kind": "one_part"},
        "surface": "plain",
        "cures_by": "moisture",
        "cured_depth": {
            "depth": "3 mm", "time": "24 h", "temperature": "23 degC", "humidity_percent": 50,
        },
        "skin_time": "60 min",
        "cure_min": "5 degC",
    }  # fmt: skip
    return _body(figures, changes)


def sealant(code: str = "SEAL", **changes: Any) -> Body:
    """A polyurethane that cures by moisture."""
    figures = {"role": "adhesive", "chemistry": "polyurethane", "cure": moisture_sheet()}
    return product(code, **(figures | changes))


def one_part_sheet(**changes: Any) -> Body:
    """The cure sheet of a product that comes ready to use."""
    return _body({"mix": {"kind": "one_part"}, "surface": "plain"}, changes)


def product(code: str, role: str, **changes: Any) -> Body:
    """A product of which only the role is known."""
    return _body({"code": code, "name": code, "role": role}, changes)


def resin(code: str = "LAM", **changes: Any) -> Body:
    """A laminating polyester with its cure sheet."""
    figures = {
        "role": "resin", "chemistry": "polyester", "density": "1.1 kg/L", "cure": sheet(),
    }  # fmt: skip
    return product(code, **(figures | changes))


def catalyst(code: str = "PEROX", **changes: Any) -> Body:
    """A peroxide."""
    return product(code, **({"role": "catalyst", "density": "1.15 kg/L"} | changes))


def hardener(code: str = "HARD", **changes: Any) -> Body:
    """The second part of an epoxy."""
    return product(code, "hardener", **changes)


def epoxy(code: str = "EPOX", **changes: Any) -> Body:
    """An epoxy with its cure sheet."""
    figures = {"role": "resin", "chemistry": "epoxy", "cure": two_part_sheet()}
    return product(code, **(figures | changes))


def mat(code: str = "MAT", **changes: Any) -> Body:
    """Chopped strand mat on a roll."""
    figures = {"role": "reinforcement", "areal_weight": "450 g/m2", "width": "1.25 m"}
    return product(code, **(figures | changes))


def bay(code: str = "SHED", day: str = "20 degC", night: str = "", **changes: Any) -> Body:
    """A bay; without `night` it is as warm by night as by day."""
    figures = {
        "code": code, "title": code.capitalize(), "day": day, "night": night or day,
        "day_from": "07:00", "day_until": "19:00",
    }  # fmt: skip
    return _body(figures, changes)


def job(number: str = "D-7", structural: str = "no", **changes: Any) -> Body:
    """A job; if it is structural, with its authority."""
    figures = {
        "number": number, "title": "Stem", "craft": CRAFT, "structural": structural,
        "authority": "the surveyor" if structural == "yes" else None,
    }  # fmt: skip
    return _body(figures, changes)


def lot(product: str = "LAM", quantity: str = "20 kg", number: str = "B-1", **changes: Any) -> Body:
    """A delivery of one container."""
    return _body({"product": product, "number": number, "quantity": quantity}, changes)


def dose(resin: str = "LAM", amount: str = "1 kg", **changes: Any) -> Body:
    """A dose at 20 °C and 2 %."""
    figures = {
        "resin": resin, "amount": amount, "temperature": "20 degC", "catalyst_percent": 2,
    }  # fmt: skip
    return _body(figures, changes)


def pot(resin: str = "LAM", amount: str = "1 kg", **changes: Any) -> Body:
    """A pot for the job, at 20 °C and 2 %."""
    return dose(resin, amount, **({"job": "D-7"} | changes))


def layup(*batches: int, **changes: Any) -> Body:
    """A layup in the shed: of these pots, or without any of LAM at 2 %."""
    of = {"batches": list(batches)} if batches else {"product": "LAM", "catalyst_percent": 2}
    figures = {"job": "D-7", "title": "Plies", "kind": "laminate", "bay": "SHED", **of}
    return _body(figures, changes)


def draw(product: str = "LAM", quantity: str = "1 kg", **changes: Any) -> Body:
    """A draw for the job."""
    figures = {"kind": "draw", "product": product, "quantity": quantity, "job": "D-7"}
    return _body(figures, changes)


def yard() -> dict[str, list[Body]]:
    """By noun: a resin with its peroxide, a bay and a job; nothing is in stock."""
    return {"products": [catalyst(), resin()], "bays": [bay()], "jobs": [job()]}


def shelf() -> dict[str, list[Body]]:
    """By noun: a bottle of peroxide (lot 1) and a drum of resin (lot 2)."""
    return {"lots": [lot("PEROX", "1 kg", "P-1"), lot()]}
