"""Which passwords are taken: Django asks this of every new one, beside its length."""

from __future__ import annotations

from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError
from django.utils.functional import cached_property
from django.utils.translation import gettext as _

from materials import queries
from materials.core import passwords
from materials.models import Business, Person

MOST_LETTERS = 256
"""More than anybody types, and not so many that hashing them is a burden."""


class NotTooLong:
    """So many letters and no more: hashing an endless password would stop the rest."""

    def validate(self, password: str, user: Person | None = None) -> None:
        """Refuse what is longer than can be kept.

        Raises: ValidationError.
        """
        if len(password) > MOST_LETTERS:
            raise ValidationError(
                _("This password has %(count)s signs; %(most)s at most are kept.")
                % {"count": len(password), "most": MOST_LETTERS}
            )

    def get_help_text(self) -> str:
        """Return the rule as a sentence."""
        return _("At most %(most)s signs.") % {"most": MOST_LETTERS}


class NoSecret:
    """Long and still no secret: repeated, a row of keys, common, or our own words."""

    @cached_property
    def common(self) -> set[str]:
        """Passwords that many people have, as Django lists them."""
        return set(CommonPasswordValidator().passwords)

    def validate(self, password: str, user: Person | None = None) -> None:
        """Refuse what a stranger would try early.

        Raises: ValidationError, with a sentence that says why.
        """
        if passwords.is_said_over(password):
            raise ValidationError(
                _("This password says one thing over and over; a guess finds it soon.")
            )
        if passwords.is_a_row(password):
            raise ValidationError(
                _("This password walks along the alphabet, the digits or the keys.")
            )
        if passwords.heart_of(password) in self.common:
            raise ValidationError(
                _("Without its digits and signs this is a password many people have.")
            )
        left = passwords.own_part(
            password, known=_known_words(user, queries.business())
        )
        whole = passwords.own_part(password, known=())
        if left < passwords.LEAST_OF_ITS_OWN and left < whole:
            raise ValidationError(
                _(
                    "Beside names that anybody would try here, %(count)s letters and "
                    "digits are left; it takes at least %(least)s."
                )
                % {"count": left, "least": passwords.LEAST_OF_ITS_OWN}
            )

    def get_help_text(self) -> str:
        """Return the rule as a sentence."""
        return _("No name of yours or of the business, and nothing repeated.")


def _known_words(user: Person | None, business: Business | None) -> list[str]:
    texts = ["gaugerod"]
    if user is not None:
        texts += [user.username, user.first_name, user.last_name, user.email]
    if business is not None:
        texts += [business.name, business.trade_line, business.email]
    return passwords.words_of(*texts)
