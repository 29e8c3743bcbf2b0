"""Tables of products, of lots and of readings, and how they are sent."""

from __future__ import annotations

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from .. import makers

CATALOGUE = """\
Code;Name;Role;Density (kg/L);Shelf life (d);Reorder at;Unit;Effects
LAM-PE;Laminating, promoted;resin;1,1;180;20;kg;
PEROX-9;Peroxide;catalyst;1,15;365;;;
TOP;Waxed additive;coating;;;;;waxes thins
MAT;Mat;reinforcement;;;;;
"""
SHELF = """\
product,number,container,on hand,unit,received on,made on,expires on,bay,opened on,held,\
hold reason,cost,currency
LAM-PE,B-1,,20,kg,,,,SHED,,,,90,EUR
LAM-PE,B-2,2,20.5 kg,,2026-03-01,2026-02-01,2026-06-30,,2026-03-02,yes,stood in the sun,,
MAT,0012,,30,m,,,,,,no,,,
"""
PRICED = "product,number,on hand,cost per,per,currency\nLAM-PE,B-7,20 kg,4.60,kg,EUR\n"
LOG = "at,temperature (degC),humidity (%)\n2026-03-19 07:00,18.5,61\n2026-03-19 12:00,19,\n"
BAY = makers.bay("SHED", "21 degC", "14 degC")


def sent(client: FlaskClient, kind: str, table: str, **query: str) -> TestResponse:
    """A table posted as it is."""
    where = f"/v1/imports/{kind}" + "/SHED" * (kind == "readings")
    return client.post(where, query_string=query, data=table.encode(), content_type="text/csv")
