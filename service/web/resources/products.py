"""The catalogue: products and their cure sheets."""

from __future__ import annotations

from operator import itemgetter
from typing import Any

from flask.views import MethodView

from ...acts.products import cure_sheets
from ...acts.products import product as add_product
from ...acts.yard import finding
from ...core.amounts.quantities import (
    AREAL_WEIGHT,
    COUNT,
    DENSITY,
    LENGTH,
    MASS,
    SIZE,
    TEMPERATURE,
    TIME,
)
from ...core.cure.compatibility import BINDERS
from ...core.products.materials import CHEMISTRIES, EFFECTS, MEASURE_OF_ROLE
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Loaded
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .cure import CureChange, CureIn, CureOut, OneOrMany, RevisionOut
from .lots import STOCK

blp = Blueprint("products", __name__, url_prefix="/v1/products", description="The catalogue.")

ROLES = tuple(MEASURE_OF_ROLE)
LIFE_TYPES = ("I", "II")


class ProductFacts(Body):
    """What is said of a product; `cure` is its next revision, whole."""

    name = fields.Text()
    chemistry = fields.Choice(CHEMISTRIES)
    density = fields.Quantity(DENSITY, positive=True)
    cured_density = fields.Quantity(DENSITY, positive=True)
    fibre_fraction = fields.Number(least=0.1, most=0.75)
    areal_weight = fields.Quantity(AREAL_WEIGHT, positive=True)
    width = fields.Quantity(LENGTH, positive=True)
    length = fields.Quantity(LENGTH, positive=True)
    thickness = fields.Quantity(SIZE, positive=True)
    shelf_life = fields.Quantity(TIME, positive=True)
    open_life = fields.Quantity(TIME, positive=True)
    life_type = fields.Choice(LIFE_TYPES)
    active_oxygen_percent = fields.Number(above=0, most=30)
    peroxide_type = fields.Text(most=64)
    effects = fields.List(fields.Choice(EFFECTS), most=4)
    promoted = fields.Flag()
    binder = fields.Choice(BINDERS)
    storage_min = fields.Quantity(TEMPERATURE)
    storage_max = fields.Quantity(TEMPERATURE)
    supplier = fields.Text()
    reorder_at = fields.StockQuantity(STOCK, positive=True)
    cure = OneOrMany(fields.Nested(CureIn), least=1, most=20)


class ProductChange(ProductFacts):
    """What may be changed of a product; `cure` is its next revision, whole."""

    cure_change = fields.Nested(
        CureChange,
        metadata={"description": "Its next revision: the last one with these figures changed."},
    )


class ProductIn(ProductFacts):
    """A product to add."""

    code = fields.Code(required=True)
    name = fields.Text(required=True)
    role = fields.Choice(ROLES, required=True)


class RevisionIn(Body):
    """A revision of a product's sheets, whole."""

    cure = OneOrMany(fields.Nested(CureIn), required=True, least=1, most=20)


class ProductOut(Answer):
    """A product, with its cure sheets of now."""

    code = fields.Code(required=True)
    name = fields.Text(required=True)
    role = fields.Choice(ROLES, required=True)
    chemistry = fields.Choice(CHEMISTRIES, allow_none=True)
    measure = fields.Choice(("mass", "length", "count"))
    density = fields.Quantity(DENSITY, allow_none=True)
    cured_density = fields.Quantity(DENSITY, allow_none=True)
    fibre_fraction = fields.Number(allow_none=True)
    areal_weight = fields.Quantity(AREAL_WEIGHT, allow_none=True)
    width = fields.Quantity(LENGTH, allow_none=True)
    length = fields.Quantity(LENGTH, allow_none=True)
    thickness = fields.Quantity(SIZE, allow_none=True)
    shelf_life = fields.Quantity(TIME, allow_none=True)
    open_life = fields.Quantity(TIME, allow_none=True)
    life_type = fields.Choice(LIFE_TYPES)
    active_oxygen_percent = fields.Number(allow_none=True)
    peroxide_type = fields.Text(allow_none=True)
    effects = fields.List(fields.Choice(EFFECTS))
    promoted = fields.Flag(allow_none=True)
    binder = fields.Choice(BINDERS, allow_none=True)
    storage_min = fields.Quantity(TEMPERATURE, allow_none=True)
    storage_max = fields.Quantity(TEMPERATURE, allow_none=True)
    supplier = fields.Text(allow_none=True)
    reorder_at = fields.AnyQuantity((MASS, LENGTH, COUNT), allow_none=True)
    version = fields.Integer(required=True)
    cure = fields.Nested(CureOut, allow_none=True)
    warnings = fields.List(
        fields.Text(), metadata={"description": "What the catalogue should not be without."}
    )


class ProductPage(paging.Page):
    """Which products to list."""

    role = fields.Choice(ROLES, load_default=None)


@blp.route("")
class Products(MethodView):
    """The catalogue."""

    @blp.arguments(ProductPage, location="query")
    @reads()
    @blp.response(200, paging.listing(ProductOut))
    def get(self, query: Loaded) -> paging.Listed:
        """List products."""
        return paging.page(
            query, lambda a, n: add_product.list_products(a, n, query["role"]), itemgetter("id")
        )

    @blp.arguments(ProductIn)
    @writes(role="lead")
    @blp.response(201, ProductOut)
    def post(self, body: Loaded) -> Any:
        """Add a product, with its cure sheets if it cures."""
        product = add_product.add_product(**body, now=now(), hand=hand())
        where = {"Location": f"/v1/products/{product['code']}"}
        return product, 201, where | versions.etag(product["version"])


@blp.route("/<code:code>")
class Product(MethodView):
    """One product."""

    @reads()
    @blp.response(200, ProductOut)
    def get(self, code: str) -> Any:
        """Show a product."""
        product = add_product.show_product(finding.product(code))
        return product, 200, versions.etag(product["version"])

    @blp.arguments(ProductChange)
    @writes(role="lead", versioned=True)
    @blp.response(200, ProductOut)
    def patch(self, body: Loaded, code: str) -> Any:
        """Change a product; new cure sheets are a new revision."""
        row = finding.product(code)
        versions.match(row.version)
        product = add_product.change_product(row, **body, now=now(), hand=hand())
        return product, 200, versions.etag(product["version"])


@blp.route("/<code:code>/cure-sheets")
class CureSheets(MethodView):
    """The revisions of a product's cure sheets."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(RevisionOut))
    def get(self, query: Loaded, code: str) -> paging.Listed:
        """List a product's cure sheets, newest revision first."""
        product = finding.product(code)
        return paging.page(
            query, lambda a, n: cure_sheets.revisions(product.id, a, n), itemgetter("id")
        )

    @blp.arguments(RevisionIn)
    @writes(role="lead")
    @blp.response(201, ProductOut)
    def post(self, body: Loaded, code: str) -> Any:
        """Add a whole revision of a product's cure sheets."""
        row = finding.product(code)
        product = add_product.change_product(row, **body, now=now(), hand=hand())
        return product, 201, versions.etag(product["version"])
