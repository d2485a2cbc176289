"""The commands of the store: keep, list, show, replay, export, import."""

import sys
from collections.abc import Iterable
from datetime import date
from pathlib import Path

from selector.errors import InputError, near
from selector.explanation.dumped import dumped
from selector.explanation.texts import Texts
from selector.explanation.why.sheet import Sheet
from selector.interfaces.cli.answers import asked_for
from selector.interfaces.cli.keeping import keep as keep_given
from selector.interfaces.cli.keeping import now, open_job, tried
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.waiting import waiting
from selector.jobs.write import try_folder, write_whole
from selector.knowledge.documents import read_texts
from selector.knowledge.loader import load_base
from selector.knowledge.locate import home
from selector.model.truth import Word
from selector.store.answering import asked_of, give
from selector.store.as_json import list_text, replay_data, show_data
from selector.store.bundle import LEAST_KEY, bundle_of, read_bundle, read_key, read_whole
from selector.store.entry import Event
from selector.store.find import Wanted, found, named
from selector.store.place import usual_store
from selector.store.program import program
from selector.store.replay import Knowledge
from selector.store.replay import replay as replay_entry
from selector.store.replay_page import replay_page
from selector.store.shown import SHOWN, list_page, show_page
from selector.store.store import opened


def keep(
    path: Path,
    *,
    stack: str | None,
    act: str | None,
    by: str,
    note: str,
    store: Path | None,
    kb: Path | None,
    lang: str | None,
) -> int:
    """Answer a job and keep it; exit code by verdict."""
    with tried(store) as place:
        job = open_job(path, kb, lang)
        texts = Texts.of(job.base)
        if stack is None and act is None:
            asked = asked_of(job.job)
        else:
            asked = asked_for(job.job, texts, stack, act)
        given = give(job.base, job.job, asked)
        keep_given(given, asked, job, place, by=by, note=note)
        with to_screen() as console:
            given.show(console)
    return given.exit


def list_kept(
    text: str,
    *,
    word: str,
    since: str,
    until: str,
    every: bool,
    as_json: bool,
    store: Path | None,
    lang: str | None,
) -> None:
    """List what is kept."""
    texts = _texts(lang)
    wanted = Wanted(text, _word(word, texts), _date(since, texts), _date(until, texts))
    path = store or usual_store()
    with opened(path) as open_store, to_screen() as console:
        listed = found(open_store, wanted)
        if as_json:
            for piece in list_text(path, listed):
                print(piece, end="")
            print()
            return
        for line in list_page(path, listed, texts, None if every else SHOWN, console.width):
            print(line)


def show(which: str, *, as_json: bool, store: Path | None, lang: str | None) -> None:
    """Show one entry."""
    texts = _texts(lang)
    with opened(store or usual_store()) as open_store, to_screen() as console:
        event = _named(open_store.history(), which, texts)
        if as_json:
            print(dumped(show_data(open_store, event, open_store.history())))
        else:
            every = open_store.history()
            print(show_page(open_store, event, every, texts, console.width), end="")


def replay(
    which: str,
    *,
    only_bytes: bool,
    as_json: bool,
    store: Path | None,
    kb: Path | None,
    lang: str | None,
) -> None:
    """Give an old answer again, and hold today's beside it."""
    texts = _texts(lang)
    if only_bytes and as_json:
        raise InputError.of(texts.say("store.asking.bytes_or_json"))
    with opened(store or usual_store()) as open_store:
        event = _named(open_store.history(), which, texts)
        if only_bytes:
            sys.stdout.flush()
            sys.stdout.buffer.write(open_store.text(event.entry.data))
            return
        today = read_texts(home(kb))
        with waiting(texts.say("store.replay.head")) as tick:
            base = open_store.base(event.entry.base)
            replayed = replay_entry(
                open_store, event.entry, lambda: Knowledge(base), lambda: Knowledge(today), tick
            )
    with to_screen() as console:
        if as_json:
            print(dumped(replay_data(replayed, event, *program())))
        else:
            print(replay_page(replayed, event, texts, console.width), end="")


def export(
    which: str, *, out: Path, key: Path | None, store: Path | None, lang: str | None
) -> None:
    """Write everything that is kept of a job to one file."""
    texts = _texts(lang)
    secret = _key(key, texts)
    try_folder(out)
    with opened(store or usual_store()) as open_store:
        job = _named(open_store.history(), which, texts).entry.job
        mine = [e for e in open_store.history() if e.entry.job == job]
        whole = bundle_of(open_store, job, mine, now(), secret)
    write_whole(whole, out)
    entries = texts.say("store.entries", n=len(mine))
    _say(
        texts.say("store.export.done", job=job, entries=entries, path=out),
        texts.say("store.export.signed" if secret else "store.export.plain"),
    )


def bring_in(file: Path, *, key: Path | None, store: Path | None, lang: str | None) -> None:
    """Bring in an exported job, after all of it was checked."""
    texts = _texts(lang)
    say = texts.say
    bundle = read_bundle(read_whole(file), str(file), _key(key, texts))
    with opened(store or usual_store(), write=True) as open_store:
        for _ in open_store.history():  # nothing is added to a store that does not hold together
            pass
        added = open_store.bring(bundle.entries, bundle.texts, bundle.bases, now())
    kind = "done" if added else "nothing"
    entries = say("store.entries", n=len(added))
    trust = "checked" if bundle.key_checked else "unchecked" if bundle.signed else "plain"
    _say(
        say(f"store.import.{kind}", job=bundle.job, entries=entries, path=file),
        say("store.import.holds"),
        say(f"store.import.{trust}"),
        say("store.import.replay", job=bundle.job),
    )


def _texts(lang: str | None) -> Texts:
    """Texts of the shipped base: what is kept is told by them, whatever base it rests on."""
    return Texts.of(in_language(load_base(None), lang))


def _say(*sentences: str) -> None:
    with to_screen() as console:
        sheet = Sheet(console.width)
        for sentence in sentences:
            sheet.add("", sentence)
        for line in sheet.lines:
            print(line)


def _named(history: Iterable[Event], which: str, texts: Texts) -> Event:
    event = named(history, which)
    if event is None:
        text = texts.say("store.asking.no_entry", which=which)
        raise InputError.of(text, texts.say("store.asking.which"))
    return event


def _word(word: str, texts: Texts) -> str:
    """A word as it is kept, typed in English or in the language of the screen."""
    known = {w.text: w.text for w in Word} | {texts.word(w.text): w.text for w in Word}
    if word and word not in known:
        raise InputError.of(texts.say("store.asking.no_word", word=word), near(word, known))
    return known.get(word, "")


def _date(text: str, texts: Texts) -> str:
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        raise InputError.of(
            texts.say("store.asking.no_date", date=text), texts.say("store.asking.a_date")
        ) from None


def _key(path: Path | None, texts: Texts) -> bytes | None:
    if path is None:
        return None
    key = read_key(path)
    if len(key) < LEAST_KEY:
        text = texts.say("store.asking.key", n=len(key), least=LEAST_KEY)
        raise InputError.of(text, texts.say("store.asking.make_key"), file=str(path))
    return key
