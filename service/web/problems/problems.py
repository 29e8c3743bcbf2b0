"""The one table of problems: slug → HTTP status, title and what it means.

Errors are answered as RFC 9457 `application/problem+json`; `type` is the address of a
page of this service that explains it (see `pages`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ...core.errors import Refusal, Refusals, Unsure

MEDIA_TYPE = "application/problem+json"

MOST_ERRORS = 100
"""Faults that one answer lists; a person mends those first."""


@dataclass(frozen=True)
class Problem:
    """A kind of problem.

    Attributes:
        status: HTTP status.
        title: what it is, in a few words that never change.
        explanation: what it means and what to do, for the person who follows `type`.
    """

    status: int
    title: str
    explanation: str


_BOOKS = "The stock ledger was not touched."

TABLE: dict[str, Problem] = {
    "unreadable": Problem(
        400,
        "The request can't be read",
        "The body is not the JSON (or table) that it says it is: broken, nested too deep, not "
        "UTF-8, a name given twice, or a number that JSON does not have, such as NaN. "
        "Send it again as plain JSON.",
    ),
    "not-authenticated": Problem(
        401,
        "Who are you?",
        "Everybody who uses this service shows a token: a program in the header Authorization, a "
        "browser at /enter. None came, or one that is not known here or was revoked. An admin "
        "makes tokens.",
    ),
    "cross-site": Problem(
        403,
        "Sent by another site's page",
        "A browser said that a page of another site made this request. A page of somebody else's "
        "may not change the store through your browser. Use the program, or this service's pages.",
    ),
    "foreign-host": Problem(
        403,
        "Only this machine is answered",
        "Nobody has to log in here, so the service answers only requests made on this machine "
        "itself, addressed to localhost, 127.0.0.1 or [::1], and passed on by no proxy. Behind a "
        "proxy on another machine it answers, of other machines, that proxy alone.",
    ),
    "not-allowed": Problem(
        403,
        "Your role may not do that",
        "A viewer looks. A hand also receives, draws, mixes, lays up, reads, counts, and undoes "
        "its own of the last day. A lead also edits the catalogue, releases, extends, overrides, "
        "accepts counts, closes, undoes what others did, and reaches more than 30 days back. An "
        "admin also makes tokens and sets the yard. The answer says whom to ask.",
    ),
    "not-found": Problem(
        404,
        "There is no such thing",
        "The address names something that the store does not have. Look in the list that it "
        "would stand in.",
    ),
    "method": Problem(
        405,
        "Not done at this address",
        "The address is there, but takes other methods; the Allow header names them.",
    ),
    "already-exists": Problem(
        409,
        "The code or number is taken",
        "Codes and numbers are unique, and large and small letters are alike in them. Choose "
        "another, or change the one that is there.",
    ),
    "expired-lot": Problem(
        409,
        "The lot is out of date",
        "A lot is good through the last day of the earliest of its dates. Take another lot; a lead "
        "may override with a reason, where the material allows it, and the reason stays on record.",
    ),
    "held-lot": Problem(
        409,
        "The lot is held",
        "Somebody set this lot aside, or a test found it suspect. A lead releases it.",
    ),
    "short-stock": Problem(
        409,
        "There is not enough",
        "The store has less than was asked for. Draw what is there, receive more, or count the "
        f"lot if the shelf says otherwise. {_BOOKS}",
    ),
    "no-single-piece": Problem(
        409,
        "No one piece is big enough",
        "In total there is enough, but a ply is cut from one roll or sheet and can't be made of "
        "two ends.",
    ),
    "reserved-stock": Problem(
        409,
        "What is left is promised to other jobs",
        "On hand less what jobs have reserved is free, and only that may be drawn for another. A "
        "lead may override with a reason.",
    ),
    "gate-stop": Problem(
        409,
        "A quality gate says stop",
        "The yard goes by rules under which no pot is mixed while a gate says stop. The job's "
        "gates say what was found, what would change it and whose rule it is. A lead may override "
        "with a reason, which stays on record.",
    ),
    "authority-missing": Problem(
        409,
        "It names no authority",
        "Structural work goes by somebody's rules: the builder's drawings, a class society's, a "
        "licensed surveyor's. Until the job names whose, no plan of it is needed or cut, and "
        "nothing is laid. A lead may override with a reason, which stays on record.",
    ),
    "not-cured": Problem(
        409,
        "Not cured enough to hand over",
        "A part is loaded, lifted or launched when it is hard; a structural one by a lead's "
        "sign-off, with hardness at 90 % of the maker's least or the post-cure on record. The "
        "detail says what is missing. Whoever may, overrides with a reason, which stays on record.",
    ),
    "unsound-below": Problem(
        409,
        "The layer below is not sound",
        "Nothing goes on a layer that is wet, late to gel, suspect or stalled cold, or that a hand "
        "last felt wet. Wait, heat it, or scrape it off, and note what a hand finds. A lead may "
        "override with a reason, which stays on record; the layer below stays in trouble until "
        "somebody says what became of it.",
    ),
    "job-closed": Problem(
        409,
        "The job is closed",
        "Nothing more is booked to a closed job. Open another for the work that is left.",
    ),
    "counted-since": Problem(
        409,
        "The lot was counted since",
        "A count holds the truth of that day, so what stood before it is not undone any more. "
        "Count again if the shelf says otherwise.",
    ),
    "reading-differs": Problem(
        409,
        "Another reading stands there",
        "The bay has another temperature for that moment. Say that this one replaces it, and why; "
        "the old one stays on record.",
    ),
    "part-of-batch": Problem(
        409,
        "It belongs to a pot",
        "What a pot drew is undone all together, and only when it was not mixed.",
    ),
    "stale-version": Problem(
        412,
        "Changed by somebody since",
        "The version in If-Match is not the one that stands now. Read it again and decide anew.",
    ),
    "too-large": Problem(
        413,
        "Too large",
        "JSON is read up to 1 MiB and a table of readings up to 16 MiB. Send it in parts.",
    ),
    "media-type": Problem(
        415,
        "Not a kind of body taken here",
        "Say in Content-Type what the body is: application/json, or text/csv where readings are "
        "posted; and send it uncompressed.",
    ),
    "validation": Problem(
        422,
        "Something in it is wrong",
        "The request was read, and what it says can't be right. `detail` says what; where there "
        "is more than one thing, `errors` has each, with a pointer to it.",
    ),
    "unit-missing": Problem(
        422,
        "A number without its unit",
        "12 what? A number that measures something is written with its unit, such as '12.5 kg', "
        "'3 gal' or '72 degF'. Nobody guesses.",
    ),
    "unit-mismatch": Problem(
        422,
        "A unit that does not fit",
        "The unit is unknown, or measures another kind of thing. A gallon is the US gallon; for "
        "a liquid ounce write 'fl oz'.",
    ),
    "unknown-reference": Problem(
        422,
        "It names what the store does not have",
        "The request names a product, lot, job or bay that is not there. Add it first, or mend "
        "the name.",
    ),
    "outside-limits": Problem(
        422,
        "Outside the product's limits",
        "Outside what the maker's sheet allows: percent, pot, ratio or build. Stay inside, or mend "
        "the sheet in the catalogue if it was typed wrong.",
    ),
    "peroxide-limit": Problem(
        422,
        "Too much peroxide",
        "A peroxide weaker than the sheet's is weighed out in more grams, for the same active "
        "oxygen; but over 4 % as weighed the resin may never cure. Take a peroxide with more "
        "active oxygen, or warm the shop.",
    ),
    "too-cold": Problem(
        422,
        "Too cold",
        "Under the product's least temperature it does not cure as its sheet says. Warm the bay "
        "and the material, with heat that has no flame, before anything is opened.",
    ),
    "too-hot": Problem(
        422,
        "Too hot",
        "Over the product's greatest temperature it goes off before it can be used. Wait for the "
        "cool of the day, or cool the shop.",
    ),
    "cure-sheet-missing": Problem(
        422,
        "No cure sheet for that",
        "The sum needs a cure sheet, or a figure on it, that the product does not have. Add it "
        "from the maker's data sheet.",
    ),
    "partner-missing": Problem(
        422,
        "Name the catalyst or hardener",
        "The product is catalysed or mixed of two parts, and its cure sheets hold with more than "
        "one partner, or with none. Without its partner it does not cure, so nobody guesses which "
        "one is meant. The answer names them.",
    ),
    "cure-sheet-inconsistent": Problem(
        422,
        "The cure sheet contradicts itself",
        "Its figures go against each other or against chemistry, such as a gel time that grows "
        "with temperature. Check them against the maker's data sheet.",
    ),
    "no-plan": Problem(
        422,
        "The steps can't be planned",
        "No times in the shop's hours keep every layer inside the recoat window below it, or "
        "abraded past it. The detail names the first step that can't be reached, and why.",
    ),
    "idempotency-conflict": Problem(
        422,
        "That key came with another body",
        "An Idempotency-Key names one request. It came before with another body; make a new key "
        "for a new request.",
    ),
    "precondition-missing": Problem(
        428,
        "Say which version you change",
        "A change needs the header If-Match with the ETag that the thing was read with, so that "
        "nobody's change is lost unseen.",
    ),
    "slow-down": Problem(
        429,
        "Too many wrong tokens",
        "From your address came more wrong tokens in a minute than anybody mistypes. A right one "
        "is answered all the same; Retry-After says how many seconds to wait with another.",
    ),
    "fault": Problem(
        500,
        "The service failed",
        "That is the service's own fault and not yours. The id in the answer stands in the "
        "service's log, with what went wrong.",
    ),
    "busy": Problem(
        503,
        "The store is busy",
        "Others were writing for longer than a hand should wait. Send it again with the same "
        "Idempotency-Key: it is done once.",
    ),
    "streams-full": Problem(
        503,
        "No stream is free",
        "Only so many may listen to a stream at once, so that work finds a thread free. Each "
        "ends after some minutes at most; come back after the seconds in Retry-After.",
    ),
    "unsure": Problem(
        503,
        "It may have been done",
        "The connection to the store's database broke off in the very moment of keeping it. Send "
        "it again with the same Idempotency-Key: it is done once. Without a key, look first.",
    ),
    "not-ready": Problem(
        503,
        "Not ready",
        "The service runs, but its store does not answer or is of another version. `checks` says "
        "which.",
    ),
    "store-full": Problem(
        507,
        "The store's disk is full",
        "There is no room to write. Make room on the disk; reading goes on meanwhile.",
    ),
}


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
        "title": problem.title,
        "status": problem.status,
        "detail": refusal.detail,
        "advice": refusal.advice,
        "pointer": refusal.pointer,
        "changed": None if isinstance(refusal, Unsure) else False,
    }
    if isinstance(refusal, Refusals):
        body["errors"] = [_error(each) for each in refusal.refusals[:MOST_ERRORS]]
    return {name: value for name, value in body.items() if value != ""}


def _error(refusal: Refusal) -> dict[str, Any]:
    words = " ".join(filter(None, (refusal.detail, refusal.advice)))
    return {"pointer": refusal.pointer, "slug": refusal.slug, "detail": words} | refusal.fields
