"""Signing in and out."""

from __future__ import annotations

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpResponse

from materials.forms.sign_in import SignInForm
from materials.services import lockout, second_factor, sign_ins
from materials.views.access import person_of
from materials.views.second_factor import halt_halfway


class SignIn(LoginView):
    """Sign in with name and password."""

    http_method_names = ("get", "head", "post")
    template_name = "registration/login.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Begin the session, or halfway to it ask for the second step."""
        person, keep = form.get_user(), form.cleaned_data["keep"]
        if second_factor.is_asked(person):
            to = self.get_success_url()
            return halt_halfway(self.request, person, to=to, keep=keep)
        setattr(self.request, sign_ins.KEEPS_PERSON, keep)
        response = super().form_valid(form)
        lockout.know_device(self.request, response, person_of(self.request))
        return response

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        """Say what to do: the same for a name that is known and one that is not."""
        locked = getattr(self.request, "axes_locked_out", False)
        context = self.get_context_data(form=form, locked=locked)
        return self.render_to_response(context, status=429 if locked else 200)


class SignOut(LogoutView):
    """Sign out; a POST, so that no link can do it."""

    http_method_names = ("post",)
