"""The catalogue: products and their cure sheets."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.cure.score import ScoreView, score_of
from ...acts.products.cure_sheet_views import RevisionView, list_revisions
from ...acts.products.nature import LIFE_TYPES
from ...acts.products.product import (
    ProductView,
    add_product,
    change_product,
    list_products,
    show_product,
)
from ...acts.yard import finding
from ...core.amounts.quantities import (
    AREAL_WEIGHT,
    DENSITY,
    LENGTH,
    SIZE,
    TEMPERATURE,
    TIME,
)
from ...core.cure.compatibility import BINDERS
from ...core.products.fillers import CONSISTENCIES
from ...core.products.materials import CHEMISTRIES, EFFECTS, ROLES
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .bodies import STOCK
from .cure import CureChange, CureIn, OneOrMany

blp = Blueprint("products", __name__, url_prefix="/v1/products", description="The catalogue.")


class ConsistencyIn(Body):
    """How much of a filler gives a consistency: loose parts, or grams to the kilogram."""

    consistency = fields.Choice(CONSISTENCIES, required=True)
    loose_parts = fields.Number(above=0, most=20)
    grams_per_kg = fields.Number(above=0, most=5000)


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
    bulk_density = fields.Quantity(DENSITY, positive=True)
    particle_density = fields.Quantity(DENSITY, positive=True)
    consistencies = fields.List(fields.Nested(ConsistencyIn), most=len(CONSISTENCIES))
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


class ProductPage(paging.Page):
    """Which products to list."""

    role = fields.Choice(ROLES, load_default=None)


@blp.route("")
class Products(MethodView):
    """The catalogue."""

    @blp.arguments(ProductPage, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(ProductView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List products."""
        return paging.page(query, lambda a, n: list_products(a, n, query["role"]))

    @blp.arguments(ProductIn)
    @writes(role="lead")
    @blp.response(201, answer(ProductView))
    def post(self, body: Loaded) -> Any:
        """Add a product, with its cure sheets if it cures."""
        product = add_product(**body, now=now(), hand=hand())
        where = {"Location": f"/v1/products/{product.code}"}
        return product, 201, where | versions.etag(product.version)


@blp.route("/<code:code>")
class Product(MethodView):
    """One product."""

    @reads()
    @blp.response(200, answer(ProductView))
    def get(self, code: str) -> Any:
        """Show a product."""
        product = show_product(finding.product(code))
        return product, 200, versions.etag(product.version)

    @blp.arguments(ProductChange)
    @writes(role="lead", versioned=True)
    @blp.response(200, answer(ProductView))
    def patch(self, body: Loaded, code: str) -> Any:
        """Change a product; new cure sheets are a new revision."""
        row = finding.product(code)
        versions.match(row.version)
        product = change_product(row, **body, now=now(), hand=hand())
        return product, 200, versions.etag(product.version)


@blp.route("/<code:code>/cure-sheets")
class CureSheets(MethodView):
    """The revisions of a product's cure sheets."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(RevisionView)))
    def get(self, query: Loaded, code: str) -> paging.Listed:
        """List a product's cure sheets, newest revision first."""
        product = finding.product(code)
        return paging.page(query, lambda a, n: list_revisions(product.id, a, n))

    @blp.arguments(RevisionIn)
    @writes(role="lead")
    @blp.response(201, answer(ProductView))
    def post(self, body: Loaded, code: str) -> Any:
        """Add a whole revision of a product's cure sheets."""
        row = finding.product(code)
        product = change_product(row, **body, anew=True, now=now(), hand=hand())
        return product, 201, versions.etag(product.version)


@blp.route("/<code:code>/score")
class Score(MethodView):
    """How a product's lots gel against its sheets, and how its promises came out."""

    @reads()
    @blp.response(200, answer(ScoreView))
    def get(self, code: str) -> Any:
        """Show the score of a product."""
        return score_of(finding.product(code), now())
