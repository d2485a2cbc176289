"""The command line: names, help and options only; the work is imported when a command runs."""

import gc
import sys
from pathlib import Path
from typing import Annotated

import typer

from selector import __version__
from selector.interfaces.cli.jobs_app import jobs_app
from selector.interfaces.cli.options import JobFile, Kb, Keep, Lang, StoreFile

app = typer.Typer(
    name="seamwright",
    help="Which clamp stack may carry solar modules on this metal seam roof, and why.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    no_args_is_help=True,
)
kb_app = typer.Typer(
    help="For the knowledge owner: keep rules, parts and records true.",
    rich_markup_mode=None,
    no_args_is_help=True,
)
app.add_typer(jobs_app, name="jobs")
app.add_typer(kb_app, name="kb")

Json = Annotated[bool, typer.Option("--json", help="Print the answer as data (answer/1).")]
All = Annotated[bool, typer.Option("--all", help="Show every stack, not only the best five.")]


@app.callback(invoke_without_command=True)
def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
    lang: Lang = None,
) -> None:
    context.obj = lang
    if version:
        typer.echo(f"seamwright {__version__}")
        raise typer.Exit


@app.command()
def demo(
    context: typer.Context,
    as_json: Json = False,
    every: All = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """The main job on a shipped example, nothing asked."""
    from selector.interfaces.cli import answers

    answers.demo(as_json=as_json, every=every, kb=kb, lang=lang or context.obj)


@app.command()
def pick(
    context: typer.Context,
    job: JobFile,
    as_json: Json = False,
    every: All = False,
    keep: Keep = False,
    store: StoreFile = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """All stacks for a job, with reasons and refusals."""
    from selector.interfaces.cli import answers

    code = answers.pick(
        job, as_json=as_json, every=every, kb=kb, lang=lang or context.obj, keep=keep, store=store
    )
    raise typer.Exit(code)


@app.command()
def judge(
    context: typer.Context,
    job: JobFile,
    stack: Annotated[str | None, typer.Option(help="Name of a stack in the job.")] = None,
    act: Annotated[str | None, typer.Option(help="Something somebody wants to do.")] = None,
    as_json: Json = False,
    keep: Keep = False,
    store: StoreFile = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """One stack of a job, or one thing somebody wants to do."""
    from selector.interfaces.cli import answers

    code = answers.judge(
        job,
        stack=stack,
        act=act,
        as_json=as_json,
        kb=kb,
        lang=lang or context.obj,
        keep=keep,
        store=store,
    )
    raise typer.Exit(code)


@app.command()
def swap(
    context: typer.Context,
    job: JobFile,
    stack: Annotated[str | None, typer.Option(help="Name of the stack as it was meant.")] = None,
    sets: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="PATH=VALUE", help="A change, such as `torque=12 Nm`."),
    ] = None,
    out: Annotated[list[str] | None, typer.Option("--out", help="A part that gives way.")] = None,
    into: Annotated[
        list[str] | None, typer.Option("--in", help="What comes in its place, or `none`.")
    ] = None,
    van: Annotated[
        Path | None, typer.Option(help="Counted leftovers (van/1): what can be built from them?")
    ] = None,
    record: Annotated[
        Path | None, typer.Option(help="Write a record to be signed to this new .txt file.")
    ] = None,
    by: Annotated[str | None, typer.Option(help="Who asks, for the record and the store.")] = None,
    when: Annotated[
        str | None, typer.Option(help="Day of the record, such as 2031-03-14; else today.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Show all of each list.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print it as data (swap/1).")] = False,
    keep: Keep = False,
    store: StoreFile = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """May this be built otherwise than planned? The word, its conditions, the way out."""
    from selector.interfaces.cli import swap as command

    code = command.judge(
        job,
        stack=stack,
        sets=sets or (),
        out=out or (),
        into=into or (),
        van=van,
        record_to=record,
        by=by,
        when=when,
        every=every,
        as_json=as_json,
        kb=kb,
        lang=lang or context.obj,
        keep=keep,
        store=store,
    )
    raise typer.Exit(code)


@app.command()
def why(
    context: typer.Context,
    job: JobFile,
    stack: Annotated[str | None, typer.Option(help="Name of a stack in the job.")] = None,
    voice: Annotated[
        str, typer.Option(help="Whom to tell: roofer, sales, owner or engineer.")
    ] = "roofer",
    against: Annotated[
        Path | None, typer.Option(help="Another job: why is it allowed there and not here?")
    ] = None,
    against_stack: Annotated[str | None, typer.Option(help="Name of a stack in that job.")] = None,
    picture: Annotated[
        Path | None, typer.Option(help="Draw the stack with what breaks it to this SVG file.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Show every reason and fact.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print it as data (why/1).")] = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Why a stack is refused: reasons, smallest changes, what would flip it, a picture."""
    from selector.interfaces.cli import why as command

    code = command.explain(
        job,
        stack=stack,
        voice=voice,
        against=against,
        against_stack=against_stack,
        picture=picture,
        every=every,
        as_json=as_json,
        kb=kb,
        lang=lang or context.obj,
    )
    raise typer.Exit(code)


@app.command()
def loads(
    context: typer.Context,
    job: JobFile,
    array: Annotated[str | None, typer.Option(help="Name of an array in the job.")] = None,
    stack: Annotated[
        str | None, typer.Option(help="Show every link of this stack, from module to board.")
    ] = None,
    only: Annotated[
        str | None,
        typer.Option(help="Every line of one topic: wind, snow, weight or combinations."),
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Every line of all four topics.")] = False,
    picture: Annotated[
        Path | None, typer.Option(help="Draw the zones of the wind to this SVG file.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print them as data (loads/1).")] = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Wind, snow and weight on an array, and their design combinations."""
    from selector.interfaces.cli import loads as command

    command.work_out(
        job,
        array=array,
        stack=stack,
        only=only,
        every=every,
        picture=picture,
        as_json=as_json,
        kb=kb,
        lang=lang or context.obj,
    )


@app.command()
def pull(
    context: typer.Context,
    pulls: Annotated[Path, typer.Argument(help="A file of pull tests (pull/1, YAML).")],
    record: Annotated[
        bool, typer.Option("--record", help="Print a draft of a record for the knowledge owner.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print it as data (pull/1).")] = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """What pull tests on clips of one roof show, and what they may not stand for."""
    from selector.interfaces.cli import pull as command

    lang = lang or context.obj
    command.work_out(pulls, record=record, as_json=as_json, kb=kb, lang=lang)


@app.command()
def pair(
    context: typer.Context,
    metals: Annotated[
        list[str] | None,
        typer.Argument(
            help="Two metals with coatings and grade: steel+paint+zinc:Z275. The first is the "
            "upper one. More, or none, for a table of all."
        ),
    ] = None,
    where: Annotated[
        str | None,
        typer.Option(help="on the sheet, between parts, or above: its water runs over the second."),
    ] = None,
    first: Annotated[
        str | None, typer.Option(help="What the first one is: bolt, set screw, rail, sheet, ...")
    ] = None,
    second: Annotated[str | None, typer.Option(help="What the second one is.")] = None,
    small: Annotated[
        str | None, typer.Option(help="Which has far less area: first, second or neither.")
    ] = None,
    between: Annotated[
        str | None, typer.Option(help="nothing, the listed inlay, or something else.")
    ] = None,
    bridged: Annotated[
        str | None, typer.Option(help="Metal round what isolates: set screw or bonding wire.")
    ] = None,
    point: Annotated[
        str | None, typer.Option(help="Point of a screw: cup, flat, oval, ...")
    ] = None,
    washed: Annotated[
        bool, typer.Option("--washed", help="Rain rinses it; without, it lies under modules.")
    ] = False,
    air: Annotated[
        str | None,
        typer.Option(
            help="All there is: clean, or 'sea 5 km, salted road, pool hall, ammonia, soot'."
        ),
    ] = None,
    matrix: Annotated[
        bool, typer.Option("--matrix", help="Every metal with every other, as a table.")
    ] = False,
    table: Annotated[
        Path | None, typer.Option("--csv", help="Write the table to this CSV file too.")
    ] = None,
    picture: Annotated[
        Path | None, typer.Option(help="Draw the table to this SVG or PNG file.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print it as data (pair/1).")] = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Two metals that touch or drip: who corrodes whom, where, and what helps."""
    from selector.interfaces.cli import pair as command
    from selector.questions.pair_typed import Said

    said = Said(where, first, second, small, between, bridged, point, washed)
    want = command.Wanted(matrix, table, picture, as_json)
    lang = lang or context.obj
    raise typer.Exit(command.judge_metals(metals or [], said, air, want, kb=kb, lang=lang))


@app.command()
def layout(
    context: typer.Context,
    job: JobFile,
    stack: Annotated[
        str | None, typer.Option(help="Name of a stack in the job; else the best one found.")
    ] = None,
    array: Annotated[str | None, typer.Option(help="Name of an array in the job.")] = None,
    clamps: Annotated[
        str | None,
        typer.Option(help="Pattern: least, every seam, every second seam or by hand."),
    ] = None,
    picture: Annotated[
        Path | None, typer.Option(help="Draw the plan to this SVG or PNG file.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print it as data (layout/1).")] = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Where rails and clamps go, seam by seam, and what stands against it."""
    from selector.interfaces.cli import layout as command

    code = command.lay(
        job,
        stack=stack,
        array=array,
        clamps=clamps,
        picture=picture,
        as_json=as_json,
        kb=kb,
        lang=lang or context.obj,
    )
    raise typer.Exit(code)


@app.command()
def clips(
    context: typer.Context,
    job: JobFile,
    stack: Annotated[
        str | None, typer.Option(help="Name of a stack in the job; else the best one found.")
    ] = None,
    array: Annotated[str | None, typer.Option(help="Name of an array in the job.")] = None,
    lines: Annotated[
        int | None, typer.Option(help="Rail lines a module, instead of those of the array.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print it as data (clips/1).")] = False,
    picture: Annotated[
        Path | None, typer.Option(help="Draw seams, clips and rail lines to this SVG file.")
    ] = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Heights at which rail lines keep clear of every clip; what else would do where none is."""
    from selector.interfaces.cli import clips as command

    command.find(
        job,
        stack=stack,
        array=array,
        lines=lines,
        as_json=as_json,
        picture=picture,
        kb=kb,
        lang=lang or context.obj,
    )


@app.command()
def kit(
    context: typer.Context,
    job: JobFile,
    stack: Annotated[str | None, typer.Option(help="Name of a stack in the job.")] = None,
    array: Annotated[str | None, typer.Option(help="Name of an array in the job.")] = None,
    preliminary: Annotated[
        bool, typer.Option("--preliminary", help="A rough count that proves nothing.")
    ] = False,
    table: Annotated[
        Path | None, typer.Option("--csv", help="Write the lines to this CSV file too.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print it as data (kit/1).")] = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """What goes into the box for a stack, counted and with reasons, and what must not."""
    from selector.interfaces.cli import kit as command

    command.count(
        job,
        stack=stack,
        array=array,
        preliminary=preliminary,
        into=table,
        as_json=as_json,
        kb=kb,
        lang=lang or context.obj,
    )


@app.command()
def sheet(
    context: typer.Context,
    job: JobFile,
    out: Annotated[Path, typer.Option("--out", help="The HTML file to write.")],
    stack: Annotated[str | None, typer.Option(help="Name of a stack in the job.")] = None,
    array: Annotated[str | None, typer.Option(help="Name of an array in the job.")] = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """The sheet for the roof: one page of HTML that prints on A4."""
    from selector.interfaces.cli import sheet as command

    lang = lang or context.obj
    command.write_sheet(job, out=out, stack=stack, array=array, kb=kb, lang=lang)


@app.command()
def card(
    context: typer.Context,
    job: JobFile,
    out: Annotated[Path, typer.Option("--out", help="The HTML file to write.")],
    stack: Annotated[str | None, typer.Option(help="Name of a stack in the job.")] = None,
    array: Annotated[str | None, typer.Option(help="Name of an array in the job.")] = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """The card for the roof: one page for a phone, with the likely changes judged beforehand."""
    from selector.interfaces.cli import card as command

    lang = lang or context.obj
    command.write_card(job, out=out, stack=stack, array=array, kb=kb, lang=lang)


@app.command()
def ask(
    context: typer.Context,
    job: Annotated[
        Path | None,
        typer.Argument(help="A job file; one that is not there is made. A name is proposed."),
    ] = None,
    roof: Annotated[
        bool, typer.Option("--roof", help="You are on the roof, not on the phone.")
    ] = False,
    by: Annotated[str | None, typer.Option("--by", help="Who answers: a key of `people`.")] = None,
    keep: Keep = False,
    store: StoreFile = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Talk a job through: the question that spares most is asked next; saved after each answer."""
    from selector.interfaces.cli import ask as talk

    lang = lang or context.obj
    code = talk.ask(
        job, mode="roof" if roof else "phone", by=by, kb=kb, lang=lang, keep=keep, store=store
    )
    raise typer.Exit(code)


@app.command()
def recheck(
    context: typer.Context,
    jobs: Annotated[
        list[Path] | None, typer.Argument(help="Job files, or folders with job files.")
    ] = None,
    kept: Annotated[
        bool, typer.Option("--kept", help="The last entries of the store instead of files.")
    ] = False,
    store: StoreFile = None,
    against: Annotated[
        Path | None, typer.Option(help="Folder with kb/ and rules/ as they were before.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="File for a line on each job; goes on where it stopped.")
    ] = None,
    workers: Annotated[
        int | None, typer.Option(help="Processes beside each other; else one a processor.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="List every changed word.")] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print the report as data (recheck/1).")
    ] = False,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Judge many jobs again by a base: which words change, loosenings first."""
    from selector.interfaces.cli import recheck as command

    code = command.run(
        jobs or [],
        kept=kept,
        store=store,
        against=against,
        out=out,
        workers=workers,
        every=every,
        as_json=as_json,
        kb=kb,
        lang=lang or context.obj,
    )
    raise typer.Exit(code)


@kb_app.command("check")
def kb_check(
    context: typer.Context, as_json: Json = False, kb: Kb = None, lang: Lang = None
) -> None:
    """Read the whole base strictly, run every rule case, report every problem."""
    from selector.interfaces.cli import knowledge

    raise typer.Exit(knowledge.check(as_json=as_json, kb=kb, lang=lang or context.obj))


@kb_app.command("handbook")
def kb_handbook(
    into: Annotated[
        Path, typer.Option("--into", help="Folder to write; one that this command wrote, or none.")
    ] = Path("handbook"),
    kb: Kb = None,
) -> None:
    """Write rules, parts, questions, sources and facts of the trade as one folder of pages.

    Open its index.html; it needs no network. In --json each finding of an answer
    names its page there as `page`.
    """
    from selector.interfaces.cli import handbook

    handbook.write(into, kb=kb)


def run() -> None:
    """Entry point: bad input is one clear message and exit 2, never a traceback."""
    from selector.errors import InputError

    gc.disable()  # one answer and the end: what is not collected is given back whole
    try:
        app()
    except InputError as error:
        for problem in error.problems:
            print(f"error: {problem}", file=sys.stderr)
        if len(error.problems) > 1:
            print(f"{len(error.problems)} problems", file=sys.stderr)
        raise SystemExit(2) from None
    except BrokenPipeError:
        sys.stderr.close()
        raise SystemExit(0) from None
    except Exception as error:
        raise SystemExit(_internal(error)) from None


def _internal(error: Exception) -> int:
    """A fault of the program: one message that can be sent in, exit 70, never an answer."""
    import os
    import traceback

    from selector.errors import INTERNAL

    if os.environ.get("SEAMWRIGHT_DEBUG"):
        traceback.print_exception(error)
    last = traceback.extract_tb(error.__traceback__)[-1]
    place = f"{Path(last.filename).name}:{last.lineno}"
    print(f"internal error: {type(error).__name__}: {error} ({place})", file=sys.stderr)
    print(
        f"No answer was given. Send this line, the job file and `seamwright {__version__}`; "
        "SEAMWRIGHT_DEBUG=1 shows more.",
        file=sys.stderr,
    )
    return INTERNAL
