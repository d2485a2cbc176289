"""A word that other rules give each time, told for each word of what is not decided."""

from collections.abc import Iterator
from typing import Any

from selector.explanation.narrate import handles, name_of_path
from selector.explanation.texts import Texts
from selector.inference.in_worlds import Words, in_worlds
from selector.inference.verdict import Verdict
from selector.model.fact import Fact
from selector.model.rule import Rule

NO_PROOF = "no proof"  # stands where no rule refuses


def worlds_lines(verdict: Verdict, texts: Texts, *, bare: bool = False) -> Iterator[str]:
    """One line a subject: which rules give which word where which words hold; else nothing.

    `bare` where what it is about has been said above.
    """
    for found in in_worlds(verdict):
        cases = []
        for number, (words, rules) in enumerate(found.cases):
            word = rules[0].word.text if rules and rules[0].word else ""
            where = _options(words, texts, named=not number)
            ids = ", ".join(r.id for r in rules)
            cases.append(texts.say("worlds.case", words=where, word=texts.word(word), rules=ids))
        subject, told = handles(found.judgement.subject.id), "; ".join(cases)
        if bare:
            yield texts.say("worlds.bare", subject=subject, cases=told)
        else:
            word = texts.word(verdict.word.text)
            yield texts.say("worlds.line", word=word, subject=subject, cases=told)


def _options(options: tuple[Words, ...], texts: Texts, *, named: bool) -> str:
    """Words that end alike; where only one quantity is open, it is named the first time."""
    either = f" {texts.say('worlds.either')} "
    if len(options[0]) == 1:
        path = options[0][0][0]
        shown = either.join(texts.shown(w, path) for [(_, w)] in options)
        return f"{_name(path, texts)} {shown}" if named else shown
    each = (" + ".join(f"{_name(p, texts)} {texts.shown(w, p)}" for p, w in o) for o in options)
    return either.join(each)


def _name(path: str, texts: Texts) -> str:
    return name_of_path(Fact(path, "", ""), texts)


def by_each(verdict: Verdict) -> str:
    """Ids of all rules that give the word in one world or another, to tell refusals by."""
    rules = _rules(verdict)
    return ", ".join(rules) if rules else NO_PROOF


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
