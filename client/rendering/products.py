"""The catalogue: one product with its cure sheets, and the list of products."""

from __future__ import annotations

from .. import hints
from ..answers import Quantity, Record
from . import states
from .amounts import amount, percent, span
from .columns import View, labelled, marked, table


def listed(products: list[Record], view: View) -> list[str]:
    """Products, one a line."""
    heads = ("code", "name", "role", "chemistry", "cures with")
    rows = [
        (p["code"], p["name"], p["role"], _words(p.get("chemistry")), _partners(p))
        for p in products
    ]
    return table(heads, rows, view)


def shown(product: Record, view: View) -> list[str]:
    """One product: its own figures, then its cure sheets."""
    pairs = [
        (product["code"], product["name"]),
        ("role", _comma(product["role"], _words(product.get("chemistry")))),
        ("density", _comma(amount(product.get("density")), _cured(product))),
        ("shelf life", _life(product)),
        ("open life", span(product.get("open_life"))),
        ("keep", _kept(product.get("storage_min"), product.get("storage_max"))),
        ("areal weight", amount(product.get("areal_weight"))),
        ("fibre", _fraction(product.get("fibre_fraction"))),
        ("length", amount(product.get("length"))),
        ("width", amount(product.get("width"))),
        ("thickness", amount(product.get("thickness"))),
        ("active oxygen", percent(product.get("active_oxygen_percent"))),
        ("peroxide", _words(product.get("peroxide_type"))),
        ("effects", ", ".join(product.get("effects") or ())),
        ("promoter", _promoted(product.get("promoted"))),
        ("binder", product.get("binder")),
        ("loose", amount(product.get("bulk_density"))),
        ("grains", amount(product.get("particle_density"))),
        *((_words(c["consistency"]), _thickens(c)) for c in product.get("consistencies") or ()),
        ("supplier", product.get("supplier")),
        ("reorder at", amount(product.get("reorder_at"))),
    ]
    lines = labelled(pairs, view.width)
    cure = product.get("cure") or {"sheets": ()}
    for sheet in cure["sheets"]:
        lines += ["", *sheet_shown(sheet, cure["revision"], view)]
    warnings = hints.added(product.get("warnings"), product=product["code"])
    asked = marked(warnings, view.width)
    return [*lines, *([""] if cure["sheets"] and asked else []), *asked]


def scored(score: Record, view: View) -> list[str]:
    """How its lots gel against the sheet, and how its promises came out."""
    lines = [
        f"with {pair['catalyst']}: gels in {pair['factor']:.2f} of the sheet's time, "
        f"± {pair['spread_percent']:g} %, by {_learned(pair)}"
        for pair in score.get("pairs") or ()
    ]
    if score.get("counted"):
        lines.append(
            f"of the last {score['counted']} promises that a look tells of, {score['outside']} "
            f"fell outside; expected {score['expected']:.0f}"
        )
    lines += filter(None, [score.get("words")])
    return ["", *marked(lines, view.width, "- ")] if lines else []


def _learned(pair: Record) -> str:
    """What a pair's gel time was learned from."""
    counts = (("cup", pair["cups"]), ("layup", pair.get("films", 0)))
    return " and ".join(f"{n} {word}{'' if n == 1 else 's'}" for word, n in counts if n)


def sheet_shown(sheet: Record, revision: int, view: View) -> list[str]:
    """One cure sheet of a product."""
    times = sheet.get("milestones") or {}
    pairs = [
        ("cure sheet", _comma(f"revision {revision}", _with(sheet.get("with")))),
        ("mix", _mix(sheet["mix"])),
        ("surface", _words(sheet["surface"])),
        ("catalyst", _limits(sheet)),
        *(("gel" if i == 0 else "", _point(p)) for i, p in enumerate(sheet.get("gel_times") or ())),
        ("times at", "" if sheet.get("cured_depth") else _reference(sheet.get("reference"))),
        *((states.words(name), _stage(stage)) for name, stage in times.items()),
        ("closes after", span(sheet.get("closes_after"))),
        ("lay up from", _between(sheet.get("apply_min"), sheet.get("temperature_max"))),
        ("cures from", amount(sheet.get("cure_min"))),
        ("gel mass", amount(sheet.get("gel_mass"))),
        ("biggest pot", amount(sheet.get("pot_max"))),
        ("thickest layer", amount(sheet.get("build_max"))),
        ("wax", _percents(sheet.get("wax_percent_min"), sheet.get("wax_percent_max"))),
        ("styrene", _percents(None, sheet.get("styrene_percent_max"))),
        ("hard when", _hardness(sheet)),
        ("post-cure", post_cure(sheet.get("post_cure"))),
        ("by moisture", _depth(sheet.get("cured_depth"))),
        ("", _depth(sheet.get("second_depth"))),
        ("skins", span(sheet.get("skin_time"))),
        ("law", _law(sheet.get("law"))),
    ]
    return labelled(pairs, view.width)


def _depth(cured: Record | None) -> str:
    """How deep it cures in the first so much time, in which air."""
    if not cured:
        return ""
    air = _comma(amount(cured["temperature"]), percent(cured["humidity_percent"]))
    return f"{amount(cured['depth'])} in the first {span(cured['time'])} at {air}"


def _percents(least: float | None, most: float | None) -> str:
    if most is None:
        return ""
    return f"at most {most:g} %" if least is None else f"{least:g} to {most:g} %"


def _hardness(sheet: Record) -> str:
    least = sheet.get("hardness_min")
    return f"{least} {scale_words(sheet.get('hardness_scale'))}" if least else ""


def scale_words(scale: str | None) -> str:
    """A scale of hardness in words."""
    return {"barcol_935": "Barcol 935", "shore_d": "Shore D"}.get(scale or "", "Barcol 934-1")


def post_cure(asked: Record | None) -> str:
    """The post-cure that the maker asks for: how long, and between which temperatures."""
    if not asked:
        return ""
    rise = f", at most {amount(asked['rise'])} an hour" if asked.get("rise") else ""
    return f"{span(asked['time'])} at {_between(asked['from'], asked['to'])}{rise}"


def _words(text: str | None) -> str:
    return (text or "").replace("_", " ")


def _promoted(promoted: bool | None) -> str:
    return "" if promoted is None else "in it" if promoted else "not in it: stirred in first"


def _thickens(consistency: Record) -> str:
    parts = consistency["loose_parts"]
    if parts is not None:
        return f"{parts:g} loose {'part' if parts == 1 else 'parts'} to one of mixed resin"
    return f"{consistency['grams_per_kg']:g} g to the kg of mixed resin"


def _comma(*parts: str | None) -> str:
    return ", ".join(filter(None, parts))


def _partners(product: Record) -> str:
    sheets = (product.get("cure") or {}).get("sheets") or ()
    return ", ".join(dict.fromkeys(code for sheet in sheets for code in sheet.get("with") or ()))


def _cured(product: Record) -> str:
    cured = amount(product.get("cured_density"))
    return f"{cured} cured" if cured else ""


def _life(product: Record) -> str:
    life = span(product.get("shelf_life"))
    return _comma(life, f"type {product['life_type']}") if life else ""


def _fraction(share: float | None) -> str:
    return "" if share is None else f"{percent(share * 100)} of the laminate's mass"


def _between(low: Quantity | None, high: Quantity | None) -> str:
    return " to ".join(filter(None, (amount(low), amount(high))))


def _kept(low: Quantity | None, high: Quantity | None) -> str:
    """The temperatures at which to store it."""
    if low and high:
        return f"at {_between(low, high)}"
    if low:
        return f"no colder than {amount(low)}"
    return f"no warmer than {amount(high)}" if high else ""


def _with(codes: list[str] | None) -> str:
    return f"with {' or '.join(codes)}" if codes else ""


def _mix(mix: Record) -> str:
    kind = _words(mix["kind"])
    parts = mix.get("parts")
    return f"{kind}, {parts[0]:g} : {parts[1]:g} by {mix['by']}" if parts else kind


def _limits(sheet: Record) -> str:
    low, high = sheet.get("catalyst_percent_min"), sheet.get("catalyst_percent_max")
    return " to ".join(filter(None, (percent(low), percent(high))))


def _point(point: Record) -> str:
    time = span(point.get("time")) or f"{span(point.get('from'))} to {span(point.get('to'))}"
    return f"{time} at {_reference(point)}"


def _reference(reference: Record | None) -> str:
    if reference is None:
        return ""
    return _comma(amount(reference.get("temperature")), percent(reference.get("catalyst_percent")))


def _stage(stage: Record | None) -> str:
    if stage is None:
        return ""
    own = amount(stage.get("temperature"))
    time = span(stage["time"])
    if stage.get("from"):
        time = f"{span(stage['from'])} to {span(stage['to'])}"
    return time + (f" at {own}" if own else "")


def _law(law: Record | None) -> str:
    if law is None:
        return ""
    figures = f"E {law['activation_energy_kj_mol']:.1f} kJ/mol, order {law['order']:.2f}"
    assumed = law.get("assumed") or ()
    return _comma(figures, f"assumed: {', '.join(map(_words, assumed))}" if assumed else "")
