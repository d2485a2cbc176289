"""Read the files of a knowledge base, with a cache of parsed documents keyed by digest."""

import hashlib
import json
import os
from contextlib import suppress
from pathlib import Path

from selector.errors import InputError, Problem
from selector.knowledge.locate import Home
from selector.knowledge.yaml_reader import Document, read_string, read_text

FORMAT = "documents/1"
FILES = ("**/*.yaml", "questions/drawings/*.svg", "questions/drawings/*.txt")


def read_texts(home: Home) -> dict[str, str]:
    """Text of every file of a base by its shown name; every unreadable one is reported."""
    texts: dict[str, str] = {}
    problems: list[Problem] = []
    for top, folder in (("kb", home.kb), ("rules", home.rules)):
        for path in sorted(p for pattern in FILES for p in folder.glob(pattern)):
            name = f"{top}/{path.relative_to(folder).as_posix()}"
            if "/retired/" in name:
                continue
            try:
                texts[name] = read_text(path, name)
            except InputError as error:
                problems.extend(error.problems)
    if problems:
        raise InputError(problems)
    return texts


def read_documents(home: Home) -> tuple[str, dict[str, Document]]:
    """Digest of all files, and their documents by shown name; every bad file is reported."""
    return documents_of(read_texts(home))


def documents_of(texts: dict[str, str]) -> tuple[str, dict[str, Document]]:
    """Digest of the texts of a base, and their documents; every bad one is reported."""
    problems: list[Problem] = []
    digest = digest_of(texts)
    cached = _from_cache(digest)
    if cached is not None:
        return digest, cached
    documents: dict[str, Document] = {}
    for name, text in texts.items():
        try:
            is_yaml = name.endswith(".yaml")
            documents[name] = read_string(text, name) if is_yaml else Document(name, text)
        except InputError as error:
            problems.extend(error.problems)
    if problems:
        raise InputError(problems)
    _to_cache(digest, documents)
    return digest, documents


def digest_of(texts: dict[str, str]) -> str:
    """SHA-256 over names and texts in order."""
    total = hashlib.sha256()
    for name in sorted(texts):
        for part in (name, texts[name]):
            data = part.encode()
            total.update(len(data).to_bytes(8, "big") + data)
    return total.hexdigest()


def cache_folder() -> Path:
    """The user's cache folder for this program."""
    root = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(root) / "seamwright"


def _cache_file(digest: str) -> Path:
    return cache_folder() / f"{digest}.json"


def _from_cache(digest: str) -> dict[str, Document] | None:
    """Documents of a cache file; anything unexpected counts as no cache."""
    try:
        data = json.loads(_cache_file(digest).read_text(encoding="utf-8"))
        if data["format"] != FORMAT or data["digest"] != digest:
            return None
        body = data["documents"]
        if hashlib.sha256(body.encode()).hexdigest() != data["check"]:
            return None
        return {n: Document(n, d["data"], d["lines"]) for n, d in json.loads(body).items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _to_cache(digest: str, documents: dict[str, Document]) -> None:
    """Best effort: a cache that cannot be written is no error."""
    body = json.dumps({n: {"data": d.data, "lines": d.lines} for n, d in documents.items()})
    check = hashlib.sha256(body.encode()).hexdigest()
    whole = {"format": FORMAT, "digest": digest, "check": check, "documents": body}
    target = _cache_file(digest)
    temporary = target.with_suffix(f".{os.getpid()}.tmp")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        temporary.write_text(json.dumps(whole), encoding="utf-8")
        temporary.replace(target)
    except OSError:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)
