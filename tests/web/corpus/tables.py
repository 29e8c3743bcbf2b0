"""Tables that are none: lots and readings, as text/csv."""

from __future__ import annotations

from cureyard_service.web.files.grid import MOST_CELLS, MOST_ROWS

from .entry import CSV, Entry, raw

LOTS, READINGS, LOG = "/v1/imports/lots", "/v1/imports/readings/SHED", "/v1/bays/SHED/readings"
PRODUCTS = "/v1/imports/products"
HEAD = "product,number,quantity\n"
ROW = "LAM,B-9,5 kg\n"

NO_HEADINGS = {
    "nothing": "", "blank lines": "\n\n\n", "no headings": ROW,
    "headings of another table": "a,b,c\n1,2,3\n",
    "a colon between": "product:number:quantity\nLAM:B-9:5 kg\n", "one word": "LAM",
    "a page": "<html><body><table><tr><td>product</td></tr></table></body></html>",
    "JSON": '{"product": "LAM", "number": "B-9"}',
    "a column too many": "product,number,quantity,colour\n",
    "a column twice": "product,number,number,quantity\nLAM,B-9,B-9,5 kg\n",
    "the same in capitals": "product,Number,NUMBER,quantity\nLAM,B-9,B-9,5 kg\n",
    "two that mean one": "product,number,quantity,on hand\nLAM,B-9,5 kg,5 kg\n",
    "a heading that is a formula": "product,number,=quantity\nLAM,B-9,5 kg\n",
    "headings of other letters": "рroduct,numbеr,quantitу\nLAM,B-9,5 kg\n",
    "a heading turned round": "product,number,\u202equantity\nLAM,B-9,5 kg\n",
    "a heading with an end in it": "product,number,quantity\x00\nLAM,B-9,5 kg\n",
    "the headings below the thirtieth row": "\n" * 40 + HEAD + ROW,
    "a field of the service's own": "product,number,quantity,who\nLAM,B-9,5 kg,Ada\n",
}  # fmt: skip

ROWS = {
    "a ragged row": "LAM,B-9\n", "a row too long": "LAM,B-9,5 kg,more,and more\n",
    "a formula for a product": '"=HYPERLINK(""http://x.example"")",B-9,5 kg\n',
    "a formula for a number": "LAM,=1+1,5 kg\n", "a formula for an amount": "LAM,B-9,=5*1\n",
    "a macro": "LAM,@SUM(1),5 kg\n", "a command": "LAM,|calc,5 kg\n",
    "a wide formula": "LAM,＝1,5 kg\n", "a product that is not there": "NONE,B-9,5 kg\n",
    "no product": ",B-9,5 kg\n", "no amount": "LAM,B-9,\n", "a bare number": "LAM,B-9,5\n",
    "another unit": "LAM,B-9,5 degC\n", "an unknown unit": "LAM,B-9,5 hogsheads\n",
    "a comma in a number": 'LAM,B-9,"1,500 kg"\n', "less than nothing": "LAM,B-9,-5 kg\n",
    "nothing of it": "LAM,B-9,0 kg\n", "an infinite amount": "LAM,B-9,1e999 kg\n",
    "nan": "LAM,B-9,nan kg\n", "other digits": "LAM,B-9,٥ kg\n", "an error": "LAM,B-9,#REF!\n",
    "a huge cell": f"LAM,B-9,{'9' * 100_000}\n", "a huge number": f"LAM,{'B' * 33},5 kg\n",
    "a turned number": "LAM,\u202eB-9,5 kg\n", "an end in a cell": "LAM,B-9\x00,5 kg\n",
    "an escape": "LAM,\x1b[31mB,5 kg\n", "a line in a cell": 'LAM,"B\n9",5 kg\n',
    "a script": "LAM,<script>,5 kg\n", "a template": "LAM,{{7*7}},5 kg\n",
    "SQL": "LAM,'; DROP TABLE lot--,5 kg\n", "a path": "LAM,../../etc,5 kg\n",
    "a good row and a bad one": ROW + "LAM,B-10,none\n", "the same container twice, unlike":
    ROW + "LAM,B-9,6 kg\n",
}  # fmt: skip

OTHERWISE = {
    "a product that is not there": "unknown-reference", "a bare number": "unit-missing",
    "another unit": "unit-mismatch", "an unknown unit": "unit-mismatch",
    "the same container twice, unlike": "already-exists",
    "no unit": "unit-missing",
}  # fmt: skip
"""What is told by a narrower word than that it is no good."""

DATED = {
    "the 30th of February": "2026-02-30", "a date that may be two": "03/04/2026",
    "a year to come": "2031-01-01",
    "a month too many": "2026-13-01", "a serial number": "46000", "a word": "soon",
    "other digits": "٢٠٢٦-٠٣-٠١",
    "the year nought": "0000-01-01", "two digits": "01/02/26",
}  # fmt: skip

QUOTES = {
    "a quote left open": 'LAM,"B-9,5 kg\n', "a quote in the middle": 'LAM,B"9,5 kg\n',
}  # fmt: skip
"""Quotes that are not where quotes belong."""

UNREAD = {
    "a cell beyond what is read": HEAD + f'LAM,"{"x" * 200_000}",5 kg\n',
    "half a million open quotes": HEAD + '"' * 500_001,
}  # fmt: skip

LOGS = {
    "no moments": "temperature (degC)\n18\n", "no temperatures": "at\n2026-03-20 08:00\n",
    "two temperatures": "at,temperature (degC),temperature (degF)\n2026-03-20 08:00,18,64\n",
    "no unit": "at,temperature\n2026-03-20 08:00,18\n",
    "a moment to come": "at,temperature (degC)\n2031-03-20 08:00,18\n",
    "no moment": "at,temperature (degC)\nsoon,18\n",
    "a broken probe": "at,temperature (degC)\n2026-03-20 07:00,-127\n",
    "an infinite heat": "at,temperature (degC)\n2026-03-20 07:00,inf\n",
    "nan": "at,temperature (degC)\n2026-03-20 07:00,nan\n",
    "no number": "at,temperature (degC)\n2026-03-20 07:00,ERR\n",
    "a formula": "at,temperature (degC)\n2026-03-20 07:00,=18\n",
    "other digits": "at,temperature (degC)\n2026-03-20 07:00,١٨\n",
    "too humid": "at,temperature (degC),humidity\n2026-03-20 07:00,18,140\n",
    "a date that may be two": "at,temperature (degC)\n03/04/2026 07:00,18\n",
}  # fmt: skip


def _made() -> list[Entry]:
    made = [raw("validation", what, text.encode(), LOTS, CSV) for what, text in NO_HEADINGS.items()]
    made += [
        raw("validation", f"catalogue: {what}", text.encode(), PRODUCTS, CSV)
        for what, text in NO_HEADINGS.items()
        if "product" not in text
    ]
    made += [
        raw(OTHERWISE.get(what, "validation"), what, (HEAD + row).encode(), LOTS, CSV)
        for what, row in (ROWS | QUOTES).items()
    ]
    made += [
        raw("validation", what,
            f"product,number,quantity,received on\nLAM,B-9,5 kg,{day}\n".encode(),
            LOTS, CSV)
        for what, day in DATED.items()
    ]  # fmt: skip
    made += [raw("unreadable", what, text.encode(), LOTS, CSV) for what, text in UNREAD.items()]
    made += [
        raw(OTHERWISE.get(what, "validation"), f"{path}: {what}", text.encode(), path, CSV)
        for path in (READINGS, LOG)
        for what, text in LOGS.items()
    ]
    made += [
        raw("unreadable", "no UTF-8", (HEAD + "LÅM,B-9,5 kg\n").encode("latin-1"), LOTS, CSV),
        raw("unreadable", "UTF-16", (HEAD + ROW).encode("utf-16"), LOTS, CSV),
        raw("unreadable", "a packed table", b"\x1f\x8b\x08\x00", LOTS, CSV),
        raw("unreadable", "a workbook", b"PK\x03\x04\x14\x00\x06\x00\xff\xfe", LOTS, CSV),
        raw("validation", "a million columns", b"a," * 1_000_000, LOTS, CSV),
        raw("validation", "a cell too many", (HEAD + "," * MOST_CELLS).encode(), LOTS, CSV),
        raw("validation", "rows without end", (HEAD + ROW * (MOST_ROWS + 1)).encode(), LOTS, CSV),
        raw("validation", "a million empty lines", HEAD.encode() + b",,\n" * 1_000_000, LOTS, CSV),
        raw("validation", "mixed ends of lines", b"product,number,quantity\r\nLAM,B-9\rLAM\n", LOTS,
            CSV),
        raw("not-found", "of no bay", b"at,temperature (degC)\n2026-03-20 07:00,18\n",
            "/v1/bays/NONE/readings", CSV),
    ]  # fmt: skip
    return made


ENTRIES = _made()
