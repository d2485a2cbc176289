"""The commands of the store: names, help and options only."""

from pathlib import Path
from typing import Annotated

import typer

from selector.interfaces.cli.options import (
    AsData,
    By,
    JobFile,
    Kb,
    KeyFile,
    Lang,
    Note,
    StoreFile,
    Which,
)

jobs_app = typer.Typer(
    help="Kept answers: list, show, replay with the old knowledge, take along as one file.",
    rich_markup_mode=None,
    no_args_is_help=True,
)


@jobs_app.command("keep")
def keep(
    context: typer.Context,
    job: JobFile,
    stack: Annotated[str | None, typer.Option(help="Name of a stack in the job.")] = None,
    act: Annotated[str | None, typer.Option(help="Something somebody wants to do.")] = None,
    by: By = "",
    note: Note = "",
    store: StoreFile = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """Answer a job and keep it: the job, the answer, the knowledge it rests on."""
    from selector.interfaces.cli import jobs

    lang = lang or context.obj
    code = jobs.keep(job, stack=stack, act=act, by=by, note=note, store=store, kb=kb, lang=lang)
    raise typer.Exit(code)


@jobs_app.command("list")
def list_jobs(
    context: typer.Context,
    text: Annotated[
        str, typer.Argument(help="Only entries with this text in job, answer or note.")
    ] = "",
    word: Annotated[str, typer.Option(help="Only answers of this word.")] = "",
    since: Annotated[str, typer.Option(help="Only kept on this day (2031-03-14) or later.")] = "",
    until: Annotated[str, typer.Option(help="Only kept on this day or before.")] = "",
    every: Annotated[bool, typer.Option("--all", help="Every entry, not only 20.")] = False,
    as_json: AsData = False,
    store: StoreFile = None,
    lang: Lang = None,
) -> None:
    """What is kept, newest first, its chain of hashes checked."""
    from selector.interfaces.cli import jobs

    jobs.list_kept(
        text,
        word=word,
        since=since,
        until=until,
        every=every,
        as_json=as_json,
        store=store,
        lang=lang or context.obj,
    )


@jobs_app.command("show")
def show(
    context: typer.Context,
    which: Which,
    as_json: AsData = False,
    store: StoreFile = None,
    lang: Lang = None,
) -> None:
    """One kept answer, with the history of its job."""
    from selector.interfaces.cli import jobs

    jobs.show(which, as_json=as_json, store=store, lang=lang or context.obj)


@jobs_app.command("replay")
def replay(
    context: typer.Context,
    which: Which,
    only_bytes: Annotated[
        bool, typer.Option("--bytes", help="Print the kept answer/1 alone, byte for byte.")
    ] = False,
    as_json: AsData = False,
    store: StoreFile = None,
    kb: Kb = None,
    lang: Lang = None,
) -> None:
    """The old answer with the old knowledge, and what today's says and why it differs."""
    from selector.interfaces.cli import jobs

    lang = lang or context.obj
    jobs.replay(which, only_bytes=only_bytes, as_json=as_json, store=store, kb=kb, lang=lang)


@jobs_app.command("export")
def export(
    context: typer.Context,
    which: Which,
    out: Annotated[Path, typer.Option("--out", help="The file to write.")],
    key: KeyFile = None,
    store: StoreFile = None,
    lang: Lang = None,
) -> None:
    """Everything kept of a job as one file: answers, papers, history, knowledge, hashes."""
    from selector.interfaces.cli import jobs

    jobs.export(which, out=out, key=key, store=store, lang=lang or context.obj)


@jobs_app.command("import")
def import_job(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="A file that `jobs export` wrote.")],
    key: KeyFile = None,
    store: StoreFile = None,
    lang: Lang = None,
) -> None:
    """Bring in an exported job; all of it is checked before anything is written."""
    from selector.interfaces.cli import jobs

    jobs.bring_in(file, key=key, store=store, lang=lang or context.obj)
