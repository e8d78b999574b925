"""How large a JPEG is without a decoder: as Pillow says, and nothing of what is no whole JPEG."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from inspect_app.logbook import photos
from inspect_app.logbook.jpeg import size
from inspect_app.trade.measuring.refusal import Refusal


def jpeg(wide: int, high: int, **how: object) -> bytes:
    file = BytesIO()
    Image.new("RGB", (wide, high), "grey").save(file, "JPEG", **how)
    return file.getvalue()


@pytest.mark.parametrize(("wide", "high"), [(1, 1), (320, 240), (1536, 2048)])
@pytest.mark.parametrize("progressive", [False, True])
def test_it_is_as_large_as_pillow_made_it(wide: int, high: int, progressive: bool) -> None:
    made = jpeg(wide, high, progressive=progressive, comment=b"of a camera")
    assert size(made) == (wide, high)
    assert [size(made[:n]) for n in range(len(made))] == [(0, 0)] * len(made)


def test_what_is_none_has_no_size() -> None:
    for other in (b"", b"\xff\xd8\xff\xd9", b"\x89PNG\r\n", b"\xff\xd8\xff\xe0\0\0\xff\xd9", b"\xff\xd8" * 9):
        assert size(other) == (0, 0)


def test_in_a_browser_a_photograph_from_elsewhere_is_looked_at_without_a_decoder(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("sys.platform", "emscripten")
    photos.refuse_unsound(jpeg(320, 240))
    huge = jpeg(8, 8).replace(b"\x00\x08\x00\x08", b"\xff\xff\xff\xff", 1)
    for wrong, says in ((jpeg(8, 8)[:-1], "broken"), (b"no photograph", "broken"), (huge, "million pixels")):
        with pytest.raises(Refusal, match=says):
            photos.refuse_unsound(wrong)
