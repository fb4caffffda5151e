"""Forms of signing in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

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


class SecondStepForm(forms.Form):
    """A code of the app or a recovery code, or what a passkey answered."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["code"].required = not self.data.get("passkey")

    code = forms.CharField(
        label=_("Code of your app, or a recovery code"),
        max_length=20,
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "inputmode": "numeric"}
        ),
    )
    passkey = forms.CharField(
        required=False, max_length=20_000, widget=forms.HiddenInput
    )


class AppForm(forms.Form):
    """The code an app shows once it took the secret over."""

    code = forms.CharField(
        label=_("Code the app shows now"),
        max_length=20,
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "inputmode": "numeric"}
        ),
    )


class PasskeyForm(forms.Form):
    """A name for a passkey, and what the device made."""

    name = forms.CharField(
        label=_("Name of the passkey"), max_length=60, initial=_("This device")
    )
    passkey = forms.CharField(
        required=False, max_length=20_000, widget=forms.HiddenInput
    )


class ProofForm(forms.Form):
    """A secret of the person who is signed in, asked once more."""

    def __init__(self, *args: Any, second: bool, **options: Any) -> None:
        super().__init__(*args, **options)
        password = password_field(_("Your password"))
        password.required = not second
        self.fields["password-now"] = password
        if second:
            step = SecondStepForm()
            self.fields["code-now"] = step.fields["code"]
            self.fields["code-now"].required = False
            self.fields["passkey-now"] = step.fields["passkey"]
