"""A draft of a catalogue record from pull tests: the knowledge owner fills what only they know."""

import json
import math

from selector.explanation.pull.telling import PullTelling
from selector.facts.links.pull import SampleResult, Values
from selector.model.truth import Word

OPEN = '"?"'  # no reader takes it: a draft that nobody has finished never counts


def record_draft(telling: PullTelling) -> list[str]:
    """Lines of YAML; only comments where there is no design value to hand on."""
    say, pulled, file = telling.say, telling.pulled, telling.pulled.file
    head = [say("pull.record.draft", id=file.id), say("pull.record.fill")]
    if file.invented:
        head.append(say("pull.demo"))
    found = pulled.sample
    counts = found.counts if found is not None else None
    if found is None or counts is None or counts.design_n is None or file.tool_ran_out:
        return _comments(*head, say("pull.record.none"))
    stopped = pulled.word > Word.CONDITIONAL
    if stopped:
        head.append(say("pull.record.stopped", word=telling.word(pulled.word)))
    head.append(say("pull.record.only", roof=file.roof, **_sheet(telling)))
    link = file.link
    result = _result(telling, found, counts)
    away = link["direction"] == "away from the roof"
    deck = f"{{kind: {_text(link['deck'])}, thickness: {_text(link['deck_thickness'])}}}"
    body = [
        f"- id: {OPEN}",
        "  kind: clip in deck",
        f"  outcome: {OPEN if stopped else 'good'}",
        f"  clip: {_text(link['clip'])}",
        f"  shapes: [{_text(link['shape'])}]",
        f"  strength: {OPEN}  # weak | strong",
        f"  deck: {deck}",
        f"  zones: [{_text(found.pulls[0].zone)}]",
        "  basis: gross",
        f"  pull: {result if away else 'not tested'}",
        f"  slide: {'not tested' if away else result}",
        f"  report: {{by: {OPEN}, number: {OPEN}, dated: {OPEN}}}",
        f"  valid: {{since: {OPEN}, until: {OPEN}, withdrawn: false}}",
    ]
    return [*_comments(*head), *body]


def _sheet(telling: PullTelling) -> dict[str, str]:
    link = telling.pulled.file.link
    return {k: telling.value_of(k, link[k]) for k in ("metal", "sheet_thickness")}


def _result(telling: PullTelling, found: SampleResult, counts: Values) -> str:
    """The values of one direction in the form of a record."""
    asked, sample = telling.pulled.file.asked, found.sample
    eta, usual = asked.eta_d, counts.characteristic
    assert sample is not None and eta is not None and counts.design_n is not None
    known = found.known_variation is not None
    spread = found.known_variation if found.known_variation is not None else sample.variation
    method = f"EN 1990 {'D.7.3' if asked.direct else 'D.7.2'}, {counts.distribution}"
    gamma = 1.0 if asked.gamma_m is None else asked.gamma_m.value
    value = _kn(usual.value_n or 0.0)
    design = f"{{value: {_kn(counts.design_n)}, gamma_m: {gamma:.4g}, eta: {eta.value:.4g}}}"
    parts = (
        f"n: {sample.n}",
        f"mean: {round(sample.mean_n) / 1e3:.3f} kN",
        f"variation: {{value: {spread:.4f}, known: {str(known).lower()}}}",
        f"characteristic: {{value: {value}, method: {_text(method)}, k: {usual.factor:.4f}}}",
        f"design: {{en: {design}}}",
        f"failure: [{', '.join(map(_text, found.modes))}]",
    )
    return "{" + ", ".join(parts) + "}"


def _kn(force_n: float) -> str:
    """Rounded down: what somebody counts on."""
    return f"{math.floor(force_n + 1e-6) / 1e3:.3f} kN"


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _comments(*texts: str) -> list[str]:
    """Each text on one line, whatever somebody typed into it."""
    return [f"# {' '.join(text.split())}" for text in texts]
