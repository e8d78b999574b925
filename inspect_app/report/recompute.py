"""The rule by which anybody recomputes a report's fingerprint from the entries inside its PDF, as a program to run.

It is printed and goes along as a file. No line of it is indented or long, so that it survives being copied off a page.
"""

ENTRIES, READINGS, RULE = "entries.jsonl", "readings.toml", "recompute.py"
"""The files inside a report's PDF."""

PROGRAM = r"""
import hashlib, json
def sha(text): return hashlib.sha256(text.encode("utf-8")).hexdigest()
said = "previous id job device at by kind body".split()
entries, ends, wrong = [], {}, []
for line in open("entries.jsonl", encoding="utf-8"): entries.append(json.loads(line))
for e in entries: e["link"] = sha("\x1f".join(e[name] for name in said))
for e in entries: e["last"] = ends.get(e["device"], ""); ends[e["device"]] = e["hash"]
for e in entries: wrong += [e["id"]] * (e["hash"] != e["link"] or e["previous"] != e["last"])
lines = sorted(device + "\x1f" + end + "\n" for device, end in ends.items())
print(len(entries), "entries, fingerprint", sha("".join(lines)))
print("changed, or the one before it is missing:", wrong or "none")
""".strip()

HOW = (
    f"To recompute the fingerprint without the shop: save {ENTRIES} out of this PDF (a reader's list of attachments, "
    f"or pdfdetach) and run these lines of Python beside it; they are attached as {RULE} too. Each entry holds the "
    "link of the one before it on its device, and its own link is the SHA-256 of all it says; the fingerprint is that "
    f"of the last links. {READINGS} holds the readings as typed, to be judged anew."
)
"""What stands above the program where it is printed."""
