"""Forms of signing in."""

from __future__ import annotations

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _

MOST_LETTERS = 256
"""Of a password: more than anybody types, and not so many that hashing them costs."""


class SignInForm(AuthenticationForm):
    """Name and password, as they were typed."""

    password = forms.CharField(
        label=_("Password"),
        strip=False,
        max_length=MOST_LETTERS,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
