"""What was seen and excludes each other: each question with all that was answered to it."""

from collections.abc import Iterator

from selector.explanation.texts import Texts
from selector.inference.answer import Answer
from selector.knowledge.base import Base
from selector.model.job import Job, Observed


def at_odds(answer: Answer, job: Job, base: Base, texts: Texts) -> Iterator[tuple[str, str]]:
    """Marks and lines: how to look again, and below it each sighting with its place."""
    for observed in answer.contradicted:
        ask = base.vocabulary.ask(observed.path)
        yield "? ", f"{ask.ask}  ({ask.how})"
        for shown, seen, origin in _sightings(observed, job, texts):
            yield "    - ", f"{shown}  ({seen})  [{origin}]"


def at_odds_data(answer: Answer, job: Job, texts: Texts) -> list[dict[str, object]]:
    """The same as data."""
    keys = ("shown", "seen", "origin")
    return [
        {
            "path": o.path,
            "sightings": [dict(zip(keys, s, strict=True)) for s in _sightings(o, job, texts)],
        }
        for o in answer.contradicted
    ]


def _sightings(observed: Observed, job: Job, texts: Texts) -> Iterator[tuple[str, str, str]]:
    """The value, how it was seen, and its line of the job file."""
    for sighting in observed.sightings:
        shown = texts.shown(str(sighting.value), observed.path)
        yield shown, texts.seen(sighting.seen), f"{job.file}:{sighting.line}"
