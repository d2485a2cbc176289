"""What stands at the head of a page, of a sheet as of a card: word, release, gates, banner."""

from collections.abc import Iterator

from selector.explanation.sheet.blocks import Block, Cells, Head, Para
from selector.explanation.sheet.case import Case


def head_of(case: Case, title: str) -> Head:
    """The head of a page with a title, which is the id of a text."""
    say = case.say
    names = {"job": case.job.id, "array": case.array.id, "as_of": case.job.as_of}
    banner = [_state(case)]
    if case.invented:
        banner.append(say("sheet.banner_demo", names=", ".join(case.invented)))
    banner.append(say("sheet.banner", **names))
    return Head(
        language=case.base.language,
        title=say(title, **names),
        banner=tuple(banner),
        foot=say("answer.foot", version=case.version, digest=case.base.digest[:12]),
    )


def _state(case: Case) -> str:
    released = case.say("sheet.released" if case.released else "sheet.not_released")
    return f"{case.texts.word(case.word.text).upper()} · {released}"


def word_blocks(case: Case) -> list[Block]:
    """The word, what it means, and why nobody may build on it."""
    blocks: list[Block] = [
        Para(_state(case), "word"),
        Para(case.say(f"word.{case.word.text}.means"), "strong"),
    ]
    if case.held:
        blocks.append(Para(case.say("sheet.held", what="; ".join(case.held)), "strong"))
    return blocks


def gate_rows(case: Case) -> Iterator[Cells]:
    """Each gate, whether it is open, and what closes it."""
    for gate, findings in sorted(case.answer.site.gates.items()):
        state = case.say("sheet.gate_open" if findings else "sheet.gate_closed")
        rule = findings[0].rule if findings else None
        text = case.say("gates.line", title=rule.title, help=rule.help) if rule else ""
        yield case.texts.word(gate), state, text
