"""A letter on its way: one message to one address, and what its failing means."""

from __future__ import annotations

import re
import smtplib
from email.utils import formataddr, parseaddr

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.core.mail.backends.base import BaseEmailBackend
from django.utils.translation import gettext as _

from materials.models import Business, Outgoing, StoredFile
from materials.services import seeds
from materials.services.keeping import file_bytes
from materials.services.outbox import TOKEN_MARK, one_address

_NAME = re.compile(r"[^A-Za-z0-9._-]+")


class NotSent(Exception):
    """The letter did not go.

    `for_good`: trying again is no use. `may_have_gone`: the line broke after the
    letter was handed over, so that nobody knows.
    """

    def __init__(
        self, why: str, *, for_good: bool = False, may_have_gone: bool = False
    ) -> None:
        super().__init__(why)
        self.why = why
        self.for_good = for_good
        self.may_have_gone = may_have_gone


def message_id(row: Outgoing) -> str:
    """Return a letter's Message-ID: the same however often it is sent."""
    domain = parseaddr(settings.DEFAULT_FROM_EMAIL)[1].rpartition("@")[2]
    return f"<{row.uid}@{domain or 'localhost'}>"


def message_of(
    row: Outgoing, business: Business | None, enclosed: StoredFile | None
) -> EmailMessage:
    """Return a row as a message, its private address set in.

    Raises: NotSent where that address would open nothing.
    """
    body = row.body
    if row.seed:
        if not seeds.is_ours(row.seed):
            raise NotSent(seeds.why_not_ours(), for_good=True)
        body = body.replace(TOKEN_MARK, seeds.token_of_seed(row.seed))
    sender = parseaddr(settings.DEFAULT_FROM_EMAIL)[1]
    name = " ".join(business.name.split()) if business else ""
    message = EmailMessage(
        subject=row.subject,
        body=body,
        from_email=formataddr((name, sender)) if name else sender,
        to=[one_address(row.recipient)],
        reply_to=[business.email] if business and business.email else None,
        headers={"Message-ID": message_id(row)},
    )
    if enclosed is not None:
        name = _NAME.sub("-", enclosed.original_name)[-80:] or "paper.pdf"
        message.attach(name, file_bytes(enclosed), enclosed.media_type)
    return message


def open_line() -> BaseEmailBackend:
    """Return an open connection to the mail server.

    Raises: NotSent; nothing can have gone.
    """
    line = get_connection()
    try:
        line.open()
    except smtplib.SMTPAuthenticationError as error:
        raise NotSent(
            _("The mail server does not take our name and password: %(said)s")
            % {"said": _said(error)}
        ) from error
    except (smtplib.SMTPException, OSError) as error:
        raise NotSent(
            _("The mail server cannot be reached: %(said)s") % {"said": _said(error)}
        ) from error
    return line


def send(line: BaseEmailBackend, message: EmailMessage) -> None:
    """Hand one message over.

    Raises: NotSent.
    """
    try:
        line.send_messages([message])
    except smtplib.SMTPRecipientsRefused as error:
        codes = [code for code, _words in error.recipients.values()]
        raise NotSent(
            _("The mail server does not take this address: %(said)s")
            % {"said": _said(error)},
            for_good=all(code >= 500 for code in codes),
        ) from error
    except smtplib.SMTPResponseException as error:
        raise NotSent(
            _("The mail server refused the letter: %(said)s") % {"said": _said(error)},
            for_good=error.smtp_code >= 500,
        ) from error
    except (smtplib.SMTPException, OSError) as error:
        raise NotSent(
            _("The line broke while the letter was handed over: %(said)s")
            % {"said": _said(error)},
            may_have_gone=True,
        ) from error


def hang_up(line: BaseEmailBackend) -> None:
    """Close the connection; a letter that went has gone, whatever is said now."""
    try:
        line.close()
    except (smtplib.SMTPException, OSError):
        return


def _said(error: Exception) -> str:
    """Return what the server said, in one short line."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        replies = [f"{code} {_text(said)}" for code, said in error.recipients.values()]
        return "; ".join(replies)[:160]
    if isinstance(error, smtplib.SMTPResponseException):
        return f"{error.smtp_code} {_text(error.smtp_error)}"[:160]
    return (str(error) or type(error).__name__)[:160]


def _text(said: bytes | str) -> str:
    text = said.decode("utf-8", "replace") if isinstance(said, bytes) else said
    return " ".join(text.split())
