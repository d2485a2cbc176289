"""Made-up entries for the store, and variations of the example jobs."""

import json
import random
import re
from collections.abc import Iterator

from selector.knowledge.documents import digest_of
from selector.store.entry import Entry
from selector.store.hashes import hash_of
from tests.conftest import ROOT

BASE = {"kb/vocabulary.yaml": "words: [a, b]\n", "rules/one.yaml": "id: one\n"}
AT = "2031-03-14T10:00:00+00:00"


def entry(n: int = 1, job: str = "barn", at: str = AT, base: dict[str, str] = BASE) -> Entry:
    """An entry whose texts are those of `texts`."""
    hashes = list(texts(n, job, base))
    return Entry(
        job=job,
        file=f"jobs/{job}.yaml",
        asked={"kind": "choose", "array": "a1"},
        as_of="2031-03-14",
        at=at,
        by="ow",
        note=f"call {n}",
        language="en",
        word="observe",
        exit=3,
        base=digest_of(base),
        program="0.1.0",
        code="c" * 64,
        job_text=hashes[0],
        data=hashes[1],
        screen=hashes[2],
        before="",
    )


def texts(n: int = 1, job: str = "barn", base: dict[str, str] = BASE) -> dict[str, bytes]:
    """The texts of an entry by hash: job, answer, page."""
    says = {"job": job, "base": digest_of(base), "word": "observe", "exit": 3, "number": n}
    answer = json.dumps({**says, "as_of": "2031-03-14", "seamwright": "0.1.0"})
    paper = f"papers:\n  calc: {{kind: letter, dated: 2031-01-{n + 1:02}}}\n"
    each = (f"id: {job}\n{paper}", answer, f"page {n} of {job}\n")
    return {hash_of(t.encode()): t.encode() for t in each}


EXAMPLES = (  # quick to answer
    *("copper-chapel", "harbour-shed", "long-barn", "mill-house", "round-hall", "case-yard"),
)
_SIZE = re.compile(r"(?<=[ \[{:])(\d+(?:\.\d+)?)(?= (?:mm|kN|kPa|deg)\b)")


def variations(number: int, seed: int = 7) -> Iterator[tuple[str, str]]:
    """Names and texts of job files: an example with one to three figures a little otherwise."""
    chance = random.Random(seed)
    sources = {e: (ROOT / f"examples/{e}/job.yaml").read_text("utf-8") for e in EXAMPLES}
    for n in range(number):
        example = EXAMPLES[n % len(EXAMPLES)]
        text = sources[example]
        for _ in range(chance.randint(1, 3)):
            place = chance.choice(list(_SIZE.finditer(text)))
            text = text[: place.start()] + _other(place.group(), chance) + text[place.end() :]
        yield f"{example}-{n:05}", re.sub(r"(?m)^id: .*$", f"id: {example}-{n:05}", text, count=1)


def _other(figure: str, chance: random.Random) -> str:
    digits = len(figure.partition(".")[2])
    return f"{float(figure) * chance.choice((0.9, 0.97, 1.03, 1.1)):.{digits}f}"
