"""Verbs written once: asked in turn they return their answer, beside other work it is awaited.

A verb says by its steps what is done. Which of the two its caller gets is seen from the connection
of the thing it is asked of, by a type checker too.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Coroutine, Iterator
from functools import update_wrapper
from types import MethodType
from typing import Any, Concatenate, Generic, ParamSpec, Self, TypeVar, overload

from mouldwright.client.asking import Asking
from mouldwright.client.async_connection import AsyncConnection
from mouldwright.client.connection import Connection
from mouldwright.client.steps import Steps, Tells

P = ParamSpec("P")
T = TypeVar("T")
C = TypeVar("C", bound=Asking)


class Verbs(Generic[C]):
    """What can be asked of one thing the service keeps."""

    def __init__(self, connection: C, path: str) -> None:
        """Keep who asks, and where."""
        self._connection, self._path = connection, path


class Verb(Generic[P, T]):
    """A verb with one answer."""

    def __init__(self, described: Callable[Concatenate[Any, P], Steps[T]]) -> None:
        """Keep the steps it takes."""
        self._described = described
        self.__doc__ = described.__doc__

    @overload
    def __get__(self, at: None, of: type) -> Self: ...
    @overload
    def __get__(self, at: Verbs[Connection], of: type) -> Callable[P, T]: ...
    @overload
    def __get__(
        self, at: Verbs[AsyncConnection], of: type
    ) -> Callable[P, Coroutine[Any, Any, T]]: ...
    def __get__(self, at: Verbs[Any] | None, of: type) -> Any:
        """Return it as it is asked of a thing."""
        return self if at is None else _bound(self._described, at, at._connection.run)


class Told(Generic[P, T]):
    """A verb with one answer after another, as they come."""

    def __init__(self, described: Callable[Concatenate[Any, P], Tells[T]]) -> None:
        """Keep the steps it takes."""
        self._described = described
        self.__doc__ = described.__doc__

    @overload
    def __get__(self, at: None, of: type) -> Self: ...
    @overload
    def __get__(self, at: Verbs[Connection], of: type) -> Callable[P, Iterator[T]]: ...
    @overload
    def __get__(self, at: Verbs[AsyncConnection], of: type) -> Callable[P, AsyncIterator[T]]: ...
    def __get__(self, at: Verbs[Any] | None, of: type) -> Any:
        """Return it as it is asked of a thing."""
        return self if at is None else _bound(self._described, at, at._connection.told)


def _bound(described: Callable[..., Any], at: object, asked: Callable[[Any], Any]) -> Any:
    steps = MethodType(described, at)

    def ask(*args: Any, **more: Any) -> Any:
        return asked(steps(*args, **more))

    return update_wrapper(ask, steps)
