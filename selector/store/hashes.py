"""Hashes of texts, and the chain that ties each entry to the one before."""

import hashlib
import hmac
import json
from typing import Any


def canonical(data: Any) -> bytes:
    """The same bytes for equal data, whatever the order of its keys."""
    text = json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return text.encode("utf-8")


def hash_of(data: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def linked(before: str, data: Any) -> str:
    """Hash of data and of what came before it; the first has nothing before it."""
    return hash_of(f"{before}\n".encode() + canonical(data))


def sealed(data: bytes, key: bytes) -> str:
    """HMAC-SHA-256 in hexadecimal: only who has the key can make it."""
    return hmac.new(key, data, hashlib.sha256).hexdigest()


def same(one: str, other: str) -> bool:
    """Whether two hashes are equal, in a time that tells nothing of them."""
    return hmac.compare_digest(one.encode(), other.encode())
