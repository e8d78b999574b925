"""What a phone's Python does in a storm, until the battery falls out: entries and photographs without pause.

It runs in the browser, in place of the screens. First it says what it found, and what `verify` says to that; then, of
each entry, its number once it is called saved.
"""

import asyncio
import hashlib
import json
import random
from pathlib import Path

from inspect_app.alone.page import carried_to_disk, page
from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.entries.deciding import Decision
from inspect_app.logbook.photos import Developed, take_in_developed


async def storm() -> None:
    random.seed()
    bench = Bench(Path("/data"), flush=carried_to_disk(page()))
    job = next(iter(bench.jobs()), None) or bench.open_job("storm", "JB")
    numbers = [int(e.body["reason"]) for e in bench.logbook.entries(job.id) if e.kind == "decision"]
    whole = numbers == [*range(1, len(numbers) + 1)]
    found = {"last": len(numbers), "whole": whole, "wrong": verify(bench), "photos": len(job.photos)}
    print(f"FOUND {json.dumps(found)}")
    for n in range(len(numbers) + 1, 1_000_000):
        if n % 5 == 0:
            jpeg = random.randbytes(random.randint(10_000, 1_000_000))
            made = Developed(jpeg, random.randbytes(5_000), 10, 10, "")
            photo = take_in_developed(made, hashlib.sha256(jpeg).hexdigest(), folder=bench.photos)
            job = bench.name_photo(job, "rod-diameter", photo, "", "JB")
        job = bench.enter(job, Decision("rod", "reuse", str(n)), "JB", "metric").job
        print(f"SAVED {n}")
        await asyncio.sleep(0)


if __name__ == "__main__":
    RUNNING = [asyncio.ensure_future(storm())]
