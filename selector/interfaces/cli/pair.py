"""The command for two metals, and for the table of all of them: pair."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from selector import __version__
from selector.errors import INTERNAL, InputError
from selector.explanation.dumped import dumped
from selector.explanation.pair.as_json import matrix_data, pair_data
from selector.explanation.pair.matrix import MatrixTelling, matrix_csv, matrix_page
from selector.explanation.pair.matrix_svg import matrix_svg
from selector.explanation.pair.page import page
from selector.explanation.pair.telling import PairTelling
from selector.explanation.texts import Texts
from selector.inference.judge import Judge
from selector.inference.pair import air_of_site, elsewhere, instead, judge_pair, matrix
from selector.interfaces.cli.pictures import check_folder, check_picture, write_picture
from selector.interfaces.cli.screen import in_language, to_screen
from selector.jobs.write import write_whole
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.schema import MetalWords
from selector.questions.metal_typed import metal_of
from selector.questions.pair_typed import Said, air_of, contact_of, place_of
from selector.questions.wrong import WrongError, told

LEAST, MOST = 2, 20  # metals of a table; more do not fit on paper


@dataclass(frozen=True)
class Wanted:
    """What to make of the metals, and where to write it."""

    matrix: bool
    into: Path | None
    picture: Path | None
    as_json: bool


def judge_metals(
    metals: Sequence[str],
    said: Said,
    air: str | None,
    want: Wanted,
    *,
    kb: Path | None,
    lang: str | None,
) -> int:
    """Print a pair or the table of all pairs; InputError before any output."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    try:
        if want.matrix:
            _check_matrix(texts, metals, said, want)
            return _matrix(base, texts, metals, said, air, want)
        if want.into is not None or want.picture is not None:
            raise WrongError("pair.asking.only_matrix")
        if len(metals) != 2:
            raise WrongError("pair.asking.two", n=len(metals))
        return _pair(base, texts, metals, said, air, want)
    except WrongError as error:
        raise InputError.of(told(texts, error)) from None


def _pair(
    base: Base, texts: Texts, metals: Sequence[str], said: Said, air: str | None, want: Wanted
) -> int:
    judge, telling = Judge(base), PairTelling(base, texts)
    two = [metal_of(texts, base, typed) for typed in metals]
    around = air_of_site(judge, air_of(texts, base, air))
    paired = judge_pair(judge, contact_of(texts, base, two, said), around)
    turned = list(elsewhere(judge, paired))
    changed = [] if paired.word.is_yes else instead(judge, paired, _usual(base))
    with to_screen() as console:
        if want.as_json:
            data = pair_data(telling, paired, turned, changed, __version__)
            print(dumped(data))
        else:
            for line in page(telling, paired, turned, changed, __version__, console.width):
                print(line)
    return INTERNAL if paired.verdict.withheld else 0


def _usual(base: Base) -> list[MetalWords]:
    """Metals that the table shows."""
    return [metal for row in base.trade.finishes for metal in row.shape.shown]


def _check_matrix(texts: Texts, metals: Sequence[str], said: Said, want: Wanted) -> None:
    """What can be wrong with the options alone."""
    if metals and not LEAST <= len(metals) <= MOST:
        raise WrongError("pair.asking.so_many", least=LEAST, most=MOST)
    if said != Said(where=said.where):
        raise WrongError("pair.asking.not_in_matrix")
    if want.into is not None:
        if want.into.suffix != ".csv":
            raise InputError.of(texts.say("kit.asking.csv"), file=str(want.into))
        check_folder(want.into, texts)
    if want.picture is not None:
        check_picture(want.picture, texts)


def _matrix(
    base: Base, texts: Texts, metals: Sequence[str], said: Said, air: str | None, want: Wanted
) -> int:
    own = [metal_of(texts, base, typed) for typed in metals]
    listed = list(dict.fromkeys(own)) or _usual(base)
    place, judge, telling = place_of(texts, said.where), Judge(base), PairTelling(base, texts)
    around = air_of_site(judge, air_of(texts, base, air))
    found = MatrixTelling(telling, matrix(judge, place, listed, around))
    if want.picture is not None:
        write_picture(matrix_svg(found, __version__), want.picture, texts)
    if want.into is not None:
        write_whole(matrix_csv(found), want.into)
    with to_screen() as console:
        if want.as_json:
            data = matrix_data(telling, found.matrix, __version__)
            print(dumped(data))
        else:
            for line in matrix_page(found, __version__, console.width):
                print(line)
    withheld = any(cell.verdict.withheld for row in found.matrix.cells for cell in row)
    return INTERNAL if withheld else 0
