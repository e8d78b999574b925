"""The page of one scope on a customer's own phone: plain HTML, readable and answered without any script.

Made of the frozen scope alone, so it shows what was frozen and knows no job. Every word somebody typed is escaped,
and the page's policy lets no script run but the one below.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape

from inspect_app.job.scope.shown import Scope, SeenItem
from inspect_app.screens.customer import wording
from inspect_app.screens.customer.marked import svg_over
from inspect_app.screens.pieces.signature import ACROSS, DOWN

STYLE = """
*{box-sizing:border-box}
body{margin:0 auto;max-width:44rem;padding:0 1rem 3rem;background:#F7F4EC;color:#1B1F23;
  font:1.125rem/1.45 system-ui,sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:break-word}
header{border-bottom:2px solid #1B1F23;padding:1rem 0 .6rem}
h1{font-size:1.35rem;line-height:1.25;margin:0}
h2{font-size:1.25rem;line-height:1.3;margin:1.6rem 0 .4rem}
p{margin:.4rem 0}
.soft{color:#454B51}
.say{color:#123A86;font-weight:700}
.note{border:1.5px solid #868A87;border-left:6px solid #634100;background:#FFFDF7;padding:.8rem;margin:1rem 0}
img{display:block;width:100%;max-height:70vh;object-fit:contain;background:#FFFDF7;margin:.6rem 0 .2rem}
.marked{position:relative}
.marked svg{position:absolute;inset:0;width:100%;height:100%}
.line{display:flex;gap:.8rem;justify-content:space-between;align-items:baseline;border-top:1.5px solid #868A87;
  padding:.7rem 0;flex-wrap:wrap}
.line>span:first-child,.line>label{flex:1 1 9rem;min-width:0}
.line>b{white-space:nowrap;margin-left:auto}
.line label{display:flex;gap:.8rem;min-height:3.5rem;align-items:center}
input[type=checkbox]{width:2rem;height:2rem;flex:none;accent-color:#123A86}
.sum{border-top:2px solid #1B1F23;padding:.6rem 0}
.sum .line{border:0;padding:.15rem 0}.sum .line>span:first-child{flex-basis:6rem}
.big{align-items:center}.big b{font-size:min(1.9rem,9vw)}
form label.field{display:block;margin:.9rem 0 .2rem}
input[type=text],input[type=tel],textarea{width:100%;font:inherit;color:inherit;padding:.8rem;background:#FFFDF7;
  border:1.5px solid #868A87;border-radius:6px;min-height:3.5rem}
button{display:block;width:100%;font:inherit;font-weight:600;min-height:3.5rem;padding:.8rem;margin:.8rem 0 0;
  border-radius:6px;border:1.5px solid #868A87;background:#FFFDF7;color:#1B1F23}
a{color:#123A86;display:inline-block;padding:1rem 0}
button.yes{background:#123A86;border-color:#123A86;color:#FFF}
:focus-visible{outline:3px solid #123A86;outline-offset:2px}
canvas{display:block;width:100%;background:#FFFDF7;border:2px solid #1B1F23;border-radius:6px;touch-action:none}
[hidden]{display:none}
"""

SCRIPT = """
(() => {
  const form = document.querySelector('form'), box = document.querySelector('canvas');
  if (!form || !box) return;
  for (const e of document.querySelectorAll('.scripted')) e.hidden = false;
  for (const e of document.querySelectorAll('.unscripted')) e.hidden = true;
  const kept = form.elements.signature, pen = box.getContext('2d');
  let strokes = [];
  try { strokes = JSON.parse(kept.value || '[]'); } catch { }
  const draw = () => {
    pen.clearRect(0, 0, box.width, box.height);
    pen.lineCap = pen.lineJoin = 'round';
    pen.lineWidth = 2; pen.strokeStyle = '#868A87';
    pen.beginPath(); pen.moveTo(50, 213); pen.lineTo(950, 213); pen.stroke();
    pen.lineWidth = 8; pen.strokeStyle = '#123A86';
    for (const s of strokes) {
      pen.beginPath(); pen.moveTo(s[0], s[1]); pen.lineTo(s[0], s[1]);
      for (let n = 2; n < s.length; n += 2) pen.lineTo(s[n], s[n + 1]);
      pen.stroke();
    }
    kept.value = strokes.length ? JSON.stringify(strokes) : '';
  };
  const at = e => {
    const r = box.getBoundingClientRect(), on = (v, most) => Math.round(Math.min(Math.max(v, 0), 1) * most);
    return [on((e.clientX - r.left) / r.width, box.width), on((e.clientY - r.top) / r.height, box.height)];
  };
  let drawing = false;
  box.addEventListener('pointerdown', e => {
    drawing = true; box.setPointerCapture(e.pointerId); strokes.push(at(e)); draw();
  });
  box.addEventListener('pointermove', e => { if (drawing) { strokes[strokes.length - 1].push(...at(e)); draw(); } });
  for (const end of ['pointerup', 'pointercancel']) box.addEventListener(end, () => { drawing = false; });
  document.querySelector('#anew').addEventListener('click', () => { strokes = []; draw(); });
  draw();
  // the machine works out the total, by its own rule; a choice that has no answer yet is asked again on sending
  const sum = document.querySelector('#sum');
  for (const option of form.querySelectorAll('[name=option]')) option.addEventListener('change', async () => {
    const asked = new URLSearchParams(new FormData(form));
    asked.set('answer', 'total'); asked.delete('signature');
    try {
      const answer = await fetch(location.pathname, {method: 'POST', body: asked});
      const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html');
      sum.replaceChildren(...document.adoptNode(fresh.querySelector('#sum')).childNodes);
    } catch { }
  });
})();
"""


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


POLICY = (
    f"default-src 'none'; img-src 'self' data:; style-src '{_hash(STYLE)}'; script-src '{_hash(SCRIPT)}'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""What the browser lets the page do: the one style and the one script named by their hashes, nothing from elsewhere."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What the customer has filled in so far: the optional lines said yes to, and the fields by name."""

    options: frozenset[str] = frozenset()
    fields: Mapping[str, str] = field(default_factory=dict)


def scope_page(scope: Scope, number: int, path: str, draft: Draft, notes: Sequence[str]) -> str:
    """The page.

    Args:
        scope: as it was frozen.
        number: which version it is.
        path: its own path, which the form is sent to and the photographs lie under.
        draft: what is filled in already.
        notes: sentences that must be seen first: what was answered, what is missing.
    """
    parts = [
        _head(scope, number),
        *(f'<p class="note" role="status">{_t(note)}</p>' for note in notes),
        f"<h2>{_t(scope.headline)}</h2>",
        *(f"<p>{_t(fact)}</p>" for fact in (scope.beside, *scope.facts) if fact),
        *(_item(item, scope, path) for item in scope.items),
        *(_picture(picture.photo, picture.caption, scope, path) for picture in scope.pictures),
        f'<form method="post" action="{_t(path)}" autocomplete="off">',
        '<button name="answer" value="total" hidden>Work out the total</button>',  # what the Enter key sends
        *(_offer(scope, draft) if scope.offers else ()),
        *_terms(scope),
        _answers(scope, draft),
        f'</form><p><a href="{_t(path)}/copy.pdf">{_t(wording.COPY)}</a></p>',
    ]
    return _document(scope.cylinder, "".join(parts))


def plain_page(title: str, sentence: str) -> str:
    """A page that only says something.

    Args:
        title: its title.
        sentence: what it says.
    """
    return _document(title, f"<header><h1>{_t(title)}</h1></header><p>{_t(sentence)}</p>")


def _document(title: str, body: str) -> str:
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1"><meta name="robots" content="noindex">'
        '<link rel="icon" href="data:,">'  # else the browser would ask for one, and be asked for the code
        f"<title>{_t(title)}</title><style>{STYLE}</style></head><body>{body}<script>{SCRIPT}</script></body></html>"
    )


def _t(text: str) -> str:
    return escape(text, quote=True)


def _head(scope: Scope, number: int) -> str:
    whose = " for ".join(name for name in (scope.shop, scope.customer) if name)
    under = " · ".join(part for part in (whose, scope.job, f"version {number}") if part)
    return f'<header><h1>{_t(scope.cylinder)}</h1><p class="soft">{_t(under)}</p></header>'


def _item(item: SeenItem, scope: Scope, path: str) -> str:
    seen = [f"<section><h2>{item.number}. {_t(item.title)}</h2>"]
    if item.photo:
        seen.append(_picture(item.photo, item.caption, scope, path))
    said = ((wording.FOUND, " ".join((item.saw, item.does)).strip()), (wording.IF_NOT, item.if_not))
    seen += [f'<p><span class="say">{_t(word)}:</span> {_t(text)}</p>' for word, text in said if text]
    return "".join([*seen, "</section>"])


def _picture(photo: str, caption: str, scope: Scope, path: str) -> str:
    marked = scope.marks_of(photo)
    says = [m.says for m in marked.marks if m.says] if marked else []
    alt = "; ".join([caption or "Photograph", *says])
    below = "".join(f'<p class="soft">{_t(w)}</p>' for w in (caption, marked.note if marked else "") if w)
    seen = f'<img src="{_t(path)}/photo/{_t(photo)}" alt="{_t(alt)}">'
    return f'<div class="marked">{seen}{svg_over(marked)}</div>{below}' if marked else f"{seen}{below}"


def _offer(scope: Scope, draft: Draft) -> Iterator[str]:
    """What is proposed, a price a line, an optional one chosen by touching it; and what it comes to."""
    yield f"<h2>{_t(wording.PROPOSE)}</h2>"
    for line in scope.lines:
        cures = f' <span class="soft">({_t(_numbers(line.items))})</span>' if line.items else ""
        less = "".join(f'<br><span class="soft">{_t(w)}</span>' for w in (line.why, line.if_not) if w)
        words = f"<span>{_t(line.title)}{cures}{less}</span>"
        if line.optional:
            ticked = " checked" if line.line in draft.options else ""
            box = f'<input type="checkbox" name="option" value="{_t(line.line)}"{ticked}>'
            words = f"<label>{box}{words}</label>"
        yield f'<div class="line">{words}<b>{_t(scope.money(line.amount))}</b></div>'
    yield _sum(scope, draft)
    if scope.optional:
        yield '<button class="unscripted" name="answer" value="total">Work out the total</button>'
    for dropped in scope.dropped:
        yield f"<p>{_t(wording.dropped_words(dropped))}</p>"


def _numbers(items: Sequence[int]) -> str:
    return "for " + ", ".join(map(str, items))


def chosen(scope: Scope, options: frozenset[str]) -> dict[str, bool]:
    """What is said to each optional line of a scope.

    Args:
        scope: the scope.
        options: the lines said yes to.
    """
    return {line.line: line.line in options for line in scope.optional}


def _sum(scope: Scope, draft: Draft) -> str:
    total = scope.total(chosen(scope, draft.options))
    rows = (
        (wording.BEFORE_TAX, total.net, ""),
        (wording.TAX, total.tax, ""),
        (wording.TOGETHER, total.gross, " big"),
    )
    said = "".join(
        f'<div class="line{big}"><span>{word}</span><b>{_t(scope.money(amount))}</b></div>'
        for word, amount, big in rows
    )
    held = f'<input type="hidden" name="total" value="{total.gross}">'
    return f'<div class="sum" id="sum" aria-live="polite">{said}{held}</div>'


def _terms(scope: Scope) -> Iterator[str]:
    said = wording.terms_words(scope)
    yield from (f"<p>{_t(sentence)}</p>" for sentence in said)
    yield from (f'<p class="note">{_t(caution)}</p>' for caution in scope.cautions)


def _answers(scope: Scope, draft: Draft) -> str:
    """The form: name, signature, yes; below it a question, a call, no."""
    given = draft.fields
    role = given.get("role", scope.may_order_for)
    agree = (
        f'<p>{_t(scope.sentence)}</p><div class="scripted" hidden><p>{_t(wording.SIGN_OR_TYPE)}</p>'
        f'<canvas width="{ACROSS}" height="{DOWN}" role="img" aria-label="Box to sign in with a finger"></canvas>'
        '<button type="button" id="anew">Clear the signature</button></div>'
        f'<p class="soft">{_t(wording.NO_PROOF)}</p>'
        f'<button class="yes" name="answer" value="yes">{_t(wording.YES)}</button><h2>Or</h2>'
    )
    no = f'<button name="answer" value="no">{_t(wording.NO)}</button>'
    return (
        f'<input type="hidden" name="signature" value="{_t(given.get("signature", ""))}"><h2>Your answer</h2>'
        f"{_field('name', wording.NAME, given.get('name', ''))}{_field('role', wording.ROLE, role)}"
        f"{agree if scope.offers else ''}"
        f"{_field('words', wording.WORDS, given.get('words', ''), lines=3)}"
        f"{_field('to', wording.NUMBER, given.get('to', ''), kind='tel')}"
        f'<button name="answer" value="question">{_t(wording.QUESTION)}</button>'
        f'<button name="answer" value="call">{_t(wording.CALL)}</button>'
        f"{no if scope.offers else ''}"
    )


def _field(name: str, label: str, value: str, kind: str = "text", lines: int = 1) -> str:
    head = f'<label class="field" for="{name}">{_t(label)}</label>'
    if lines > 1:
        return f'{head}<textarea id="{name}" name="{name}" rows="{lines}" maxlength="2000">{_t(value)}</textarea>'
    return f'{head}<input type="{kind}" id="{name}" name="{name}" value="{_t(value)}" maxlength="200">'
