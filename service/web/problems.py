"""Refusals over HTTP: the status of each class, and its RFC 9457 problem document.

HTTP's own refusals are here; those of the trade are in `core.errors`. The `type` of a problem is
the address of a page that explains it (see `pages.reference`).
"""

from __future__ import annotations

from typing import Any

from ..core import errors
from ..core.errors import Refusal, Refusals, Unsure
from ..core.frozen import frozen
from ..core.words import joined

MEDIA_TYPE = "application/problem+json"

MOST_ERRORS = 100
"""Errors that one answer lists; a person corrects those first."""


class Unreadable(Refusal, slug="unreadable"):
    """The request can't be read."""


class NotAuthenticated(Refusal, slug="not-authenticated"):
    """Whoever asks is not let in."""


class CrossSite(Refusal, slug="cross-site"):
    """A page of another site sent the request."""


class ForeignHost(Refusal, slug="foreign-host"):
    """Only requests from this machine are answered."""


class Method(Refusal, slug="method"):
    """The address does not take that method."""


class TooLarge(Refusal, slug="too-large"):
    """The body is too large."""


class MediaType(Refusal, slug="media-type"):
    """The address does not take that kind of body."""


class SlowDown(Refusal, slug="slow-down"):
    """Too many wrong tokens.

    Its field `retry_after_s` says the seconds to wait; so does that of `StreamsFull`.
    """


class StreamsFull(Refusal, slug="streams-full"):
    """All streams are in use."""


class NotServed(Refusal, slug="not-served"):
    """The yard is not served to other machines."""


class NotReady(Refusal, slug="not-ready"):
    """The service is not ready."""


class Fault(Refusal, slug="fault"):
    """The service failed."""


_EXPLAINED: dict[int, dict[type[Refusal], str]] = {
    400: {
        Unreadable: "The body is not the JSON or the table that it says it is: broken, nested too "
        "deep, not UTF-8, with a name given twice, or with a number that JSON does not have, such "
        "as NaN. Send it again as plain JSON.",
    },
    401: {
        NotAuthenticated: "Everybody who uses this service shows a token: a program in the header "
        "Authorization, a browser at /enter. A phone has a code instead, which lets it in once. "
        "The request had none, or one that is not known here or was revoked. An admin makes tokens "
        "and codes.",
    },
    403: {
        CrossSite: "A browser said that a page of another site made this request. No other site's "
        "page may change the store through your browser. Use the command line or this service's "
        "own pages.",
        ForeignHost: "While nobody has to log in here, the service answers only requests that are "
        "made on this machine itself, addressed to localhost, 127.0.0.1 or [::1], and passed on "
        "by no proxy. If its proxy is on another machine, it answers of all other machines that "
        "proxy alone.",
        errors.NotAllowed: "A viewer looks. A hand also receives, draws, mixes, lays up, reads, "
        "counts, and undoes its own work of the last day. A lead also edits the catalogue, "
        "releases, extends, overrides, accepts counts, closes, undoes the work of others, and "
        "enters what is more than 30 days old. An admin also makes tokens and sets the yard. The "
        "answer says whom to ask.",
    },
    404: {
        errors.NotFound: "The address names something that the store does not have. Look for it "
        "in the list of its kind.",
    },
    405: {Method: "The address exists but takes other methods; the Allow header names them."},
    409: {
        errors.AlreadyExists: "Codes and numbers are unique, and capital and small letters count "
        "as the same. Choose another, or change the one that exists. What was done already is not "
        "done twice.",
        NotServed: "A phone comes in over the yard's own network, or through a proxy with TLS. "
        "Start the service for the network, or set the yard's address to the proxy's.",
        errors.ExpiredLot: "A lot is good through the last day of the earliest of its dates. Take "
        "another lot; a lead may override with a reason, where the material allows it, and the "
        "reason stays on record.",
        errors.HeldLot: "Somebody set this lot aside, or a test found it suspect. A lead releases "
        "it.",
        errors.ShortStock: "The store has less than was asked for. Draw what is there, receive "
        "more, or count the lot if the shelf has another amount. The stock ledger was not touched.",
        errors.NoSinglePiece: "In total there is enough, but a ply is cut from one roll or sheet "
        "and can't be made of two ends.",
        errors.ReservedStock: "What is on hand less what jobs have reserved is free, and only that "
        "may be drawn for another job. A lead may override with a reason.",
        errors.GateStop: "The yard goes by rules under which no pot is mixed while a gate says "
        "stop. The job's gates say what was found, what would change it and whose rule it is. A "
        "lead may override with a reason, which stays on record.",
        errors.PotTooShort: "Under a vacuum bag resin must stay workable until the pump has pulled "
        "the bag down. The detail has the working time at worst, and what laying, bagging and "
        "pumping take. Dose it slower, or lay it in smaller parts. A lead may override with a "
        "reason, which stays on record.",
        errors.AuthorityMissing: "Structural work goes by somebody's rules: the builder's "
        "drawings, a class society's, a licensed surveyor's. Until the job names whose, no "
        "material is reserved or cut for it and nothing is laid. A lead may override with a "
        "reason, which stays on record.",
        errors.NotCured: "A part is loaded, lifted or launched when it is hard; a structural one "
        "by a lead's sign-off, with hardness at 90 % of the maker's least or the post-cure on "
        "record. The detail says what is missing. An override with a reason stays on record.",
        errors.UnsoundBelow: "Nothing goes on a layer that is wet, late to gel, suspect or stalled "
        "cold, or that a hand last felt wet. Wait, heat it, or scrape it off, and note what a hand "
        "finds. A lead may override with a reason, which stays on record; the layer below stays in "
        "trouble until somebody says what became of it.",
        errors.JobClosed: "Nothing more is booked to a closed job. Open another for the work that "
        "is left.",
        errors.StillOpen: "A job is signed when each of its gates, needs and layups is settled. "
        "The answer's `open` has what is not. Settle each, or name it with the reason why it is "
        "left open: that stays on record with the signature.",
        errors.Signed: "Nothing is written to a signed job, whatever is asked. A lead may open it "
        "again with a reason: that voids the signature, and both stay on record. A signature is a "
        "yard's record, no certificate.",
        errors.CountedSince: "A count holds the truth of its day, so nothing from before it can be "
        "undone any more. Count again if the shelf has another amount.",
        errors.ReadingDiffers: "Two readings can't hold for one moment. Say that the new one "
        "replaces the old one, and why; the old one stays on record.",
        errors.PartOfBatch: "All that was drawn for a pot is undone together, and only when the "
        "pot was not mixed.",
    },
    412: {
        errors.StaleVersion: "The version in If-Match is not the present one. Read it again and "
        "decide anew.",
    },
    413: {
        TooLarge: "JSON is read up to 1 MiB, a table of readings up to 16 MiB and a photograph up "
        "to 20 MiB. Send a table in parts, and a picture smaller.",
    },
    415: {
        MediaType: "Say in Content-Type what the body is: application/json, or text/csv where "
        "readings are posted, image/jpeg or image/png where a photograph is; and send it "
        "uncompressed.",
    },
    422: {
        errors.Invalid: "The request was read, and something in it can't be right. `detail` says "
        "what; where several things are wrong, `errors` has each, with a pointer to it.",
        errors.UnitMissing: "12 what? A number that measures something is written with its unit, "
        "such as '12.5 kg', '3 gal' or '72 degF'. The service never guesses a unit.",
        errors.UnitMismatch: "The unit is unknown, or measures another kind of thing. A gallon is "
        "the US gallon; for a liquid ounce write 'fl oz'.",
        errors.UnknownReference: "The request names a product, lot, job or bay that the store does "
        "not have. Add it first, or correct the name.",
        errors.OutsideLimits: "The maker's sheet does not allow that percent, pot, ratio or build. "
        "Stay inside, or correct the sheet in the catalogue if it was typed wrong.",
        errors.PeroxideLimit: "Of a peroxide weaker than the sheet's, more grams are weighed out "
        "for the same active oxygen; but over 4 % as weighed the resin may never cure. Take a "
        "peroxide with more active oxygen, or warm the shop.",
        errors.TooCold: "Below its least temperature the product does not cure as its sheet says. "
        "Warm the bay and the material, with heat that has no flame, before anything is opened.",
        errors.TooHot: "Above its greatest temperature the product goes off before it can be used. "
        "Wait for the cool of the day, or cool the shop.",
        errors.CureSheetMissing: "The calculation needs a cure sheet, or a figure on it, that the "
        "product does not have. Add it from the maker's data sheet.",
        errors.PartnerMissing: "The product is catalysed or mixed of two parts, and its cure "
        "sheets name several catalysts or hardeners, or none. Without one it does not cure, and "
        "the service never guesses which. Name one of those in the answer.",
        errors.CureSheetInconsistent: "Its figures go against each other or against chemistry, "
        "such as a gel time that grows with temperature. Check them against the maker's data "
        "sheet.",
        errors.NoPlan: "No times in the shop's hours keep every layer inside the recoat window of "
        "the layer below, or abraded after it. The detail names the first step that can't be "
        "reached, and why.",
        errors.IdempotencyConflict: "An Idempotency-Key names one request, and this key came "
        "before with another body. Make a new key for a new request.",
    },
    428: {
        errors.PreconditionMissing: "A change needs the header If-Match with the ETag of the "
        "version that was read, so that nobody's change is overwritten unseen.",
    },
    429: {
        SlowDown: "More wrong tokens came from your address in a minute than anybody mistypes. A "
        "right one is answered all the same; Retry-After says how many seconds to wait before "
        "you try another.",
    },
    500: {
        Fault: "The fault is the service's own and not yours. Its log has what went wrong, under "
        "the id in the answer.",
    },
    503: {
        errors.Busy: "Others were writing for longer than a person should wait, or as many tables "
        "as may be are being made. Send it again after the seconds in Retry-After, with the same "
        "Idempotency-Key: it is done once.",
        StreamsFull: "The number of open streams is limited, so that other requests are answered. "
        "Each ends after some minutes at most; come back after the seconds in Retry-After.",
        errors.Unsure: "The connection to the store's database broke off while the change was "
        "being kept. Send it again with the same Idempotency-Key: it is done once. Without a key, "
        "look first.",
        NotReady: "The service runs, but its store does not answer or has another version. The "
        "detail says which.",
    },
    507: {
        errors.StoreFull: "There is no room to write. Make room on the disk; reading goes on "
        "meanwhile.",
    },
}


@frozen
class Problem:
    """A kind of problem: its HTTP status, its title, and what it means and what to do."""

    status: int
    title: str
    explanation: str


def _title(kind: type[Refusal]) -> str:
    return (kind.__doc__ or kind.slug).splitlines()[0].rstrip(".")


TABLE: dict[str, Problem] = {
    kind.slug: Problem(status, _title(kind), explanation)
    for status, kinds in _EXPLAINED.items()
    for kind, explanation in kinds.items()
}
"""Each problem by its slug."""


def document(refusal: Refusal, base: str) -> dict[str, Any]:
    """The problem document of a refusal.

    Args:
        refusal: what was refused; its fields stand beside the standard members.
        base: address of this service, such as `http://127.0.0.1:8765`.
    """
    problem = TABLE[refusal.slug]
    body: dict[str, Any] = {
        **refusal.fields,
        "type": f"{base.rstrip('/')}/problems/{refusal.slug}",
        "slug": refusal.slug,
        "title": problem.title,
        "status": problem.status,
        "detail": refusal.detail,
        "advice": refusal.advice,
        "pointer": refusal.pointer,
        "changed": changed(refusal),
    }
    if isinstance(refusal, Refusals):
        body["errors"] = [_error(each) for each in refusal.refusals[:MOST_ERRORS]]
    return {name: value for name, value in body.items() if value != ""}


def changed(refusal: Refusal) -> bool | None:
    """Whether anything was changed: never, but None where a break-off hides it."""
    return None if isinstance(refusal, Unsure) else False


def _error(refusal: Refusal) -> dict[str, Any]:
    words = joined(" ", (text for text in (refusal.detail, refusal.advice) if text))
    return {"pointer": refusal.pointer, "slug": refusal.slug, "detail": words} | refusal.fields
