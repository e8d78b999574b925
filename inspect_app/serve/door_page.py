"""The page before the door: one sentence, and where a device may pair the field for its code."""

from __future__ import annotations

import html

from starlette.responses import HTMLResponse, Response

from inspect_app.serve.headers import PLAIN_POLICY

STYLE = (
    "body{font:20px/1.4 sans-serif;background:#F7F4EC;color:#1B1F23;margin:2em auto;padding:0 1em;max-width:26em}"
    "input,button{font:32px sans-serif;height:64px;margin:12px 12px 0 0;padding:0 16px;max-width:100%}"
    "input{width:6em;border:1.5px solid #868A87;background:#FFFDF7;color:inherit}"
    "button{background:#123A86;color:#fff;border:0}"
    "@media(prefers-color-scheme:dark){body{background:#1B1F23;color:#F7F4EC}input{background:#000}}"
)

DEVICES = ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux")


def page(status: int, sentence: str, form: bool = True, token: str = "") -> Response:
    """The page.

    Args:
        status: its status.
        sentence: what it says.
        form: whether a device may pair on it.
        token: of a link that lets in without a code, "" where one is typed.
    """
    entry = (
        f'<input type="hidden" name="token" value="{html.escape(token)}"><button autofocus>Let this device in</button>'
        if token
        else '<input name="code" inputmode="numeric" autocomplete="off" autofocus maxlength="7" aria-label="Code">'
        "<button>Enter</button>"
    )
    form_of = f'<form method="post" action="/enter">{entry}</form>' if form else ""
    body = (
        '<!doctype html><html lang="en"><meta name="viewport" content="width=device-width">'
        f"<title>Cylinder inspection</title><style>{STYLE}</style><p>{html.escape(sentence)}</p>{form_of}"
    )
    return HTMLResponse(body, status, {"cache-control": "no-store", "content-security-policy": PLAIN_POLICY})


def device_words(user_agent: str) -> str:
    """What a device calls itself, in a word for the list.

    Args:
        user_agent: the header, as sent.

    >>> device_words("Mozilla/5.0 (Linux; Android 15) Mobile"), device_words("<script>")
    ('Android', 'A device')
    """
    return next((word for word in DEVICES if word in user_agent), "A device")
