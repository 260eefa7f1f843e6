"""Function keys F0..F28 (trade)."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from pydantic import AfterValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

KEYS: tuple[str, ...] = tuple(f"F{number}" for number in range(29))
"""The keys of the function instructions. Source: NMRA S-9.2.1 (2012), F0 (FL) to F28."""

ALWAYS = "always"
"""A lamp that needs no key."""


def _known_key(text: str) -> str:
    if text not in KEYS:
        raise PydanticCustomError(
            "key", "is not a function key", {"allowed": "F0 to F28", "choices": KEYS}
        )
    return text


def _key_or_always(text: str) -> str:
    if text not in KEYS and text != ALWAYS:
        raise PydanticCustomError(
            "key",
            "is not a function key",
            {"allowed": 'F0 to F28, or "always"', "choices": (*KEYS, ALWAYS)},
        )
    return text


Key = Annotated[str, AfterValidator(_known_key), WithJsonSchema({"enum": list(KEYS)})]
KeyOrAlways = Annotated[
    str, AfterValidator(_key_or_always), WithJsonSchema({"enum": [*KEYS, ALWAYS]})
]


def key_words(key: str, before: str = "") -> str:
    """A key in a sentence, with what goes `before` one; else `lit without a key`."""
    return "lit without a key" if key == ALWAYS else f"{before}{key}"


def key_order(key: str) -> int:
    """Sort order: always first, then F0, F1 ... F28."""
    return -1 if key == ALWAYS else int(key[1:])


def sorted_keys(keys: Iterable[str]) -> tuple[str, ...]:
    """Keys as F0, F1 ... F28."""
    return tuple(sorted(keys, key=key_order))


def all_of(keys: Iterable[str]) -> str:
    """`F1, F2 and F3`; empty if there is none."""
    *most, last = sorted_keys(keys) or ("",)
    return f"{', '.join(most)} and {last}" if most else last


def keys_text(keys: Iterable[str]) -> str:
    """`F1, F2`, or `no key`."""
    return ", ".join(sorted_keys(keys)) or "no key"
