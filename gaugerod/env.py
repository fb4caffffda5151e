"""Read the environment, and refuse nonsense loudly."""

from __future__ import annotations

import os
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

_YES = {"1", "true", "yes", "on"}
_NO = {"0", "false", "no", "off", ""}


def env_text(name: str, default: str) -> str:
    """Return the variable's text, or the default when it is not set."""
    return os.environ.get(name, default)


def env_bool(name: str, *, default: bool) -> bool:
    """Return the variable as yes or no; anything else is refused."""
    value = os.environ.get(name)
    if value is None:
        return default
    if value.strip().lower() in _YES:
        return True
    if value.strip().lower() in _NO:
        return False
    raise ImproperlyConfigured(f"{name} is “{value}”; write true or false.")


def env_int(name: str, default: int) -> int:
    """Return the variable as a whole number; anything else is refused."""
    value = os.environ.get(name)
    if value is None:
        return default
    try:
        return int(value)
    except ValueError as error:
        raise ImproperlyConfigured(f"{name} is “{value}”, not a number.") from error


def env_choice(name: str, default: str, choices: tuple[str, ...]) -> str:
    """Return the variable as one of a few words; anything else is refused."""
    value = env_text(name, default).strip().lower()
    if value in choices:
        return value
    raise ImproperlyConfigured(f"{name} is “{value}”; write {', '.join(choices)}.")


def env_list(name: str, default: str) -> list[str]:
    """Return the variable split at commas, without blanks."""
    return [part.strip() for part in env_text(name, default).split(",") if part.strip()]


def env_secret(name: str) -> str | None:
    """Return a secret from NAME, or from the file that NAME_FILE points to."""
    if name in os.environ:
        return os.environ[name]
    place = os.environ.get(f"{name}_FILE")
    if place is None:
        return None
    try:
        return Path(place).read_text(encoding="utf-8").strip()
    except OSError as error:
        raise ImproperlyConfigured(f"{name}_FILE cannot be read: {error}.") from error
