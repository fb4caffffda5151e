"""No line of a log holds the secret of a private link."""

from __future__ import annotations

import logging

import pytest
from django.test import Client as Browser

from gaugerod.logs import WithoutSecrets

pytestmark = pytest.mark.django_db

TOKEN = "Zk3-x_9qPm7LtR2wYv8aNc4dHs6fJg1b"


def said(text: str, *values: object) -> str:
    record = logging.LogRecord("django.request", 30, "", 0, text, values, None)
    assert WithoutSecrets().filter(record)
    return record.getMessage()


def test_a_path_that_is_not_found_is_logged_without_its_token(
    caplog: pytest.LogCaptureFixture,
) -> None:
    caplog.handler.addFilter(WithoutSecrets())

    answer = Browser().get(f"/o/{TOKEN}/")

    assert answer.status_code == 404
    assert "/o/(secret)/" in caplog.text
    assert TOKEN not in caplog.text


def test_every_line_of_every_handler_passes_the_filter() -> None:
    names = [None, "django", "django.request", "django.server"]
    handlers = [one for name in names for one in logging.getLogger(name).handlers]
    ours = [one for one in handlers if type(one) is logging.StreamHandler]

    assert ours
    for handler in ours:
        assert any(isinstance(one, WithoutSecrets) for one in handler.filters)


def test_a_request_line_and_a_traceback_s_path_lose_it_alike() -> None:
    assert said('"GET /o/%s/paper.pdf HTTP/1.1" 500 12', TOKEN) == (
        '"GET /o/(secret)/paper.pdf HTTP/1.1" 500 12'
    )
    assert said("Good day, /visits/7/") == "Good day, /visits/7/"
