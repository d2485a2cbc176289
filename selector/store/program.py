"""Which program answers: its version, and a digest of its source, since a version spans changes."""

from functools import cache
from hashlib import sha256
from pathlib import Path

from selector import __version__

SOURCE = Path(__file__).resolve().parent.parent


@cache
def code_digest() -> str:
    """SHA-256 over every source file of the program, by name."""
    total = sha256()
    for path in sorted(SOURCE.rglob("*.py")):
        data = path.read_bytes()
        total.update(f"{path.relative_to(SOURCE).as_posix()}\n{len(data)}\n".encode() + data)
    return total.hexdigest()


def program() -> tuple[str, str]:
    """Version and digest of the source."""
    return __version__, code_digest()
