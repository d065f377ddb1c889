"""Reading a JSON request: every key known, every value of its kind, or a refusal."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from occlusion.errors import BadRequest, kind_of, shorten

LARGEST_BYTES = 10_000_000
"""A larger request is refused unread."""

LONGEST_LIST = 10_000
"""A longer list is refused."""

REQUIRED = object()
"""Marks a key without a default."""


def read_json(raw: bytes) -> Any:
    """The request as plain values.

    Raises
    ------
    BadRequest
        Empty, too large, not UTF-8, not JSON, nested too deeply, or a key given twice.
    """
    if len(raw) > LARGEST_BYTES:
        raise BadRequest(
            f"The request is larger than {LARGEST_BYTES // 1_000_000} MB. Send less at a time.",
            limit=LARGEST_BYTES,
        )
    if not raw.strip():
        raise BadRequest("The request is empty. Send one JSON object on standard input.")
    try:
        return json.loads(raw.decode("utf-8-sig"), object_pairs_hook=_once)
    except UnicodeDecodeError as error:
        raise BadRequest(
            f"The request is not UTF-8 text (byte {error.start}). Save it as UTF-8 and send "
            "it again."
        ) from error
    except RecursionError as error:
        raise BadRequest(
            "The request is nested too deeply. Send the object that the verb describes."
        ) from error
    except json.JSONDecodeError as error:
        raise BadRequest(
            f"The request is not JSON: line {error.lineno}, column {error.colno}. "
            "Send one JSON object."
        ) from error
    except ValueError as error:
        if isinstance(error, BadRequest):
            raise
        raise BadRequest(
            "The request holds a number with too many digits. Enter numbers such as 12.5."
        ) from error


def take(value: object, *, field: str, keys: Mapping[str, object]) -> dict[str, Any]:
    """The values of an object whose keys are all known.

    Parameters
    ----------
    value : object
        What was sent.
    field : str
        Its name in refusals, empty for the request itself.
    keys : mapping of str to object
        Each key with its default, or ``REQUIRED``.

    Raises
    ------
    BadRequest
    """
    name = f"Key {field}" if field else "The request"
    if not isinstance(value, dict):
        raise BadRequest(
            f"{name} is {kind_of(value)}, not an object. Send {{...}} with the keys "
            f"{', '.join(keys)}.",
            field=field,
            limit=list(keys),
        )
    for key in value:
        if key not in keys:
            raise BadRequest(
                f"{name} has the unknown key {shorten(key)!r}. Use only: {', '.join(keys)}.",
                field=_join(field, shorten(key)),
                limit=list(keys),
            )
    for key, default in keys.items():
        if default is REQUIRED and key not in value:
            raise BadRequest(
                f"Key {_join(field, key)} is missing. Add it to the request.",
                field=_join(field, key),
            )
    return {key: value.get(key, default) for key, default in keys.items()}


def take_list(
    value: object, *, field: str, most: int = LONGEST_LIST, exactly: int | None = None
) -> Sequence[Any]:
    """A list of a length that can be handled.

    Parameters
    ----------
    value : object
        What was sent.
    field : str
        Its name in refusals.
    most : int
        Entries at most.
    exactly : int, optional
        Entries that it must have.

    Raises
    ------
    BadRequest
    """
    if not isinstance(value, list):
        raise BadRequest(f"Key {field} is {kind_of(value)}, not a list. Send [...].", field=field)
    if exactly is not None and len(value) != exactly:
        raise BadRequest(
            f"Key {field} holds {len(value)} entries. Send {exactly}.",
            field=field,
            value=len(value),
            limit=exactly,
        )
    if len(value) > most:
        raise BadRequest(
            f"Key {field} holds {len(value)} entries. Send at most {most} at a time.",
            field=field,
            value=len(value),
            limit=most,
        )
    return value


def take_text(value: object, *, field: str) -> str:
    """A text that is not empty.

    Raises
    ------
    BadRequest
    """
    if not isinstance(value, str) or not value.strip():
        raise BadRequest(f"Key {field} is {kind_of(value)}. Enter a name as text.", field=field)
    return value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise BadRequest(
                f"The key {shorten(key)!r} is given twice in one object. Give it once.",
                field=shorten(key),
            )
        found[key] = value
    return found


def _join(field: str, key: str) -> str:
    return f"{field}.{key}" if field else key
