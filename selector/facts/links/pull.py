"""What pull tests on a roof show: one sample of failures, and proof tests apart from it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from selector.engineering import annex_d
from selector.engineering.annex_d import DISTRIBUTIONS, Estimate, Sample
from selector.engineering.outlier import farthest
from selector.knowledge.base import Base, Number
from selector.model.pull import LINK_KEYS, Asked, Pull, PullFile
from selector.model.truth import Word

PPM = 1_000_000
CONFIDENCE = 0.75  # with which an engineer would want a fractile shown


@dataclass(frozen=True)
class Mixed:
    """Something that differs between pulls: each value with how many have it."""

    key: str  # of LINK_KEYS, or `zone`
    values: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Values:
    """What one distribution gives, forces in N; None where there is no value."""

    distribution: str
    characteristic: Estimate
    direct: Estimate | None
    design_n: float | None

    def base_n(self, direct: bool) -> float | None:
        """The fractile that the design value comes from."""
        if direct:
            return self.direct.value_n if self.direct is not None else None
        return self.characteristic.value_n


@dataclass(frozen=True)
class StandsOut:
    """The failure that stands out most, with distance and limit in standard deviations."""

    pull: int
    distance: float
    limit: float


@dataclass(frozen=True)
class SampleResult:
    """What the failures show.

    `outcome`: mixed, too_few, no_scatter, no_value, no_factors or value. Whatever it is, failures
    `below` the demand of their zone, or a design value below it, make it one for an engineer.
    """

    outcome: str
    word: Word
    pulls: tuple[Pull, ...]
    mixed: tuple[Mixed, ...] = ()
    sample: Sample | None = None
    known_variation: float | None = None
    values: tuple[Values, ...] = ()
    counts: Values | None = None
    missing: tuple[str, ...] = ()
    outlier: StandsOut | None = None
    modes: tuple[str, ...] = ()
    demand_n: float | None = None
    below: tuple[int, ...] = ()

    @property
    def design_below(self) -> bool:
        """Whether the design value that counts lies below the demand."""
        design = self.counts.design_n if self.counts else None
        return None not in (design, self.demand_n) and (design or 0.0) < (self.demand_n or 0.0)

    @property
    def scatters_more(self) -> bool:
        """Whether it scatters more than the known variation says."""
        known, sample = self.known_variation, self.sample
        return known is not None and sample is not None and sample.variation > known


@dataclass(frozen=True)
class ProofResult:
    """What the proof tests of one zone show, forces in N.

    `outcome`: failed, mixed, no_demand, too_few or held. `low` are pulls of the zone that failed
    below the load to be held, whether they were meant to hold it or not.
    """

    zone: str
    outcome: str
    word: Word
    held: tuple[Pull, ...]
    failed: tuple[Pull, ...]
    low: tuple[Pull, ...]
    enough: int
    confidence: float
    mixed: tuple[Mixed, ...] = ()
    demand_n: float | None = None
    target_n: float | None = None
    shown_n: float | None = None


@dataclass(frozen=True)
class Pulled:
    """Everything that a file of pull tests shows."""

    file: PullFile
    word: Word
    sample: SampleResult | None
    proofs: tuple[ProofResult, ...]
    least_tests: Number
    load_factor: Number

    @property
    def tests_wanted(self) -> int:
        """Proof tests, all held, that would show a 5 % fractile with a confidence of 75 %."""
        return annex_d.proof_tests_for(CONFIDENCE)

    @property
    def factor(self) -> float:
        """The load to be held over the demand."""
        return _figure(self.load_factor) / PPM

    @property
    def least(self) -> int:
        """Proof tests that a zone needs."""
        return _figure(self.least_tests)


def pulled_of(base: Base, file: PullFile) -> Pulled:
    """What the pulls of a file show, by the working values of a base."""
    least, factor = base.numbers["proof_tests_a_zone"], base.numbers["proof_load_factor"]
    rules = _figure(least), _figure(factor)
    failures = tuple(p for p in file.pulls if p.in_sample)
    sample = _sample(file, failures) if failures else None
    by_zone = sorted((p for p in file.pulls if not p.in_sample), key=lambda p: p.zone)
    proofs = tuple(
        _proof(file, zone, tuple(tests), failures, *rules)
        for zone, tests in groupby(by_zone, key=lambda p: p.zone)
    )
    words = [p.word for p in proofs] + ([sample.word] if sample else [])
    if file.tool_ran_out:
        words.append(Word.ENGINEER)
    return Pulled(file, max(words), sample, proofs, least, factor)


def _figure(number: Number) -> int:
    return number.value.places[0].high


def mixed_of(pulls: Sequence[Pull]) -> tuple[Mixed, ...]:
    """What differs between pulls that should be alike."""
    found = []
    for key in ("zone", *LINK_KEYS):
        values = [p.zone if key == "zone" else p.link.get(key, "") for p in pulls]
        if len(set(values)) > 1:
            found.append(Mixed(key, tuple((v, values.count(v)) for v in sorted(set(values)))))
    return tuple(found)


# --- failures ----------------------------------------------------------------------------


def _sample(file: PullFile, pulls: tuple[Pull, ...]) -> SampleResult:
    """The failures, and whether any of them or their design value is too low for its zone."""
    found = _worked_out(file, pulls)
    demand = {zone: given.value for zone, given in file.demand.items()}
    below = tuple(p.number for p in pulls if _failed_n(p) < demand.get(p.zone, 0.0))
    found = replace(found, below=below)
    stop = below or found.design_below
    return replace(found, word=max(found.word, Word.ENGINEER)) if stop else found


def _worked_out(file: PullFile, pulls: tuple[Pull, ...]) -> SampleResult:
    """EN 1990 annex D on one sample, or why there is none."""
    mixed = mixed_of(pulls)
    if mixed:
        return SampleResult("mixed", Word.OBSERVE, pulls, mixed)
    if len(pulls) < annex_d.FEWEST:
        return SampleResult("too_few", Word.OBSERVE, pulls)
    loads = [_failed_n(p) for p in pulls]
    if min(loads) == max(loads):
        return SampleResult("no_scatter", Word.OBSERVE, pulls)
    sample, asked = annex_d.sample_of(loads), file.asked
    known = asked.variation.value if asked.variation else None
    values = tuple(_values(sample, name, known, asked) for name in DISTRIBUTIONS)
    counts = _counting(values, asked)
    demand = file.demand.get(pulls[0].zone)
    outcome, word, missing = _outcome(counts, asked)
    far = farthest(loads)
    out = StandsOut(pulls[far.index].number, far.distance, far.limit) if far.out else None
    return SampleResult(
        outcome,
        word,
        pulls,
        sample=sample,
        known_variation=known,
        values=values,
        counts=counts,
        missing=missing,
        outlier=out,
        modes=tuple(sorted({p.mode for p in pulls})),
        demand_n=demand.value if demand else None,
    )


def _failed_n(pull: Pull) -> float:
    assert pull.failed_mn is not None
    return pull.failed_mn / 1e3


def _values(
    sample: Sample, name: annex_d.Distribution, known: float | None, asked: Asked
) -> Values:
    """Fractiles of one distribution, and its design value where the factors are there."""
    usual = annex_d.characteristic(sample, name, known)
    direct = annex_d.direct(sample, name, known) if asked.direct else None
    design = None
    eta, gamma = asked.eta_d, asked.gamma_m
    if asked.direct:
        if direct is not None and direct.value_n is not None and eta is not None:
            design = annex_d.design_n(direct.value_n, eta.value)
    elif usual.value_n is not None and eta is not None and gamma is not None:
        design = annex_d.design_n(usual.value_n, eta.value, gamma.value)
    return Values(name, usual, direct, design)


def _counting(values: tuple[Values, ...], asked: Asked) -> Values | None:
    """The distribution laid down before testing, else the lower; None if it has no value."""
    direct = asked.direct is not None
    if asked.distribution is not None:
        [found] = [v for v in values if v.distribution == asked.distribution]
        return None if found.base_n(direct) is None else found
    bases = [v.base_n(direct) for v in values]
    if None in bases:
        return None
    return min(values, key=lambda v: v.base_n(direct) or 0.0)


def _outcome(counts: Values | None, asked: Asked) -> tuple[str, Word, tuple[str, ...]]:
    if counts is None:
        return "no_value", Word.ENGINEER, ()
    wanted = {"eta_d": asked.eta_d}
    if asked.direct is None:
        wanted["gamma_m"] = asked.gamma_m
    missing = tuple(name for name, given in wanted.items() if given is None)
    if missing:
        return "no_factors", Word.ENGINEER, missing
    return "value", Word.CONDITIONAL, ()


# --- proof tests -------------------------------------------------------------------------


def _proof(
    file: PullFile,
    zone: str,
    tests: tuple[Pull, ...],
    failures: tuple[Pull, ...],
    least: int,
    factor_ppm: int,
) -> ProofResult:
    """Proof tests of one zone; a pull of the zone that failed too low stands against them."""
    held = tuple(p for p in tests if p.held_mn is not None)
    failed = tuple(p for p in tests if p.held_mn is None)
    demand = file.demand.get(zone)
    target = -(-round(demand.value * 1e3) * factor_ppm // PPM) if demand else None  # mN, upwards
    here = [p for p in failures if p.zone == zone]
    low = tuple(p for p in here if target is not None and (p.failed_mn or 0) < target)
    enough = [p.held_mn or 0 for p in held if (p.held_mn or 0) >= (target or 0)]
    mixed = mixed_of(tests)
    if failed or low:
        outcome, word = "failed", Word.ENGINEER
    elif mixed:
        outcome, word = "mixed", Word.OBSERVE
    elif target is None:
        outcome, word = "no_demand", Word.OBSERVE
    elif len(enough) < least:
        outcome, word = "too_few", Word.OBSERVE
    else:
        outcome, word = "held", Word.CONDITIONAL
    shown = None
    if outcome in ("held", "no_demand") and len(enough) >= least:
        shown = min(enough) * PPM / factor_ppm / 1e3
    return ProofResult(
        zone,
        outcome,
        word,
        held,
        failed,
        low,
        len(enough),
        annex_d.proof_confidence(len(enough), len(failed) + len(low)),
        mixed,
        demand.value if demand else None,
        None if target is None else target / 1e3,
        shown,
    )
