"""Makes the demo's photographs: drawn metal with the defects the readings files speak of. Run it to make them anew."""

from __future__ import annotations

import random
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

SIZE = (1200, 900)
FOLDER = Path(__file__).parent / "photos"


def metal(seed: int, bright: tuple[int, int, int], turned: bool) -> Image.Image:
    """A cylinder's surface under a lamp: bright along the middle, with fine marks of grinding or honing."""
    chance = random.Random(seed)
    width, height = SIZE
    image = Image.new("RGB", SIZE)
    draw = ImageDraw.Draw(image)
    for y in range(height):
        light = 1 - 0.75 * abs(2 * y / height - 1) ** 1.7
        draw.line([(0, y), (width, y)], fill=tuple(round(c * light) for c in bright))
    for _ in range(900):
        x, y, grey = chance.randrange(width), chance.randrange(height), chance.randrange(-14, 14)
        tone = tuple(max(0, min(255, c + grey)) for c in image.getpixel((x, y)))
        if turned:
            draw.line([(x, y), (x + chance.randrange(-6, 6), y + chance.randrange(20, 90))], fill=tone)
        else:
            draw.line([(x, y), (x + 70, y - 45 if chance.random() < 0.5 else y + 45)], fill=tone)
    return image.filter(ImageFilter.GaussianBlur(0.8))


def scores(image: Image.Image, seed: int, lines: int, depth: int) -> Image.Image:
    """Marks running along, with a bright far edge as the lamp gives them."""
    chance = random.Random(seed)
    draw = ImageDraw.Draw(image)
    for n in range(lines):
        y = SIZE[1] // 2 + (n - lines // 2) * 26 + chance.randrange(-6, 6)
        start, end = 180 + chance.randrange(60), SIZE[0] - 180 - chance.randrange(120)
        for x in range(start, end, 6):
            wave = chance.randrange(-1, 2)
            draw.line([(x, y + wave), (x + 7, y + wave)], fill=(38, 36, 34), width=depth)
            draw.line([(x, y + wave + depth), (x + 7, y + wave + depth)], fill=(225, 225, 220), width=1)
    return image


def patch(image: Image.Image, box: tuple[int, int, int, int], tone: tuple[int, int, int]) -> Image.Image:
    """A dull area with a ragged edge."""
    chance = random.Random(sum(box))
    draw = ImageDraw.Draw(image, "RGBA")
    left, top, right, bottom = box
    for _ in range(420):
        x, y = (
            chance.gauss((left + right) / 2, (right - left) / 5),
            chance.gauss((top + bottom) / 2, (bottom - top) / 5),
        )
        r = chance.randrange(8, 34)
        draw.ellipse([x - r, y - r / 2, x + r, y + r / 2], fill=(*tone, 46))
    return image


def scale(image: Image.Image) -> Image.Image:
    """A steel rule along the lower edge, so that the size can be seen."""
    draw = ImageDraw.Draw(image)
    width, height = SIZE
    draw.rectangle([0, height - 70, width, height], fill=(196, 198, 198))
    for mm in range(0, width, 12):
        long = 44 if mm % 120 == 0 else 30 if mm % 60 == 0 else 18
        draw.line([(mm, height - 70), (mm, height - 70 + long)], fill=(30, 30, 30), width=2)
    return image


def main() -> None:
    """Write every photograph."""
    steel, iron = (214, 220, 226), (176, 172, 166)
    pictures = {
        "rod_score": scale(scores(metal(1, steel, True), 11, 1, 5)),
        "bore_mark": scale(scores(metal(2, iron, False), 12, 1, 1)),
        "gland_worn": scale(patch(metal(3, (196, 170, 120), True), (300, 330, 900, 620), (250, 236, 190))),
        "bore_scored": scale(scores(metal(4, iron, False), 14, 3, 11)),
        "rod_base_metal": scale(patch(metal(5, steel, True), (340, 300, 860, 620), (96, 82, 70))),
    }
    FOLDER.mkdir(exist_ok=True)
    for name, picture in pictures.items():
        picture.save(FOLDER / f"{name}.jpg", quality=84)


if __name__ == "__main__":
    main()
