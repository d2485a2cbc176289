"""How pulls, figures and outcomes are said."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from selector.explanation.texts import Texts
from selector.facts.links.pull import Mixed, ProofResult, Pulled, SampleResult, Values
from selector.knowledge.base import Base
from selector.model.pull import Pull, PullPaper
from selector.model.truth import Word

DIRECTION_IDS = {"away from the roof": "away", "down the slope": "down"}


@dataclass(frozen=True)
class PullTelling:
    """What a file of pull tests shows, and in which words."""

    pulled: Pulled
    base: Base
    texts: Texts

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled."""
        return self.texts.say(name, **holes)

    # --- figures -------------------------------------------------------------------------

    def kn(self, force_n: float) -> str:
        """A force in kN to the nearest newton."""
        return self._kn(round(force_n))

    def kn_down(self, force_n: float) -> str:
        """A resistance: rounded down to the newton."""
        return self._kn(math.floor(force_n + 1e-6))

    def kn_up(self, force_n: float) -> str:
        """A demand: rounded up to the newton."""
        return self._kn(math.ceil(force_n - 1e-6))

    def _kn(self, newtons: int) -> str:
        return self.say("pull.kn", value=self.texts.shown(f"{newtons / 1e3:.3f}"))

    def figure(self, value: float, form: str) -> str:
        """A bare figure."""
        return self.texts.shown(f"{value:{form}}")

    def percent(self, share: float) -> str:
        """A share in percent."""
        return self.say("pull.percent", value=self.figure(share * 100, ".1f"))

    def seconds(self, seconds: int) -> str:
        """How long a load was held."""
        whole = "h" if seconds % 3600 == 0 else "min" if seconds % 60 == 0 else "s"
        size = {"h": 3600, "min": 60, "s": 1}[whole]
        return f"{seconds // size} {whole}"

    def length(self, length_um: int) -> str:
        """A length along the slope in metres."""
        return self.texts.shown(f"{length_um / 1e6:.2f} m")

    # --- words ---------------------------------------------------------------------------

    def word(self, word: Word) -> str:
        """A verdict word in capitals."""
        return self.texts.word(word.text).upper()

    def paper(self, paper: PullPaper) -> str:
        """A paper with number and date."""
        number = f" {paper.number}" if paper.number else ""
        return self.texts.shown(f"{paper.kind}{number} of {paper.dated}")

    def value_of(self, key: str, value: str) -> str:
        """What a link has, in words."""
        if not value:
            return self.say("pull.nothing")
        if key == "direction":
            return self.say(f"pull.direction.{DIRECTION_IDS[value]}")
        if key == "failure":
            return self.until(value)
        if key == "nails":
            return value
        return self.texts.shown(value)

    def until(self, failure: str) -> str:
        """What counts as failure."""
        if failure == "break":
            return self.say("pull.until.breaks")
        moved = self.texts.shown(failure.removeprefix("moved "))
        return self.say("pull.until.moved", length=moved)

    def mixed(self, mixed: Iterable[Mixed]) -> str:
        """What is mixed, each value with its count."""
        return "; ".join(
            self.say(
                "pull.mixed.line",
                what=self.say(f"pull.key.{one.key}"),
                values=", ".join(
                    self.say("pull.mixed.value", value=self.value_of(one.key, v), count=count)
                    for v, count in one.values
                ),
            )
            for one in mixed
        )

    def otherwise(self, pull: Pull) -> str:
        """What of the link was otherwise at one pull."""
        link = self.pulled.file.link
        found = [k for k, v in pull.link.items() if link.get(k, "") != v]
        pairs = ((self.say(f"pull.key.{k}"), self.value_of(k, pull.link[k])) for k in found)
        return ", ".join(f"{name} {value}" for name, value in pairs)

    def what(self) -> str:
        """What was tested, as a sentence."""
        link = self.pulled.file.link
        holes = {k: self.value_of(k, v) for k, v in link.items()}
        form = "nailed" if "nails" in link else "plain"
        return self.say(f"pull.what.{form}", **holes)

    def who(self) -> str:
        """Who pulled with which tool."""
        file = self.pulled.file
        days = (date.fromisoformat(file.pulled_on) - date.fromisoformat(file.calibrated)).days
        holes = {
            "who": self.texts.word(file.pulled_by),
            "on": file.pulled_on,
            "tool": file.tool,
            "calibrated": file.calibrated,
            "days": days,
            "until": file.calibrated_until,
        }
        if file.calibrated_until is None:
            return self.say("pull.who.open", **holes)
        return self.say(f"pull.who.{'late' if file.tool_ran_out else 'good'}", **holes)

    def demands(self) -> list[str]:
        """What one clip is to bear in each zone, with the paper that says so."""
        return [
            self.say(
                "pull.demand",
                zone=self.texts.word(zone),
                load=self.kn_up(given.value),
                paper=self.paper(given.paper),
            )
            for zone, given in self.pulled.file.demand.items()
        ]

    def happened(self, pull: Pull) -> str:
        """What one pull ended with."""
        if pull.seconds is not None:
            return self.say("pull.happened.held", time=self.seconds(pull.seconds))
        if pull.to_hold_mn is not None:
            load = self.kn_up(pull.to_hold_mn / 1e3)
            return self.say("pull.happened.proof_failed", load=load, mode=pull.mode)
        return self.say("pull.happened.failed", mode=pull.mode)

    def distribution(self, values: Values) -> str:
        """Name of a distribution."""
        return self.say(f"pull.distribution.{values.distribution.replace('-', '_')}")

    # --- outcomes ------------------------------------------------------------------------

    def sample_outcome(self, found: SampleResult) -> str:
        """What the failures come to."""
        return self.say(
            f"pull.sample.{found.outcome}",
            count=len(found.pulls),
            mixed=self.mixed(found.mixed),
            missing=", ".join(self.say(f"pull.factor.{name}") for name in found.missing),
        )

    def too_low(self, found: SampleResult) -> list[str]:
        """Failures and a design value below what a clip is to bear."""
        lines = []
        if found.below:
            numbers = ", ".join(map(str, found.below))
            lines.append(self.say("pull.below.failures", numbers=numbers))
        if found.design_below:
            lines.append(self.say("pull.below.design"))
        return lines

    def confirm(self) -> list[str]:
        """Numbers and wordings that somebody has to look up or to answer for."""
        say, pulled, word = self.say, self.pulled, self.texts.word
        lines = []
        if pulled.sample is not None and pulled.sample.sample is not None:
            lines.append(say("pull.confirm.usual", status=word("from memory")))
            if pulled.file.asked.direct is not None:
                lines.append(say("pull.confirm.direct", status=word("from memory")))
        if pulled.proofs:
            rows = {"least_tests": pulled.least_tests, "load_factor": pulled.load_factor}
            for name, number in rows.items():
                value = self.texts.shown(str(number.value))
                holes = {"value": value, "source": number.source, "status": word(number.status)}
                lines.append(say(f"pull.confirm.{name}", **holes))
        return lines

    def proof_outcome(self, found: ProofResult) -> str:
        """What the proof tests of a zone come to."""
        pulled = self.pulled
        target = "" if found.target_n is None else self.kn_up(found.target_n)
        return self.say(
            f"pull.proof.{found.outcome}",
            held=len(found.held),
            enough=found.enough,
            least=pulled.least,
            factor=self.figure(pulled.factor, "g"),
            target=target,
            demand="" if found.demand_n is None else self.kn_up(found.demand_n),
            numbers=", ".join(str(p.number) for p in (*found.failed, *found.low)),
            mixed=self.mixed(found.mixed),
        )
