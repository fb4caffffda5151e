"""One JSON object read exactly: numbers from their text, keys once, errors in words.

Every file door of the cores starts here: no number passes through binary floating
point, nothing unknown is let by, and what is wrong is said with the key it stands at.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError, best_match

from materials.core.errors import NotANumber, OutOfRange, Refusal
from materials.core.quantities import parse_number

_NUMBER = re.compile(r"-?[0-9]{1,15}(\.[0-9]{1,15})?([eE][-+]?[0-9]{1,2})?")
_LONGEST_WHOLE = 16

_RULES = {
    "minimum": "enter {} or more",
    "maximum": "enter {} or less",
    "minItems": "list at least {}",
    "maxItems": "list at most {}",
    "minLength": "write at least {} letter",
    "maxLength": "write at most {} letters",
    "enum": "write one of {}",
    "const": "write {}",
    "type": "write {}",
}


def parsed_object(text: str) -> dict[str, Any]:
    """Return the object a JSON text holds, its numbers as ints and Fractions.

    Raises: Refusal for a text that is no JSON object, a key that stands twice, a
    number that is none or has more than fifteen digits.
    """
    try:
        data = json.loads(
            text,
            parse_float=_exact,
            parse_int=_whole,
            parse_constant=_never,
            object_pairs_hook=_once,
        )
        _refuse_unread(data, "")
    except json.JSONDecodeError as error:
        raise Refusal(
            f"The file is not JSON: line {error.lineno}, column {error.colno}."
        ) from None
    except RecursionError:
        raise Refusal("The file is nested too deeply.") from None
    if not isinstance(data, dict):
        raise Refusal("The file must hold one JSON object.")
    return data


@dataclass(frozen=True, slots=True)
class _Unread:
    """A number that cannot be taken; its key is known only once all is parsed."""

    sentence: str


def _exact(number: str) -> Fraction | _Unread:
    if not _NUMBER.fullmatch(number):
        return _Unread(f"“{number[:40]}” has too many digits; shorten it.")
    return Fraction(number)


def _whole(number: str) -> int | _Unread:
    if len(number) > _LONGEST_WHOLE:
        return _Unread(f"“{number[:40]}” has too many digits; shorten it.")
    return int(number)


def _never(word: str) -> _Unread:
    return _Unread(f"“{word}” is not a number.")


def _refuse_unread(value: Any, field: str) -> None:
    if isinstance(value, dict):
        for key, one in value.items():
            _refuse_unread(one, f"{field}.{key}".lstrip("."))
    elif isinstance(value, list):
        for index, one in enumerate(value):
            _refuse_unread(one, f"{field}[{index}]")
    elif isinstance(value, _Unread):
        raise NotANumber(value.sentence, field=field)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise OutOfRange("The key stands twice; keep one.", field=key)
        found[key] = value
    return found


def exact_number(value: Any, *, field: str) -> Fraction:
    """Return a number of a file: a JSON number, or a text such as `12 1/2`.

    Raises: NotANumber, naming the key.
    """
    if isinstance(value, str):
        try:
            return parse_number(value)
        except NotANumber as refusal:
            raise refusal.at(field) from None
    return Fraction(value)


def check_schema(data: Mapping[str, Any], schema: Mapping[str, Any]) -> None:
    """Check an object against a JSON Schema.

    Raises: OutOfRange with the key in `field` and what may stand there.
    """
    error = best_match(Draft202012Validator(dict(schema)).iter_errors(data))
    if error is not None:
        raise _refusal(error)


def _refusal(error: ValidationError) -> Refusal:
    field = ""
    for step in error.absolute_path:
        field += f"[{step}]" if isinstance(step, int) else f".{step}"
    field = field.lstrip(".")
    wanted: Any = error.validator_value
    keys: Any = error.instance
    if error.validator == "required":
        missing = next(key for key in wanted if key not in keys)
        return OutOfRange(
            "This key is missing; add it.", field=f"{field}.{missing}".lstrip(".")
        )
    if error.validator == "additionalProperties":
        known = dict(error.schema)["properties"]  # type: ignore[arg-type]
        extra = next(key for key in keys if key not in known)
        return OutOfRange(
            f"No such key; known are {', '.join(known)}.",
            field=f"{field}.{extra}".lstrip("."),
        )
    value = json.dumps(error.instance, default=str, ensure_ascii=False)[:40]
    if isinstance(wanted, list):
        wanted = " or ".join(str(one) for one in wanted)
    rule = _RULES.get(str(error.validator), "see the schema").format(wanted)
    return OutOfRange(f"{value} cannot be used; {rule}.", field=field)
