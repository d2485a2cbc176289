"""What annoyed people who talked to the end: said once, said short, and with a way on."""

import os
import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from selector.explanation.language import speaking
from selector.inference.judge import Judge
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.questions import screen
from selector.questions.talk import Talk, state_of
from tests.conftest import ROOT
from tests.interfaces.test_ask import BY, PROGRAM, Terminal, asked, job, talk
from tests.kb.roofs import yellow_zinc

__all__ = ["job"]
PLANE = "street"


def german(path: Path, *lines: str, **env: str) -> str:
    """What a German talk prints when these lines are typed."""
    ran = subprocess.run(
        [*PROGRAM, "ask", str(path), *BY, "--lang", "de"],
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        encoding="utf-8",
        env=os.environ | {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"} | env,
        check=False,
    )
    assert ran.stderr == "" and "Traceback" not in ran.stdout
    return ran.stdout


def told(text: str) -> str:
    return " ".join(text.split())


def test_how_it_was_seen_may_be_the_next_line(job: Path, base: Base) -> None:
    ran = talk(job, ":: photo", "seam.made: by hand", ":: photo of Tuesday", ":: photo", "stop")
    assert "`:: photo` as the next line makes it count" in told(ran.stdout)
    assert ran.stdout.count("there is no answer right before this") == 2
    sighting = (
        read_job(job, base.vocabulary).planes[PLANE].observed["plane.seam.made"].sightings[-1]
    )
    assert (sighting.seen, sighting.hint) == ("photo of Tuesday, rn", "")


def test_the_way_that_is_proposed_is_one_that_counts(job: Path, base: Base) -> None:
    ran = talk(
        job,
        *("seam.height: 25", "sheet.metal: steel", ":: cut edge", "seam.height: 25", ":: calliper"),
        *("ground_snow: 1 kPa", "sheet.metal: steel :: colour", "stop"),
    )
    text = told(ran.stdout)
    assert "`:: calliper` as the next line" in text and "`:: cut edge` as the next line" in text
    assert "as the next line makes it count, if it stands on that paper (papers: " in text
    assert "noted, but `colour` settles nothing here; how: cut edge" in text
    seen = read_job(job, base.vocabulary).planes[PLANE].observed
    assert "cut edge, rn" in [s.seen for s in seen["plane.sheet.metal"].sightings]
    assert "calliper, rn" in [s.seen for s in seen["plane.seam.height"].sightings]


def test_a_caution_is_said_where_its_question_comes_up(job: Path) -> None:
    ran = talk(job, "below_eave: path", "pitch: ?", "", "back", "back", "back", "stop")
    assert ran.stdout.count("! nobody steps on before this is answered") == 2  # and after Enter
    assert "noted: below_eave" in ran.stdout and "noted: pitch" in ran.stdout
    assert "nothing was answered since this talk was opened" in told(ran.stdout)
    assert len(set(asked(ran.stdout))) == 1


def test_who_stops_early_is_not_told_everything(job: Path) -> None:
    ran = talk(job, "none", "stop")
    assert ran.returncode == 3 and "Refused, at the smallest" not in ran.stdout
    assert ran.stdout.rstrip().endswith("the same command goes on here.")
    assert "Not a yes: too much is open for an answer." in ran.stdout
    assert len(ran.stdout.splitlines()) < 50


def test_where_nothing_is_left_it_is_said_of_what_and_what_helps(job: Path) -> None:
    ran = talk(
        job, "none", "reserve_paper: none", "back", "seam.height: 70 70 70 calliper", "1", ""
    )
    text = told(ran.stdout)
    assert "there is no statement on the load reserve way out: " in text
    assert "out: " in text and "the jaws cannot close on this seam" in text
    assert "`photos` for what to send" in text


def test_what_was_merely_said_is_named_at_the_end(job: Path) -> None:
    ran = talk(job, "none", *["?"] * 60)
    text = told(ran.stdout)
    assert "No question is left here. Still open, and who can settle it:" in text
    assert "said, but nobody looked or no paper shows it; open, too: " in text
    assert "closing of the seam by hand" in text.partition("open, too: ")[2]


def test_commands_keys_and_places(job: Path) -> None:
    ran = talk(job, "HELP", "colour: red", "roof", "stated.clip_share: 0.1 kN", "quit")
    assert "Now on the roof: what was left open is asked again." in ran.stdout
    assert "a number or a word of the list; several with" in ran.stdout
    assert ran.stdout.rstrip().endswith("the same command goes on here.")


def test_a_paper_is_never_guessed(job: Path) -> None:
    ran = talk(job, "paper", "engineer's st", "?", "2031-01-01", "", "roof-parallel", "?", "stop")
    text = told(ran.stdout)
    assert "take what is likely" not in text
    assert text.count("type what the paper says") == 2
    assert "a pressure, such as `0.25 kPa`" in text


@pytest.mark.parametrize(("language", "says"), [("en", "zinc"), ("de", "Zink")])
def test_a_metal_and_a_colour_that_it_never_has_are_said_at_the_end(
    base: Base, judge: Judge, language: str, says: str
) -> None:
    state = state_of(Talk(yellow_zinc().data, "a1", "tk", "roof"), base, judge)
    shown = " ".join(screen.at_odds(speaking(base, language), state.left))
    assert f"sheet.metal: {says} (" in shown and "sheet.colour: " in shown
    assert list(screen.at_odds(base, replace(state.left, answer=None))) == []


def test_a_german_talk_takes_and_says_german(job: Path, base: Base) -> None:
    text = german(
        job,
        *("Quatsch", "hilfe", "keine", "seam.shape: Rundfalz", "zurück"),
        *("pitch: 25° Neigungsmesser", "sea_distance: 60 km Karte", "altitude: 5 m Telefon"),
        *("clips.marks: weiß nicht", "sheet.coating: Lack, Zink", "pool_hall: ja", "said", "stop"),
    )
    flat = told(text)
    assert "`Quatsch` steht nicht in der Liste; eine Nummer von 1 bis 2 genügt" in flat
    assert "Schichten, oder eines davon? `Lack auf Zink` oder `Lack oder Zink` eintippen" in flat
    assert "is not" not in flat and "expected" not in flat and "no tool" not in flat
    assert "altitude: 5 m, Telefon" in flat
    read = read_job(job, base.vocabulary)
    assert read.planes[PLANE].observed["plane.pitch"].sightings[-1].seen == "pitch meter, rn"
    assert read.site["site.sea_distance"].sightings[-1].seen == "map, rn"
    assert "none" not in str(read.site["site.pool_hall"].value)


def test_a_drawing_is_lettered_in_the_language_of_the_screen(base: Base) -> None:
    quantity = base.vocabulary.quantities["plane.seam.shape"]
    english = list(screen.drawings(base, quantity))
    own = list(screen.drawings(speaking(base, "de"), quantity))
    letters = r"[a-zäöüß]+"
    assert "height" in " ".join(english) and len(english) == len(own)
    assert not re.search(r"\b(head|leg|bulb|neck|height)\b", " ".join(own))
    for first, line in zip(english, own, strict=True):
        assert len(line) <= 80
        if not re.search(r"[0-9]", first) and "neck" not in first:
            drawn = [re.sub(letters, "", x, flags=re.IGNORECASE).split() for x in (first, line)]
            assert drawn[0] == drawn[1]
    [neck] = [line for line in own if "Hals" in line]
    assert neck.index("|") == next(x for x in english if "neck" in x).index("|")


def test_a_person_is_called_as_the_job_calls_them(job: Path) -> None:
    text = job.read_text(encoding="utf-8").replace("rn", "judge")
    job.write_text(text, encoding="utf-8")
    ran = subprocess.run(
        [*PROGRAM, "ask", str(job), "--by", "judge", "--lang", "de"],
        input="sea_distance: 3\nsea_distance: 300\nstop\n",
        capture_output=True,
        encoding="utf-8",
        env=os.environ | {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"},
        check=False,
    )
    assert "(gesagt, Karte, judge)" in ran.stdout and "Urteil" not in ran.stdout
    assert "Abstand zum Meer (sea_distance)" in ran.stdout


@pytest.mark.parametrize("plain", ["0", "1"])
def test_umlauts_are_not_lost_where_the_locale_is_plain(job: Path, base: Base, plain: str) -> None:
    """Plain: a screen of ASCII; else Python reads and writes UTF-8 in a locale that does not."""
    env = {"LC_ALL": "C", "LANG": "C"}
    if plain == "1":
        env |= {"PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}
    terminal = Terminal(job, *BY, "--lang", "de", **env)
    terminal.until("> ")
    terminal.type("ä\r")
    terminal.until("steht nicht in der Liste")
    terminal.type("none :: über die Dachlücke\r")
    terminal.until("-- ", times=2)
    terminal.type("stop\r")
    assert terminal.end() == 3 and "\\u" not in terminal.text
    seen = [s.seen for s in read_job(job, base.vocabulary).site["site.brittle"].sightings]
    assert seen == ["über die Dachlücke, rn"]


PAPER = ("paper", "engineer's calc", "2031-01-05", "", "array a1, field", "1 0.42 kN")


def test_a_figure_of_a_paper_is_changed_in_a_talk_that_goes_on(job: Path, base: Base) -> None:
    talk(job, *PAPER, "stop")
    before = job.read_text(encoding="utf-8")
    assert before.count("0.42 kN") == 1
    wrong = talk(job, "back", "papers.calc: plenty", "stated.uplift_per_clamp: 0", "stop")
    assert "what was saved before is answered anew by KEY: ANSWER" in told(wrong.stdout)
    assert "expected a number in kN" in told(wrong.stdout)
    assert job.read_text(encoding="utf-8") == before
    ran = talk(job, "papers.calc: 0.2 kN", "said", "stop")
    assert "noted: stated.uplift_per_clamp" in ran.stdout
    assert "stated.uplift_per_clamp: 0.2 kN, paper calc" in ran.stdout
    assert job.read_text(encoding="utf-8") == before.replace("0.42 kN", "0.2 kN")
    assert read_job(job, base.vocabulary).arrays["a1"].stated["uplift_per_clamp"].value == 200_000
    assert [p.name for p in job.parent.iterdir()] == [job.name]


def test_back_brings_the_old_figure(job: Path) -> None:
    talk(job, *PAPER, "stop")
    before = job.read_text(encoding="utf-8")
    talk(job, "uplift per clamp: 0,2", "back", "stop")
    assert job.read_text(encoding="utf-8") == before


def test_a_figure_that_is_stated_already_says_how_to_change_it(job: Path) -> None:
    talk(job, *PAPER, "stop")
    text = german(job, *PAPER[:2], "", *PAPER[2:], "stop", "stop")
    assert "danach ändert `stated.uplift_per_clamp: WERT` den Wert" in told(text)
