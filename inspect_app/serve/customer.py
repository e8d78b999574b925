"""What the door lets a customer's phone reach without the code: one page a link, its photographs, its answers.

An app of its own. A path it does not know is answered here and goes nowhere else.
"""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable
from urllib.parse import parse_qs

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from inspect_app.bench.bench import Bench
from inspect_app.bench.customers_phone import Offered, copy_drawn, offered, photograph, take_answer
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.customer import wording
from inspect_app.serve.customer_links import NAMED, PREFIX, CustomerLinks
from inspect_app.serve.customer_page import POLICY, Draft, chosen, plain_page, scope_page

MOST_BODY = 200_000
"""Bytes of a form; a signature of many strokes takes some thousands."""

MOST_FIELD = 2_000
"""Characters of what is typed in a field."""

TYPED = ("name", "role", "words", "to")
NOTHING = "There is nothing here. Ask the shop for the link, or scan its code again."


class CustomerPages:
    """The pages of customers' own phones.

    Args:
        bench: the open data folder.
        links: signs the links.
        told: told the job in which an answer came.
        beside: draws a copy on paper while others are served.
    """

    def __init__(
        self,
        bench: Bench,
        links: CustomerLinks,
        told: Callable[[str], None],
        beside: Callable[[Callable[[], bytes]], Awaitable[bytes]],
    ) -> None:
        self._bench = bench
        self._links = links
        self._told = told
        self._beside = beside
        link = f"{PREFIX}{{job}}/{{version}}/{{by}}"
        self.app = Starlette(
            routes=[
                Route(link, self._page, methods=["GET", "POST"]),
                Route(f"{link}/photo/{{sha256}}", self._photograph),
                Route(f"{link}/copy.pdf", self._copy),
            ],
            exception_handlers={404: self._nothing, 405: self._nothing},
        )

    async def _nothing(self, asked: Request, error: Exception) -> Response:
        return _answer(plain_page("Not found", NOTHING), 404)

    def _opened(self, asked: Request) -> Offered | None:
        job_id, named, by = (asked.path_params[name] for name in ("job", "version", "by"))
        found = offered(self._bench, job_id, named) if len(named) == NAMED else None
        if found is None or not self._links.genuine(job_id, found.version.sha256, by):
            return None
        return found

    def _shut(self, of: Offered) -> str:
        return wording.shut_words(of, self._bench.today())

    async def _photograph(self, asked: Request) -> Response:
        of = self._opened(asked)
        seen = (
            photograph(self._bench, of.scope, asked.path_params["sha256"])
            if of and not self._shut(of)
            else None
        )
        if seen is None:
            return _answer(plain_page("Not found", NOTHING), 404)
        headers = {"cache-control": "private, max-age=3600", "x-content-type-options": "nosniff"}
        return Response(seen, media_type="image/jpeg", headers=headers)

    async def _copy(self, asked: Request) -> Response:
        of = self._opened(asked)
        if of is None or self._shut(of):
            return _answer(plain_page("Not found", NOTHING), 404)
        headers = {
            "content-disposition": f'inline; filename="offer-{of.version.sha256[:8]}.pdf"',
            "cache-control": "no-store",
        }
        made = await self._beside(copy_drawn(self._bench, of))
        return Response(made, media_type="application/pdf", headers=headers)

    async def _page(self, asked: Request) -> Response:
        of = self._opened(asked)
        if of is None:
            return _answer(plain_page("Not found", NOTHING), 404)
        if shut := self._shut(of):
            return _answer(plain_page(of.scope.cylinder, " ".join([shut, *self._answered(of)])), 410)
        path = self._links.path(of.job.id, of.version.sha256)
        if asked.method != "POST":
            page = scope_page(of.scope, of.version.number, path, Draft(), self._answered(of))
            return _answer(page, 200)
        form = await _form(asked)
        if form is None:
            return _answer(plain_page(of.scope.cylinder, "That was too much. Nothing was kept."), 413)
        draft = _draft(form)
        wrong = self._take(of, form.get("answer", [""])[0], form.get("total", [""])[0], draft)
        if wrong is None:
            return RedirectResponse(path, 303)
        notes = [wrong] if wrong else self._answered(of)
        return _answer(scope_page(of.scope, of.version.number, path, draft, notes), 422 if wrong else 200)

    def _take(self, of: Offered, what: str, total: str, draft: Draft) -> str | None:
        """Record an answer: None when it was, else the sentence that says why not, "" for a total asked only."""
        if what == "total":
            return ""
        options = chosen(of.scope, draft.options)
        sums = of.scope.total(options)
        if what == "yes" and total != str(sums.gross):
            return f"With what you chose it comes to {of.scope.money(sums.gross)}. Please look at it and answer again."
        signature = _strokes(draft.fields["signature"])
        typed = {name: draft.fields[name] for name in TYPED}
        if signature is None or any(len(text) > MOST_FIELD for text in typed.values()):
            return "That could not be read. Please fill it in again."
        try:
            outcome = take_answer(self._bench, of, what, options, typed, signature if what == "yes" else ())
        except NotSaved as trouble:
            return str(trouble)
        if outcome.remark:
            return outcome.remark.words(of.scope.system)
        self._told(of.job.id)
        return None

    def _answered(self, of: Offered) -> list[str]:
        """The last answer to this version, in a sentence."""
        return [wording.thanks_words(answer, of.scope) for answer in of.answers[-1:]]


async def _form(asked: Request) -> dict[str, list[str]] | None:
    """What was filled in; None when it is more than anybody fills in."""
    body = b""
    async for part in asked.stream():
        body += part
        if len(body) > MOST_BODY:
            return None
    try:
        return parse_qs(body.decode("utf-8", "replace"), keep_blank_values=True, max_num_fields=200)
    except ValueError:
        return None


def _draft(form: dict[str, list[str]]) -> Draft:
    fields = {name: form.get(name, [""])[0].strip() for name in (*TYPED, "signature")}
    return Draft(frozenset(form.get("option", [])), fields)


def _strokes(text: str) -> tuple[tuple[int, ...], ...] | None:
    """A signature as the page sends it, a point alone made a short stroke; None where it is none."""
    try:
        sent = json.loads(text or "[]")
        if not isinstance(sent, list):
            return None
        strokes = [tuple(n for n in stroke if type(n) is int) for stroke in sent]
    except (ValueError, TypeError, RecursionError):
        return None
    if any(len(kept) != len(stroke) or not kept for kept, stroke in zip(strokes, sent, strict=True)):
        return None
    return tuple(stroke * 2 if len(stroke) == 2 else stroke for stroke in strokes)


def _answer(page: str, status: int) -> Response:
    headers = {
        "content-security-policy": POLICY,
        "cache-control": "no-store",
        "referrer-policy": "same-origin",  # with none at all a form comes from "null", which the door turns away
        "x-content-type-options": "nosniff",
    }
    return HTMLResponse(page, status, headers)
