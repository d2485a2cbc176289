"""A word that other rules give each time, told for each word of what is not decided."""

from collections.abc import Iterator
from typing import Any

from selector.explanation.narrate import handles, name_of_path
from selector.explanation.texts import Texts
from selector.inference.in_worlds import Words, in_worlds
from selector.inference.verdict import Verdict
from selector.model.fact import Fact
from selector.model.rule import Rule


def worlds_lines(verdict: Verdict, texts: Texts) -> Iterator[str]:
    """One line a subject: which rules give which word where which words hold; else nothing."""
    for found in in_worlds(verdict):
        cases = [
            texts.say(
                "worlds.case",
                words=_options(words, texts),
                word=texts.word(rules[0].word.text if rules and rules[0].word else ""),
                rules=", ".join(r.id for r in rules),
            )
            for words, rules in found.cases
        ]
        word, subject = texts.word(verdict.word.text), handles(found.judgement.subject.id)
        yield texts.say("worlds.line", word=word, subject=subject, cases="; ".join(cases))


def _options(options: tuple[Words, ...], texts: Texts) -> str:
    """Words that end alike, each quantity named once where only one is open."""
    if len(options[0]) == 1:
        [path] = {p for words in options for p, _ in words}
        shown = f" {texts.say('worlds.either')} ".join(_shown(p, w, texts) for [(p, w)] in options)
        return f"{_name(path, texts)} {shown}"
    each = (" + ".join(f"{_name(p, texts)} {_shown(p, w, texts)}" for p, w in o) for o in options)
    return f" {texts.say('worlds.either')} ".join(each)


def _name(path: str, texts: Texts) -> str:
    return name_of_path(Fact(path, "", ""), texts)


def _shown(path: str, word: str, texts: Texts) -> str:
    return texts.shown(word, path)


def by_each(verdict: Verdict) -> str:
    """Ids of all rules that give the word in one world or another, to tell refusals by."""
    rules = _rules(verdict)
    return ", ".join(rules) if rules else "no proof"


def _rules(verdict: Verdict) -> list[str]:
    each: list[Rule] = [r for w in in_worlds(verdict) for _, rules in w.cases for r in rules]
    return sorted({r.id for r in each})


def worlds_data(verdict: Verdict) -> list[dict[str, Any]]:
    """The same as data: the subject, and each case with its words, word and rules."""
    return [
        {
            "subject": found.judgement.subject.id,
            "cases": [
                {
                    "where": [dict(words) for words in options],
                    "word": rules[0].word.text if rules and rules[0].word else None,
                    "rules": [r.id for r in rules],
                }
                for options, rules in found.cases
            ],
        }
        for found in in_worlds(verdict)
    ]
