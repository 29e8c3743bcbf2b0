"""The tables as they are on disk; their frozen SQL, checks and guards are in `migrations/`.

They are written through these models or by `engine.rows.insert`, and read as NamedTuples by
`engine.rows.Reader`, each in the file of its subject.

On disk a number says its unit in its name: `_mg _ul _um _mk _s _ppm`; `amount` and
`on_hand` are in the base unit of the product's measure. `*_at` is a moment in epoch
seconds UTC, `*_on` a date in the yard's zone, `*_key` a code without case.
"""

from __future__ import annotations

from peewee import BigAutoField, ForeignKeyField, Model, TextField

from .engine.columns import Bytes, Day, Flag, Whole
from .engine.database import db
from .engine.sealing import seal_rows_of


class Row(Model):
    """A row of the bound store, with an id that is never used twice."""

    id = BigAutoField()

    class Meta:
        """One store at a time, bound by `open_store`."""

        database = db
        legacy_table_names = False


class Recorded(Row):
    """A row that says who recorded it and when, and whether the name was proven by login."""

    recorded_at = Whole()
    who = TextField()
    verified = Flag()


class Yard(Row):
    """The yard itself: one row, seeded once."""

    id = Whole(primary_key=True)
    zone = TextField()
    units = TextField()
    currency = TextField()
    address = TextField(default="")
    seeded_at = Whole()
    version = Whole(default=1)
    profile = TextField(default="plain")
    identity = TextField(default="")
    sureness = Whole(default=95)
    jump_mk = Whole(default=3000)


class Product(Row):
    """Something bought again and again."""

    code = TextField()
    code_key = TextField(unique=True)
    name = TextField()
    role = TextField()
    chemistry = TextField(null=True)
    measure = TextField()
    density_mg_l = Whole(null=True)
    cured_density_mg_l = Whole(null=True)
    fibre_fraction_ppm = Whole(null=True)
    areal_weight_mg_m2 = Whole(null=True)
    width_um = Whole(null=True)
    length_um = Whole(null=True)
    thickness_um = Whole(null=True)
    shelf_life_s = Whole(null=True)
    open_life_s = Whole(null=True)
    life_type = TextField()
    active_oxygen_ppm = Whole(null=True)
    peroxide_type = TextField(null=True)
    effects = TextField(default="")
    storage_min_mk = Whole(null=True)
    storage_max_mk = Whole(null=True)
    supplier = TextField(null=True)
    reorder_at = Whole(null=True)
    made_at = Whole()
    version = Whole(default=1)
    promoted = Flag(null=True)
    binder = TextField(null=True)
    bulk_density_mg_l = Whole(null=True)
    particle_density_mg_l = Whole(null=True)
    consistencies = TextField(default="[]")


class CureSheet(Recorded):
    """One revision of one of a product's cure sheets; `body` is its JSON. Append-only."""

    product = ForeignKeyField(Product, backref="+")
    product_id: int
    revision = Whole()
    position = Whole()
    body = TextField()

    class Meta:
        """One sheet a place in a revision."""

        indexes = ((("product", "revision", "position"), True),)


class Bay(Row):
    """A place with its own temperature."""

    code = TextField()
    code_key = TextField(unique=True)
    title = TextField()
    uncertainty_mk = Whole()
    gap_max_s = Whole()
    made_at = Whole()
    version = Whole(default=1)
    checked_on = Day(null=True)
    in_the_open = Flag(default=False)


class BayPattern(Recorded):
    """What a bay is taken to be by day and by night, from a moment on. Append-only."""

    bay = ForeignKeyField(Bay, backref="+")
    bay_id: int
    at = Whole()
    day_mk = Whole()
    night_mk = Whole()
    day_from = TextField()
    day_until = TextField()


class Reading(Recorded):
    """A bay's temperature at a moment, or the correction of one. Append-only."""

    bay = ForeignKeyField(Bay, backref="+")
    bay_id: int
    at = Whole()
    temperature_mk = Whole()
    humidity_ppm = Whole(null=True)
    replaces = ForeignKeyField("self", backref="+", null=True, unique=True)
    replaces_id: int | None
    reason = TextField(null=True)
    probe = Flag(default=False)
    doubt = TextField(null=True)
    level_from = Whole(null=True)


Reading.add_index(
    Reading.bay, Reading.at, unique=True, where=Reading.replaces.is_null(), name="reading_first"
)


class Lot(Row):
    """One container of a product. `on_hand` and `cost_left_minor` are the ledger's to write."""

    product = ForeignKeyField(Product, backref="+")
    product_id: int
    number = TextField()
    number_key = TextField()
    container = TextField(default="1")
    on_hand = Whole(default=0)
    received_at = Whole()
    received_on = Day()
    made_on = Day(null=True)
    expires_on = Day(null=True)
    opened_on = Day(null=True)
    bay = ForeignKeyField(Bay, backref="+", null=True)
    bay_id: int | None
    held = Flag(default=False)
    hold_reason = TextField(null=True)
    parent = ForeignKeyField("self", backref="+", null=True)
    parent_id: int | None
    length_um = Whole(null=True)
    width_um = Whole(null=True)
    cost_minor = Whole(null=True)
    cost_of = Whole(null=True)
    cost_left_minor = Whole(null=True)
    currency = TextField(null=True)
    supplier = TextField(null=True)
    version = Whole(default=1)

    class Meta:
        """A container is received once."""

        indexes = ((("product", "number_key", "container"), True),)


class LotEvent(Recorded):
    """A lot moved, held, released, opened or extended. Append-only."""

    lot = ForeignKeyField(Lot, backref="+")
    lot_id: int
    kind = TextField()
    at = Whole()
    bay = ForeignKeyField(Bay, backref="+", null=True)
    bay_id: int | None
    reason = TextField(null=True)
    from_on = Day(null=True)
    until_on = Day(null=True)


class Job(Row):
    """One piece of work on one craft."""

    number = TextField()
    number_key = TextField(unique=True)
    title = TextField()
    craft = TextField()
    structural = TextField()
    authority = TextField(null=True)
    opened_at = Whole()
    closed_at = Whole(null=True)
    close_reason = TextField(null=True)
    version = Whole(default=1)


class Signature(Recorded):
    """A lead's signature under a job; while it stands, nothing is written to the job. Append-only.

    `left_open` is JSON, `[[item, what it is, reason], …]`; `head` is the head of the seals then.
    """

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    authority = TextField(null=True)
    profile = TextField()
    left_open = TextField()
    head = TextField(null=True)


class SignatureEnd(Recorded):
    """A signature that was voided, and why. Append-only."""

    signature = ForeignKeyField(Signature, backref="+", unique=True)
    signature_id: int
    reason = TextField()


class Need(Recorded):
    """What a job will take of a product, or the correction of one; 0 withdraws. Append-only.

    `pieces` is JSON, `[[length_um, count], …]`, of what is cut from rolls. What the job drew
    up to the ledger's line `drawn_after` was for something else.
    """

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    product = ForeignKeyField(Product, backref="+")
    product_id: int
    amount = Whole()
    pieces = TextField(null=True)
    by_on = Day(null=True)
    drawn_after = Whole()
    replaces = ForeignKeyField("self", backref="+", null=True, unique=True)
    replaces_id: int | None


class Plan(Recorded):
    """A job's chain plan as it was told; the newest is in force. Append-only.

    `answer` is JSON, moments in epoch s; `uses` is JSON, `{product id: [first day, last day]}`.
    """

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    answer = TextField()
    uses = TextField()


class Sequence(Recorded):
    """Steps that are kept by name; the newest of a name counts. Append-only.

    `steps` is JSON: their order, titles and times in s, with a part in the place of a product.
    """

    name = TextField()
    name_key = TextField()
    steps = TextField()


class CupTest(Recorded):
    """Gel time of a resin lot measured in a cup. Append-only."""

    lot = ForeignKeyField(Lot, backref="+")
    lot_id: int
    catalyst_lot = ForeignKeyField(Lot, backref="+")
    catalyst_lot_id: int
    mass_mg = Whole()
    temperature_mk = Whole()
    percent_ppm = Whole()
    gel_s = Whole()
    second_gel_s = Whole(null=True)
    condition = TextField()
    factor_ppm = Whole()
    verdict = TextField()
    at = Whole()


class Batch(Recorded):
    """One pot, mixed; `answer` is the JSON of what the hand was told. Append-only."""

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    resin_lot = ForeignKeyField(Lot, backref="+")
    resin_lot_id: int
    catalyst_lot = ForeignKeyField(Lot, backref="+", null=True)
    catalyst_lot_id: int | None
    cure_sheet = ForeignKeyField(CureSheet, backref="+")
    cure_sheet_id: int
    resin_mg = Whole()
    catalyst_mg = Whole(null=True)
    catalyst_ul = Whole(null=True)
    percent_ppm = Whole(null=True)
    temperature_mk = Whole()
    temperature_basis = TextField()
    factor_ppm = Whole()
    cup_test = ForeignKeyField(CupTest, backref="+", null=True)
    cup_test_id: int | None
    gel_s = Whole(null=True)
    gel_earliest_s = Whole(null=True)
    gel_latest_s = Whole(null=True)
    filled = Flag(default=False)
    answer = TextField()
    mixed_at = Whole()


class Movement(Recorded):
    """One line of the ledger; `amount` is signed, `on_hand` what the lot had after it.

    `cost_minor` is what the line takes out of the lot's cost: above zero for a draw, below
    for a receipt or a return. Append-only, and written by `ledger` alone.
    """

    lot = ForeignKeyField(Lot, backref="+")
    lot_id: int
    kind = TextField()
    amount = Whole()
    on_hand = Whole()
    job = ForeignKeyField(Job, backref="+", null=True)
    job_id: int | None
    batch = ForeignKeyField(Batch, backref="+", null=True)
    batch_id: int | None
    reverses = ForeignKeyField("self", backref="+", null=True, unique=True)
    reverses_id: int | None
    reason = TextField(null=True)
    typed = TextField(null=True)
    density_mg_l = Whole(null=True)
    cost_minor = Whole(null=True)
    currency = TextField(null=True)
    counted_at = Whole(null=True)
    at = Whole()


class Acceptance(Recorded):
    """A lead's word that a count's difference stands. Append-only."""

    movement = ForeignKeyField(Movement, backref="+", unique=True)
    movement_id: int
    note = TextField(null=True)


class BatchObservation(Recorded):
    """What a hand saw of a pot: gelled, lost, not mixed. Append-only."""

    batch = ForeignKeyField(Batch, backref="+")
    batch_id: int
    kind = TextField()
    at = Whole()
    value = Whole(null=True)
    note = TextField(null=True)


class Layup(Recorded):
    """One thing laid down that must cure before the next; `closed_at` ends the watch on it.

    `stated_percent_ppm` is of one without pots: what is known of a pot stands with the pot.
    `ended_at` is when it was covered, handed over or left with its job. One that was not sound then
    stays open until somebody says what became of it.
    """

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    title = TextField()
    kind = TextField()
    bay = ForeignKeyField(Bay, backref="+")
    bay_id: int
    product = ForeignKeyField(Product, backref="+")
    product_id: int
    catalyst = ForeignKeyField(Product, backref="+", null=True)
    catalyst_id: int | None
    cure_sheet = ForeignKeyField(CureSheet, backref="+")
    cure_sheet_id: int
    stated_percent_ppm = Whole(null=True)
    applied_at = Whole()
    finished_at = Whole()
    surface_mk = Whole(null=True)
    cover = TextField(null=True)
    thickness_um = Whole(null=True)
    over = ForeignKeyField("self", backref="+", null=True)
    over_id: int | None
    effects = TextField(default="")
    closed_at = Whole(null=True)
    closed_reason = TextField(null=True)
    version = Whole(default=1)
    over_surface = TextField(null=True)
    ended_at = Whole(null=True)
    told = TextField(null=True)
    tight_um = Whole(null=True)


class LayupBatch(Recorded):
    """A pot that went into a layup. Append-only."""

    layup = ForeignKeyField(Layup, backref="+")
    layup_id: int
    batch = ForeignKeyField(Batch, backref="+")
    batch_id: int

    class Meta:
        """A pot goes into a layup once."""

        indexes = ((("layup", "batch"), True),)


class LayupObservation(Recorded):
    """What a hand saw of a layup; `readings` is JSON, those that made a hardness. Append-only.

    A hardness has its `scale`, the `face` that was read, and the conditions that were `met`; a bag
    its vacuum below the air, and the air's own pressure where that was told.
    """

    layup = ForeignKeyField(Layup, backref="+")
    layup_id: int
    kind = TextField()
    at = Whole()
    value = Whole(null=True)
    note = TextField(null=True)
    readings = TextField(null=True)
    scale = TextField(null=True)
    face = TextField(null=True)
    met = TextField(null=True)
    pressure_pa = Whole(null=True)
    air_pa = Whole(null=True)


class LayupMove(Recorded):
    """A layup carried to another bay. Append-only."""

    layup = ForeignKeyField(Layup, backref="+")
    layup_id: int
    bay = ForeignKeyField(Bay, backref="+")
    bay_id: int
    at = Whole()


class LayupProbe(Recorded):
    """A bay whose readings tell a layup's own temperature in its post-cure. Append-only."""

    layup = ForeignKeyField(Layup, backref="+")
    layup_id: int
    bay = ForeignKeyField(Bay, backref="+")
    bay_id: int
    on_part = Flag()


class LayupProbeEnd(Recorded):
    """A probe that was named by mistake, taken back. Append-only."""

    layup_probe = ForeignKeyField(LayupProbe, backref="+", unique=True)
    layup_probe_id: int
    reason = TextField()


class LayupEarlier(Recorded):
    """What a layup's row said until it was changed, by whom and when. Append-only."""

    layup = ForeignKeyField(Layup, backref="+")
    layup_id: int
    title = TextField()
    cover = TextField(null=True)
    finished_at = Whole()
    ended_at = Whole(null=True)
    closed_at = Whole(null=True)
    closed_reason = TextField(null=True)


class Photograph(Recorded):
    """A photograph of a job, a layup or a lot: of exactly one. Append-only.

    `jpeg` is of `size_bytes` bytes, and `sha256` is its digest, in hexadecimal.
    """

    job = ForeignKeyField(Job, backref="+", null=True)
    job_id: int | None
    layup = ForeignKeyField(Layup, backref="+", null=True)
    layup_id: int | None
    lot = ForeignKeyField(Lot, backref="+", null=True)
    lot_id: int | None
    shows = TextField()
    width_px = Whole()
    height_px = Whole()
    size_bytes = Whole()
    sha256 = TextField()
    jpeg = Bytes()


class Withdrawal(Recorded):
    """One thing taken back, and why: it stays on record and counts no longer. Append-only."""

    layup = ForeignKeyField(Layup, backref="+", null=True, unique=True)
    layup_id: int | None
    layup_observation = ForeignKeyField(LayupObservation, backref="+", null=True, unique=True)
    layup_observation_id: int | None
    batch_observation = ForeignKeyField(BatchObservation, backref="+", null=True, unique=True)
    batch_observation_id: int | None
    reading = ForeignKeyField(Reading, backref="+", null=True, unique=True)
    reading_id: int | None
    photograph = ForeignKeyField(Photograph, backref="+", null=True, unique=True)
    photograph_id: int | None
    reason = TextField()


class Meter(Recorded):
    """A moisture meter; `modes` is JSON, `[[name, measures], …]`. Append-only."""

    code = TextField()
    code_key = TextField(unique=True)
    title = TextField()
    kind = TextField()
    low_milli = Whole()
    high_milli = Whole()
    modes = TextField()


class Finding(Recorded):
    """Damage or wetness that somebody found; no depth where it was not opened. Append-only."""

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    place = TextField()
    place_key = TextField()
    side = TextField()
    kind = TextField()
    length_um = Whole()
    width_um = Whole()
    depth_um = Whole(null=True)
    found_by = TextField()
    note = TextField(null=True)
    at = Whole()


class MoistureReading(Recorded):
    """A meter's reading of a place; `placements` is JSON, thousandths of a point. Append-only."""

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    place = TextField()
    place_key = TextField()
    meter = ForeignKeyField(Meter, backref="+")
    meter_id: int
    mode = TextField()
    placements = TextField()
    surface_mk = Whole()
    air_mk = Whole(null=True)
    humidity_ppm = Whole(null=True)
    bay = ForeignKeyField(Bay, backref="+", null=True)
    bay_id: int | None
    dry_place = Flag()
    at = Whole()


class SurfaceNote(Recorded):
    """What happened to a surface, at a place or the whole boat. Append-only."""

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    place = TextField(null=True)
    place_key = TextField(null=True)
    kind = TextField()
    water = TextField(null=True)
    note = TextField(null=True)
    at = Whole()


class FilmTest(Recorded):
    """Film taped over a place, and whether drops were under it. Append-only."""

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    place = TextField()
    place_key = TextField()
    taped_at = Whole()
    looked_at = Whole()
    drops = Flag()


class WeighedSample(Recorded):
    """A sample of a place, weighed as it was and again dried. Append-only."""

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    place = TextField()
    place_key = TextField()
    wet_mg = Whole()
    dried_mg = Whole()
    at = Whole()


class FindingPhotograph(Recorded):
    """Which finding a photograph of its job shows. Append-only."""

    finding = ForeignKeyField(Finding, backref="+")
    finding_id: int
    photograph = ForeignKeyField(Photograph, backref="+", unique=True)
    photograph_id: int


class WetnessWithdrawal(Recorded):
    """One of the above taken back, and why: it stays, and counts no longer. Append-only."""

    finding = ForeignKeyField(Finding, backref="+", null=True, unique=True)
    finding_id: int | None
    moisture_reading = ForeignKeyField(MoistureReading, backref="+", null=True, unique=True)
    moisture_reading_id: int | None
    surface_note = ForeignKeyField(SurfaceNote, backref="+", null=True, unique=True)
    surface_note_id: int | None
    film_test = ForeignKeyField(FilmTest, backref="+", null=True, unique=True)
    film_test_id: int | None
    weighed_sample = ForeignKeyField(WeighedSample, backref="+", null=True, unique=True)
    weighed_sample_id: int | None
    reason = TextField()


class LeakTest(Recorded):
    """The vacuum of a bag, read twice; `air_pa` where it was told as absolute. Append-only."""

    job = ForeignKeyField(Job, backref="+")
    job_id: int
    place = TextField()
    first_pa = Whole()
    first_at = Whole()
    second_pa = Whole()
    second_at = Whole()
    air_pa = Whole(null=True)
    note = TextField(null=True)


class LeakTestEnd(Recorded):
    """A leak test taken back, and why: it stays, and counts no longer. Append-only."""

    leak_test = ForeignKeyField(LeakTest, backref="+", unique=True)
    leak_test_id: int
    reason = TextField()


class Override(Recorded):
    """A refusal that somebody overrode, and why. Append-only."""

    slug = TextField()
    reason = TextField()
    lot = ForeignKeyField(Lot, backref="+", null=True)
    lot_id: int | None
    movement = ForeignKeyField(Movement, backref="+", null=True)
    movement_id: int | None
    batch = ForeignKeyField(Batch, backref="+", null=True)
    batch_id: int | None
    layup = ForeignKeyField(Layup, backref="+", null=True)
    layup_id: int | None
    job = ForeignKeyField(Job, backref="+", null=True)
    job_id: int | None


class Token(Recorded):
    """What a person is known by, kept as hashes of what is sent. Append-only."""

    name = TextField()
    role = TextField()
    secret_hash = TextField(unique=True)
    page_hash = TextField(unique=True)
    bay = ForeignKeyField(Bay, backref="+", null=True)
    bay_id: int | None
    kind = TextField(default="person")


class TokenUse(Row):
    """When a token's pass was last shown."""

    token = ForeignKeyField(Token, backref="+", unique=True)
    token_id: int
    used_at = Whole()


class TokenEnd(Recorded):
    """A token revoked. Append-only."""

    token = ForeignKeyField(Token, backref="+", unique=True)
    token_id: int
    reason = TextField(null=True)


class Phone(Recorded):
    """A one-time code for a phone, kept as its hash; `maker` is its maker's token. Append-only."""

    name = TextField()
    role = TextField()
    code_hash = TextField(unique=True)
    maker = ForeignKeyField(Token, backref="+", null=True)
    maker_id: int | None


class PhoneCodeEnd(Recorded):
    """A code that became a token, or was withdrawn. Append-only."""

    phone = ForeignKeyField(Phone, backref="+", unique=True)
    phone_id: int
    token = ForeignKeyField(Token, backref="+", null=True, unique=True)
    token_id: int | None
    reason = TextField(null=True)


class Feed(Recorded):
    """A calendar's own secret address, kept as its hash; of a job, a bay, or all. Append-only."""

    job = ForeignKeyField(Job, backref="+", null=True)
    job_id: int | None
    bay = ForeignKeyField(Bay, backref="+", null=True)
    bay_id: int | None
    secret_hash = TextField(unique=True)


class FeedEnd(Recorded):
    """A feed revoked. Append-only."""

    feed = ForeignKeyField(Feed, backref="+", unique=True)
    feed_id: int
    reason = TextField(null=True)


class Reached(Recorded):
    """Something that turned about a layup, told once; `who` was told first. Append-only."""

    layup = ForeignKeyField(Layup, backref="+")
    layup_id: int
    name = TextField()
    at = Whole()

    class Meta:
        """Each is told once."""

        indexes = ((("layup", "name"), True),)


class LogbookEntry(Recorded):
    """What was decided beside the rules, or done to the store. Append-only."""

    kind = TextField()
    about = TextField()
    reason = TextField(null=True)

    class Meta:
        """The book itself has the name."""

        table_name = "logbook"


class Answer(Row):
    """The first answer to a request with an idempotency key."""

    scope = TextField()
    key = TextField()
    body_hash = TextField()
    status = Whole()
    body = TextField()
    location = TextField(null=True)
    etag = TextField(null=True)
    made_at = Whole()

    class Meta:
        """A key answers once in its scope."""

        indexes = ((("scope", "key"), True),)


class Written(Row):
    """What a transaction wrote: a name and a hash of its rows (see `engine.sealing`). Append-only.

    `found` where the rows were sealed as they were found, by a migration.
    """

    version = Whole()
    found = Flag(default=False)
    parts = TextField()


class Seal(Row):
    """A transaction's place in the chain, and the chain's head with it. Append-only."""

    written = ForeignKeyField(Written, backref="+", unique=True)
    written_id: int
    head = TextField()


MODELS = (
    Yard, Product, CureSheet, Bay, BayPattern, Reading, Lot, LotEvent, Job, Need, Plan, CupTest,
    Batch, Movement, Acceptance, BatchObservation, Layup, LayupBatch, LayupObservation, LayupMove,
    LayupProbe, LayupProbeEnd, LayupEarlier, Photograph, Withdrawal, Meter, Finding,
    FindingPhotograph, MoistureReading, SurfaceNote, FilmTest, WeighedSample, WetnessWithdrawal,
    LeakTest, LeakTestEnd, Override, Token, TokenEnd, TokenUse, Phone, PhoneCodeEnd, Feed, FeedEnd,
    Reached, LogbookEntry, Answer, Signature, SignatureEnd, Sequence, Written, Seal,
)  # fmt: skip

APPEND_ONLY = (
    CureSheet, BayPattern, Reading, LotEvent, Need, Plan, Movement, Acceptance, CupTest, Batch,
    BatchObservation, LayupBatch, LayupObservation, LayupMove, LayupProbe, LayupProbeEnd,
    LayupEarlier, Photograph, Withdrawal, Meter, Finding, FindingPhotograph, MoistureReading,
    SurfaceNote, FilmTest, WeighedSample, WetnessWithdrawal, LeakTest, LeakTestEnd, Override, Token,
    TokenEnd, Phone, PhoneCodeEnd, Feed, FeedEnd, Reached, LogbookEntry, Signature, SignatureEnd,
    Sequence, Written, Seal,
)  # fmt: skip

NOT_SEALED = (Answer, TokenUse, Written, Seal)
"""Tables whose rows have no seal: an answer only repeats what was answered, and is dropped after a
while; when a pass was last shown is written over all day, and is no record of work; the chain holds
the other two by itself."""

for _model in MODELS:
    if _model not in NOT_SEALED:
        seal_rows_of(_model, changing=_model not in APPEND_ONLY)

SIGNED_LAST = (Signature, SignatureEnd)
"""What a store that is filled gets last: a signature shuts its job for every other row."""

SHUT_BY_SIGNATURE = {
    "need": False, "plan": False, "batch": False, "batch_observation": False, "movement": False,
    "layup_batch": False, "layup_observation": False, "layup_move": False, "layup_probe": False,
    "layup_probe_end": False, "layup_earlier": False, "withdrawal": False, "photograph": False,
    "finding": False, "finding_photograph": False, "moisture_reading": False,
    "surface_note": False, "film_test": False, "weighed_sample": False,
    "wetness_withdrawal": False, "leak_test": False, "leak_test_end": False, "override": False,
    "signature": False, "job": True, "layup": True,
}  # fmt: skip
"""Tables that get no row of a job that is signed; whether their rows are changed as well."""
