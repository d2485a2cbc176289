"""Pull tests as data: schema pull/1, forces in N, lengths in m, times in s."""

from typing import Any

from selector.explanation.pull.telling import PullTelling
from selector.facts.links.pull import Mixed, ProofResult, SampleResult, Values
from selector.knowledge.base import Number
from selector.model.pull import Asked, Pull, PullPaper, Sourced

SCHEMA = "pull/1"


def pull_data(telling: PullTelling, version: str) -> dict[str, Any]:
    """Everything on the page."""
    pulled, file = telling.pulled, telling.pulled.file
    return {
        "schema": SCHEMA,
        "seamwright": version,
        "base": telling.base.digest,
        "id": file.id,
        "as_of": file.as_of,
        "word": pulled.word.text,
        "demo": file.invented,
        "roof": file.roof,
        "what": dict(file.link),
        "pulled": {
            "on": file.pulled_on,
            "by": file.pulled_by,
            "tool": file.tool,
            "calibrated": file.calibrated,
            "calibrated_until": file.calibrated_until,
            "ran_out": file.tool_ran_out,
        },
        "demand": {zone: _sourced(given) for zone, given in file.demand.items()},
        "record": _asked(file.asked),
        "pulls": [_pull(one) for one in file.pulls],
        "sample": None if pulled.sample is None else _sample(telling, pulled.sample),
        "proofs": [_proof(telling, one) for one in pulled.proofs],
        "to_confirm": telling.confirm(),
        "working_values": [_number(n) for n in (pulled.least_tests, pulled.load_factor)],
    }


def _paper(paper: PullPaper | None) -> dict[str, str] | None:
    if paper is None:
        return None
    return {"key": paper.key, "kind": paper.kind, "number": paper.number, "dated": paper.dated}


def _sourced(given: Sourced | None) -> dict[str, Any] | None:
    return None if given is None else {"value": given.value, "paper": _paper(given.paper)}


def _asked(asked: Asked) -> dict[str, Any]:
    return {
        "distribution": asked.distribution,
        "distribution_paper": _paper(asked.distribution_paper),
        "variation": _sourced(asked.variation),
        "direct": _paper(asked.direct),
        "eta_d": _sourced(asked.eta_d),
        "gamma_m": _sourced(asked.gamma_m),
    }


def _pull(pull: Pull) -> dict[str, Any]:
    def force(load_mn: int | None) -> float | None:
        return None if load_mn is None else load_mn / 1e3

    return {
        "number": pull.number,
        "seam": pull.seam,
        "from_eave_m": pull.from_eave_um / 1e6,
        "zone": pull.zone,
        "failed_at": force(pull.failed_mn),
        "held": force(pull.held_mn),
        "to_hold": force(pull.to_hold_mn),
        "for_s": pull.seconds,
        "mode": pull.mode,
        "what": dict(pull.link),
        "in_sample": pull.in_sample,
        "line": pull.line,
    }


def _sample(telling: PullTelling, found: SampleResult) -> dict[str, Any]:
    sample, out = found.sample, found.outlier
    return {
        "outcome": found.outcome,
        "word": found.word.text,
        "text": telling.sample_outcome(found),
        "pulls": [p.number for p in found.pulls],
        "mixed": [_mixed(one) for one in found.mixed],
        "n": None if sample is None else sample.n,
        "mean": None if sample is None else sample.mean_n,
        "sd": None if sample is None else sample.sd_n,
        "variation": None if sample is None else sample.variation,
        "known_variation": found.known_variation,
        "values": [_values(one) for one in found.values],
        "counts": None if found.counts is None else found.counts.distribution,
        "missing": list(found.missing),
        "outlier": None
        if out is None
        else {"pull": out.pull, "distance": out.distance, "limit": out.limit},
        "modes": list(found.modes),
        "demand": found.demand_n,
        "below": list(found.below),
        "design_below": found.design_below,
    }


def _mixed(mixed: Mixed) -> dict[str, Any]:
    return {"key": mixed.key, "values": dict(mixed.values)}


def _values(values: Values) -> dict[str, Any]:
    direct = values.direct
    return {
        "distribution": values.distribution,
        "spread": values.characteristic.variation,
        "k_n": values.characteristic.factor,
        "characteristic": values.characteristic.value_n,
        "k_d": None if direct is None else direct.factor,
        "direct": None if direct is None else direct.value_n,
        "design": values.design_n,
    }


def _proof(telling: PullTelling, found: ProofResult) -> dict[str, Any]:
    return {
        "zone": found.zone,
        "outcome": found.outcome,
        "word": found.word.text,
        "text": telling.proof_outcome(found),
        "held": [p.number for p in found.held],
        "failed": [p.number for p in found.failed],
        "low": [p.number for p in found.low],
        "enough": found.enough,
        "mixed": [_mixed(one) for one in found.mixed],
        "demand": found.demand_n,
        "to_hold": found.target_n,
        "shown": found.shown_n,
        "confidence": found.confidence,
    }


def _number(number: Number) -> dict[str, str]:
    return {
        "id": number.id,
        "value": str(number.value),
        "source": number.source,
        "status": number.status,
    }
