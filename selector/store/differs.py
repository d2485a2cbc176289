"""What is otherwise in another answer to the same question: words, stacks, rules, facts, gates."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

Data = dict[str, Any]  # answer/1, or swap/1 around it
Facts = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class RuleDiffers:
    """What one rule says of one subject in one of the answers alone, or for other facts."""

    rule: str
    subject: str
    word: str
    surely: bool  # else it is not known whether it holds
    text: str
    now: bool  # of the new answer; else of the old one
    facts: tuple[tuple[str, str, str], ...]  # path, shown then, shown now: of what both look at


@dataclass(frozen=True)
class Differs:
    """Two answers beside each other; empty tuples where they agree."""

    word: tuple[str, str]
    stacks: tuple[tuple[str, str | None, str | None], ...]  # name, its word then and now
    rules: tuple[RuleDiffers, ...]
    gates: tuple[tuple[str, bool], ...]  # gate, whether it is open now


def answer_in(data: Data) -> Data:
    """The answer/1 of what was kept: itself, or that of the changed stack of a swap/1."""
    found: Data = data["answer"] if str(data.get("schema", "")).startswith("swap/") else data
    return found


def differs(old: Data, new: Data) -> Differs:
    """What is otherwise in the new answer."""
    old, new = answer_in(old), answer_in(new)
    before, after = _findings(old), _findings(new)
    rules = [
        _rule(key, finding, now, other.get(key))
        for one, other, now in ((before, after, False), (after, before, True))
        for key, finding in one.items()
        if key not in other or (now and _moved(other[key], finding))
    ]
    return Differs(
        word=(old["word"], new["word"]),
        stacks=tuple(_stacks(old, new)),
        rules=tuple(rules),
        gates=tuple(_gates(old, new)),
    )


def _stacks(old: Data, new: Data) -> Iterator[tuple[str, str | None, str | None]]:
    before, after = ({s["name"]: s["word"] for s in d["stacks"]} for d in (old, new))
    for name in dict.fromkeys((*before, *after)):
        if before.get(name) != after.get(name):
            yield name, before.get(name), after.get(name)


def _gates(old: Data, new: Data) -> Iterator[tuple[str, bool]]:
    before, after = ({g for g, found in d["gates"].items() if found} for d in (old, new))
    for gate in sorted(before ^ after):
        yield gate, gate in after


def _findings(data: Data) -> dict[tuple[str, str], Data]:
    """Findings of every stack and refusal by rule and subject, each once."""
    groups: Iterable[Data] = (*data["stacks"], *data["refused"])
    each = (f for group in groups for f in group["findings"])
    return {(f["rule"], f["subject"]): f for f in each}


def _moved(old: Data, new: Data) -> bool:
    return bool(old["surely"] != new["surely"] or old["word"] != new["word"]) or _facts(
        old
    ) != _facts(new)


def _facts(finding: Data) -> dict[str, str]:
    return {f"{f['of']} {f['path']}": f["shown"] for reason in finding["reasons"] for f in reason}


def _rule(key: tuple[str, str], finding: Data, now: bool, other: Data | None) -> RuleDiffers:
    then, here = (_facts(f) if f is not None else {} for f in (other, finding))
    facts = tuple(
        (path, then[path], here[path]) for path in here if path in then and then[path] != here[path]
    )
    return RuleDiffers(*key, finding["word"] or "", finding["surely"], finding["text"], now, facts)
