"""Forms of signing in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _

from materials.services.passwords import MOST_LETTERS

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


def password_field(label: StrOrPromise, *, new: bool = False) -> forms.CharField:
    """Return a field that takes a password as it is typed, blanks at its ends too."""
    complete = "new-password" if new else "current-password"
    return forms.CharField(
        label=label,
        strip=False,
        max_length=MOST_LETTERS,
        widget=forms.PasswordInput(attrs={"autocomplete": complete}),
    )


class SignInForm(AuthenticationForm):
    """Name and password, as they were typed."""

    password = password_field(_("Password"))
    keep = forms.BooleanField(label=_("This is my own phone"), required=False)


class OwnPasswordForm(forms.Form):
    """Another password in place of the present one."""

    old = password_field(_("Present password"))
    new = password_field(_("New password"), new=True)
    again = password_field(_("New password once more"), new=True)

    def clean_again(self) -> str:
        """Check that both were typed alike."""
        again = str(self.cleaned_data["again"])
        if "new" in self.cleaned_data and again != self.cleaned_data["new"]:
            raise forms.ValidationError(
                _("This is not what stands in the field above; type both again.")
            )
        return again


class OwnAddressForm(forms.Form):
    """Where notices about one's own sign-in go."""

    email = forms.EmailField(label=_("Your e-mail address"), required=False)
