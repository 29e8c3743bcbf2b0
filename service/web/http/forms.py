"""Forms on pages: read strictly, sent by this service's own pages alone, each done once.

How a page with a form is written:

    class ReadingForm(Form):
        '''What a thermometer shows.'''

        temperature = fields.Quantity(TEMPERATURE, required=True)

    def note(read: Loaded, code: str) -> str:
        read_bay(bay=code, readings=[...], now=now(), hand=hand())
        return url_for("bay_page", code=code, noted="")

    forms.add_act(app, "/bays/<code:code>", "bay_page", base.looks(show_bay), note, ReadingForm)

with a template that imports `by_thumb.html`, and in which each form is sent to `thumb.to(address)`
and has `{{ thumb.hidden() }}`. The act returns the address of the page that follows. It runs in one
transaction, in which its form's key is kept with that address: so a second tap, a retry of the
browser, and a form sent again from a page of the past lead to the same page, and nothing is done
twice. A refused form is shown again by the same page, with what was typed, and the refusal beside
its field: see `Again`.

A form is taken by the pass of a browser alone, never by a token in a header. It must come from a
page of this very origin, and hold a word that only a page for that pass can hold: cookies know no
ports, so a page on another port of the same host sends the cookie too.

A field in a unit of its own is called `temperature` and its unit `temperature.unit`, as the page
showed it: a form that lay open for long is read as it was typed.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import re
import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from functools import partial
from typing import Any, TypeVar

from flask import Flask, Response, g, make_response, redirect, request
from marshmallow import ValidationError
from werkzeug.exceptions import RequestEntityTooLarge

from ...core.errors import IdempotencyConflict, Invalid, Refusal, Refusals
from ...core.frozen import frozen
from ...core.words import Text, joined
from ...store.engine.turns import Turn
from ...store.yard.hands import Role
from .. import problems
from ..context import people
from ..context.house import house
from ..fields import Number, messages
from ..fields.schemas import Loaded, Query
from ..problems import CrossSite, MediaType, NotAuthenticated, TooLarge, Unreadable
from . import keys
from .access import Access, access_of, marked
from .bodies import FORM_LIMIT, FORMS

Act = Callable[..., str]
"""What a form does: of its fields and the address, the address of the page that follows."""

WORD, KEY, UNIT = "form", "key", ".unit"
"""The names of a form's own fields: the word of the pass, the key, and the end of a unit's name."""
KEPT = "private, no-cache"
"""How a browser keeps a page with a form: Back shows it as it was left, without a network too."""
PASS_S = 30 * 24 * 3600

_KEY = re.compile(r"[A-Za-z0-9_-]{16,64}")
_NUMBER_ENDS = re.compile(r"[\d.,]\s*")
_WITH_COMMA = re.compile(r"\s*-?(?:\d+,(?:\d{1,2}|\d{4,})|0,\d+)\s*")
"""A number with a decimal comma: 1,250 may be meant with one that parts thousands."""


class Form(Query):
    """The fields of a form. Their texts are read as those of a query; an empty one is left out.

    Attributes:
        too_large: what is said of one that is too large, and what to do.
    """

    too_large = "The form is too large.", "Write less."

    def with_files(self, read: Loaded) -> Loaded:
        """The fields, with what a form's files hold: it is read before the store is locked."""
        return read


class Asks(Exception):
    """An act that notes nothing yet: the page at an address asks once more. No key is used up."""

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


@frozen
class Again:
    """A form as a page shows it: empty, or as it was sent and refused.

    Attributes:
        typed: what was typed, by field.
        refusal: why it was refused; None for a form that was not sent yet.
        kept_at: the page that followed where the form was kept before, with other answers.
        first: what it had then, by field, where that differs.
    """

    typed: Mapping[str, str] = field(default_factory=dict)
    refusal: Refusal | None = None
    kept_at: str = ""
    first: Mapping[str, str] = field(default_factory=dict)

    def value(self, name: str, usual: object = "") -> str:
        """What a field shows: what was typed into it, or else the usual."""
        return self.typed.get(name, "" if usual is None else str(usual))

    def fault(self, name: str) -> Text:
        """What was wrong with a field; empty where nothing was."""
        return joined(" ", [_words(each) for each in self._each() if _place(each) == name])

    def faults(self, *names: str) -> list[Refusal]:
        """What was wrong beside those fields, which the page says at its head."""
        return [each for each in self._each() if _place(each) not in names]

    @property
    def unsure(self) -> bool:
        """Whether nobody knows if it was kept."""
        return self.refusal is not None and problems.changed(self.refusal) is None

    def _each(self) -> list[Refusal]:
        if isinstance(self.refusal, Refusals):
            return self.refusal.refusals
        return [] if self.refusal is None else [self.refusal]


def add(app: Flask) -> None:
    """Let the pages of an application have forms."""
    app.after_request(_keep)
    app.jinja_env.globals.update(form=again, form_word=_word, form_key=_key)


def add_act(
    app: Flask,
    rule: str,
    endpoint: str,
    page: Callable[..., Any],
    act: Act,
    form: type[Form],
    *,
    role: Role = "hand",
    most: int = FORM_LIMIT,
    turn: Turn = Turn.ALONE,
) -> None:
    """Add an address that shows a page when it is asked for, and takes the page's form.

    Args:
        page: shows the page for the address, also again for a refused form.
        act: changes the store.
        role: the lowest that may send the form.
        most: bytes of a form from somebody who may; a stranger's form has `FORM_LIMIT`.
        turn: how the act has the yard.
    """
    schema = form()

    def answered(**address: Any) -> Any:
        if request.method != "POST":
            return page(**address)
        return _done_or_again(schema, partial(act, **address), partial(page, **address), turn)

    access = Access(role, writes=True, most=most)
    app.add_url_rule(rule, endpoint, marked(answered, access), methods=["GET", "POST"])


def sender(view: object) -> people.Person:
    """Who sends a form: known by the browser's pass, from a page of this origin.

    The form itself is not read yet, nor may a stranger's be large.

    Raises:
        Method: nothing can be sent to that address. CrossSite: it comes from another page.
        NotAuthenticated: the pass has ended. NotAllowed: the role may not.
    """
    access = access_of(view)
    if access is None or access.role is None:
        return people.by_bearer()
    _from_a_page_of_ours()
    known = people.by_page_pass()
    if known is None:
        raise NotAuthenticated(
            "This phone or browser is not let in, or no longer.",
            advice="On a phone: ask whoever runs the yard's computer for a new code for this "
            "phone (cureyard phone add NAME). With a token: come in at /enter. Then go back to "
            "the form, which still has what you typed.",
        )
    known.hand.must_be(access.role)
    request.max_content_length = access.most
    return known


def show_again(page: Callable[[], Any], sent: Mapping[str, str], refusal: Refusal) -> Response:
    """The page of a refused form. It keeps its key, unless that was used for another form."""
    used = isinstance(refusal, (IdempotencyConflict, CrossSite, Unreadable))
    told = {n: t for n, t in sent.items() if n != KEY or not used}
    if isinstance(refusal, IdempotencyConflict):
        g.form = Again(told, _KEPT_BEFORE, *_first(sent))
    else:
        g.form = Again(told, refusal)
    response = make_response(page(), problems.TABLE[refusal.slug].status)
    if response.status_code == 503:
        response.headers["Retry-After"] = str(refusal.fields.get("retry_after_s", 1))
    return response


_KEPT_BEFORE = IdempotencyConflict(
    "This form was sent before, and that was kept.",
    advice="Nothing more was noted. Press again to note this too.",
)
"""What is said of a form of a page of the past, of which a hand sends another answer."""


def _first(sent: Mapping[str, str]) -> tuple[str, dict[str, str]]:
    """Where a form led the first time, and what it had then, where that differs from now."""
    address, body = keys.first_of(sent.get(KEY, ""))
    try:
        told: dict[str, str] = json.loads(body)
    except ValueError:  # kept by an older version
        told = {}
    names = [name for name in {**told, **sent} if name not in (WORD, KEY)]
    return address, {
        name: told.get(name) or "nothing"
        for name in names
        if told and told.get(name) != sent.get(name)
    }


def fill(sent: Mapping[str, str]) -> None:
    """Have the page's form show these texts in its fields; no address chooses its key."""
    g.form = Again({name: text for name, text in sent.items() if name not in (WORD, KEY)})


def typed() -> dict[str, str]:
    """The form as it was sent, names and texts.

    Raises:
        MediaType: it is no form. Unreadable: a name is in it twice, or it is not UTF-8.
    """
    if request.mimetype not in FORMS:
        raise MediaType("The body must be a form.", advice="Send it from the page that shows it.")
    found: dict[str, str] = {}
    for name, texts in request.form.lists():
        if len(texts) > 1 or "\ufffd" in name + texts[0]:
            raise Unreadable("The form can't be read.", advice="Open the page and fill it again.")
        found[name] = texts[0].replace("\r\n", "\n").strip()
    return found


def _done_or_again(schema: Form, act: Act, page: Callable[[], Any], turn: Turn) -> Response:
    try:
        sent = typed()
    except RequestEntityTooLarge:
        detail, advice = schema.too_large
        return show_again(page, {}, TooLarge(detail, advice=advice))
    try:
        _check_word(sent)
        found = schema.with_files(read(schema, sent))
        return _once(sent, lambda: act(found), turn)
    except Asks as asked:
        return _go(asked.address)
    except Refusal as refusal:
        return show_again(page, sent, refusal)


def _once(sent: Mapping[str, str], act: Callable[[], str], turn: Turn) -> Response:
    """Do an act, or go where it led before."""
    key = sent.get(KEY, "")
    if _KEY.fullmatch(key) is None:
        raise Unreadable("The form has no key.", advice="Look at it, and send it again.")
    done = keys.once_for(key, _hash_of(sent), lambda: _with(_go(act()), sent), turn=turn)
    return _go(done.headers["Location"])


def _with(response: Response, sent: Mapping[str, str]) -> Response:
    """Keep with the answer what was sent, for whoever goes back and sends another."""
    told = {name: text for name, text in sent.items() if name not in (WORD, KEY)}
    response.set_data(json.dumps(told, ensure_ascii=False))
    return response


def _go(address: str) -> Response:
    return make_response(redirect(address, 303))


def read(schema: Form, sent: Mapping[str, str]) -> Loaded:
    """The fields of a form, names and texts, as its schema loads them.

    Raises: Refusal, or Refusals, each with its field.
    """
    units = {name: text for name, text in sent.items() if name.endswith(UNIT)}
    own = {WORD, KEY, *units}
    given = {
        name: _number(schema, name, text, units.get(f"{name}{UNIT}"))
        for name, text in sent.items()
        if text and name not in own
    }
    try:
        found: Loaded = schema.load(given)
    except ValidationError as error:
        faults = [_of_its_unit(each, sent) for each in messages.found(error.messages_dict)]
        raise faults[0] if len(faults) == 1 else Refusals(faults) from error
    return found


def _of_its_unit(fault: Refusal, sent: Mapping[str, str]) -> Refusal:
    """The fault of a field; where no number was typed, in the unit that the page showed there."""
    text, unit = sent.get(_place(fault), ""), sent.get(f"{_place(fault)}{UNIT}")
    if unit is None or not text or any(map(str.isdigit, text)):
        return fault
    shown = f"{text[:20]}…" if len(text) > 20 else text
    return Invalid(
        f"{shown!r} is no number.", advice=f"Write a number of {unit}.", pointer=fault.pointer
    )


def _number(schema: Form, name: str, text: str, unit: str | None) -> str:
    """A number with the unit that the page showed beside it; one typed with it counts instead.

    A phone's number pad has a comma where the language writes one. Before three digits it may also
    part thousands: then it is left as it is, which no number may have.
    """
    plain = isinstance(schema.fields.get(name), Number)
    if not plain and (unit is None or _NUMBER_ENDS.fullmatch(text[-1]) is None):
        return text
    number = text.replace(",", ".") if _WITH_COMMA.fullmatch(text) else text
    return number if plain else f"{number} {unit}"


def _from_a_page_of_ours() -> None:
    """Refuse what no page of this very origin sent; a browser says that of each form."""
    site, origin = request.headers.get("Sec-Fetch-Site"), request.headers.get("Origin", "")
    if site != "same-origin" and origin.lower() != request.host_url.rstrip("/").lower():
        raise CrossSite(
            "No page of this service sent that.", advice="Open the page here, and use its form."
        )


def _check_word(sent: Mapping[str, str]) -> None:
    if not hmac.compare_digest(sent.get(WORD, "").encode(), _word().encode()):
        raise CrossSite(
            "That form was made for another pass of this browser, or it has lost its own.",
            advice="Look at it, and send it again.",
        )


def again() -> Again:
    """The form of the page: as it was sent and refused, or empty."""
    found: Again = g.get("form") or Again()
    return found


_Entry = TypeVar("_Entry")


def noted(listed: Callable[[int, int], Sequence[_Entry]]) -> _Entry | None:
    """The entry that the address names by `noted`, where no form was refused.

    Args:
        listed: a job's entries, the last first: those before an id, at most so many.
    """
    asked = None if again().refusal else request.args.get("noted", type=int)
    if asked is None:
        return None
    found: Sequence[Any] = listed(asked + 1, 1)
    return next((each for each in found if each.id == asked), None)


def _word() -> str:
    """What a form must hold: nobody can make it who does not know the browser's pass."""
    g.has_form = True
    return hmac.new(_pass().encode(), b"form", hashlib.sha256).hexdigest()


def _pass() -> str:
    """The browser's pass. While nobody has to log in it is a random one, which opens nothing."""
    kept = request.cookies.get(people.COOKIE)
    if kept:
        return kept
    if "form_pass" not in g:
        g.form_pass = secrets.token_urlsafe(32)
    made: str = g.form_pass
    return made


def _key() -> str:
    """A form's key: a new one, or that of the form that is shown again."""
    return again().typed.get(KEY) or secrets.token_urlsafe(16)


def _keep(response: Response) -> Response:
    """Have a browser keep a page with a form, and the pass that the form was made for."""
    if g.get("has_form"):
        response.headers["Cache-Control"] = KEPT
    if "form_pass" in g and not people.has_login():
        response.set_cookie(
            people.COOKIE,
            g.form_pass,
            max_age=PASS_S,
            httponly=True,
            samesite="Strict",
            secure=house().behind_proxy,
        )
    return response


def _hash_of(sent: Mapping[str, str]) -> str:
    """A hash of what was sent, its files too, but for the word of the pass."""
    told = hashlib.sha256()
    for name in sorted(sent.keys() - {WORD}):
        told.update(f"{len(name)} {name} {len(sent[name])} {sent[name]}\n".encode())
    for name, file in sorted(request.files.items(multi=True), key=lambda each: each[0]):
        told.update(f"{len(name)} {name} ".encode() + hashlib.file_digest(file, "sha256").digest())
        file.seek(0)
    return told.hexdigest()


def _place(refusal: Refusal) -> str:
    """The field that a refusal is about; empty if it is about none."""
    return refusal.pointer.rpartition("/")[2]


def _words(refusal: Refusal) -> Text:
    return joined(" ", [text for text in (refusal.detail, refusal.advice) if text])
