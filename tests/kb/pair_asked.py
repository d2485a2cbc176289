"""Pairs as a person asks for them, judged."""

from typing import Any

from selector.explanation.texts import Texts
from selector.inference.judge import Judge
from selector.inference.pair import Paired, air_of_site, judge_pair
from selector.knowledge.base import Base
from selector.questions.metal_typed import metal_of
from selector.questions.pair_typed import Said, air_of, contact_of


def ask(base: Base, judge: Judge, metals: list[str], air: str | None, **said: Any) -> Paired:
    """One pair in the words of the command."""
    texts = Texts.of(base)
    two = [metal_of(texts, base, typed) for typed in metals]
    contact = contact_of(texts, base, two, Said(**said))
    return judge_pair(judge, contact, air_of_site(judge, air_of(texts, base, air)))
