"""What every table of a site file has in common, and which keys of tables are read meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache, wraps
from typing import Any, ParamSpec, Self, TypeVar

from pydantic import BaseModel, ConfigDict

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")

Key = tuple[type["Table"], str]
"""A key of any table of a kind."""

READ: ContextVar[set[Key] | None] = ContextVar("READ", default=None)
"""Keys that were read since somebody began to note them; None where nobody does."""

EVERY = "__dict__"
"""Read of a table to compare or to hash it: all of its keys."""

GIVEN = "__pydantic_fields_set__"
"""Read of a table to learn which of its keys the file gave."""

unnoted = object.__getattribute__
"""Reads an attribute of a table without noting it."""

_set = object.__setattr__


class Table(BaseModel):
    """A table of a site file: frozen, and an unknown key is a mistake.

    What is read of it is noted within `keys_read`.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    def __getattribute__(self, name: str) -> Any:
        noted = READ.get()
        if noted is not None:
            noted.add((type(self), name))
        return unnoted(self, name)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy with other values; no key of either is read for it.

        Parameters:
            deep: never, as what a table holds is frozen like itself
        """
        assert not deep, "what a table holds is frozen"
        changes, copied = update or {}, type(self).__new__(type(self))
        _set(copied, EVERY, {**unnoted(self, EVERY), **changes})
        _set(copied, GIVEN, {*unnoted(self, GIVEN), *changes})
        _set(copied, "__pydantic_extra__", None)
        _set(copied, "__pydantic_private__", None)
        return copied


@contextmanager
def keys_read() -> Iterator[set[Key]]:
    """Note which keys of any table are read within a block.

    Returns:
        for the length of the block, what was read so far, names of methods among it
    """
    read: set[Key] = set()
    before = READ.set(read)
    try:
        yield read
    finally:
        READ.reset(before)
        note_read(read)


@contextmanager
def nothing_noted() -> Iterator[None]:
    """Note no key within a block, by who need not learn of them: it takes a tenth of the time."""
    before = READ.set(None)
    try:
        yield
    finally:
        READ.reset(before)


def note_read(keys: Iterable[Key]) -> None:
    """Note that some keys were read, where what was made from them is used again.

    Parameters:
        keys: as of `keys_read`
    """
    noted = READ.get()
    if noted is not None:
        noted.update(keys)


def made_once(work: Callable[Asked, Answer]) -> Callable[Asked, Answer]:
    """A function of tables that is asked many times in a row of the very same ones.

    Returns:
        what gives the last answers again, and notes again what they read
    """

    @lru_cache(16)
    def made(*asked: _Itself) -> tuple[Answer, frozenset[Key]]:
        with keys_read() as keys:
            answer = work(*(share.thing for share in asked))  # type: ignore[call-arg]
        return answer, frozenset(keys)

    @wraps(work)
    def once(*asked: Asked.args, **named: Asked.kwargs) -> Answer:
        assert not named, "arguments stand in their places"
        answer, keys = made(*map(_Itself, asked))
        note_read(keys)
        return answer

    return once


class _Itself:
    """Something told apart by which it is, not by what it is like: to hash a table takes longer
    than most of what is made of it."""

    __slots__ = ("thing",)

    def __init__(self, thing: Any) -> None:
        self.thing = thing

    def __hash__(self) -> int:
        return id(self.thing)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Itself) and self.thing is other.thing
