"""Forms about people."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from materials.forms.sign_in import password_field
from materials.models import Person


class PersonForm(forms.Form):
    """Somebody new who may sign in."""

    name = forms.CharField(label=_("Name"), max_length=120)
    username = forms.SlugField(label=_("Sign-in name"), max_length=60)
    role = forms.ChoiceField(label=_("Role"), choices=Person.Role.choices)
    password = password_field(_("First password"), new=True)


class RoleForm(forms.Form):
    """Another role for somebody."""

    role = forms.ChoiceField(label=_("Role"), choices=Person.Role.choices)
