"""Which keys may stand at a place of a document: for messages that name the nearest one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from mouldwright.wire.model import Model

_KINDS = ("shape", "kind")


def fields_at(model: type[Model], document: Any, path: Sequence[str | int]) -> dict[str, FieldInfo]:
    """Return the keys that may stand in the table at a path, with what is known of each.

    Args:
        model: The model of the whole document.
        document: The document as written, which says which kind of table stands where.
        path: Keys and places in lists that lead to the table.
    """
    annotation: Any = model
    node = document
    for segment in path:
        annotation = _below(annotation, segment, node)
        try:
            node = node[segment]
        except (KeyError, IndexError, TypeError):
            node = None
    table = _table(annotation, node)
    if table is None:
        return {}
    return {info.alias or name: info for name, info in table.model_fields.items()}


def _options(annotation: Any) -> tuple[Any, ...]:
    if get_origin(annotation) is Annotated:
        return _options(get_args(annotation)[0])
    if get_origin(annotation) in {Union, UnionType}:
        return tuple(o for a in get_args(annotation) for o in _options(a) if o is not NoneType)
    return (annotation,)


def _table(annotation: Any, node: Any) -> type[Model] | None:
    models = [o for o in _options(annotation) if isinstance(o, type) and issubclass(o, Model)]
    if len(models) == 1:
        return models[0]
    for kind in _KINDS:
        written = node.get(kind) if isinstance(node, Mapping) else None
        for model in models:
            info = model.model_fields.get(kind)
            if info is not None and written in get_args(info.annotation):
                return model
    return None


def _below(annotation: Any, segment: str | int, node: Any) -> Any:
    table = _table(annotation, node)
    if table is not None:
        for name, info in table.model_fields.items():
            if segment == (info.alias or name):
                return info.annotation
        return None
    wanted = list if isinstance(segment, int) else dict
    for option in _options(annotation):
        if get_origin(option) is wanted:
            return get_args(option)[-1]
    return None
