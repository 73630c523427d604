"""Sign in and out, change the password, look after one's own tokens."""

from datetime import timedelta
from typing import Any

from django import forms
from django.contrib.auth import views
from django.contrib.auth.decorators import login_required
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse_lazy
from django.utils.decorators import method_decorator
from django.utils.functional import SimpleLazyObject
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from catalog.roles import role_of
from config.accounts.services import WINDOW, AccountProblem, seconds_to_wait, token_create, token_revoke
from fitment.pages.shared.forms import FormField

LIFETIMES = ((30, "30 days"), (90, "90 days"), (365, "a year"))


class SignedIn(HttpRequest):
    """A request that `login_required` let through."""

    user: User


class SignInForm(AuthenticationForm):
    """Django's, which first asks whether this account and address have to wait."""

    bound_field_class = FormField

    def clean(self) -> dict[str, Any]:
        username = self.cleaned_data.get("username")
        if username and self.request is not None:
            self.wait = seconds_to_wait(username=username, address=self.request.META["REMOTE_ADDR"])
            if self.wait:
                raise ValidationError(f"Too many failed attempts. Try again in {self.wait} s.", code="slowed")
        return super().clean()


@method_decorator(never_cache, name="dispatch")
class SignIn(views.LoginView):
    template_name = "accounts/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        wait = getattr(form, "wait", 0)
        response = self.render_to_response(self.get_context_data(form=form), status=429 if wait else 422)
        if wait:
            response["Retry-After"] = str(wait)
        return response


class SignOut(views.LogoutView):
    """Ends the session here and asks the browser to forget what it kept of it."""

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        response = super().dispatch(request, *args, **kwargs)
        response["Clear-Site-Data"] = '"cache", "storage"'
        return response


class PasswordForm(PasswordChangeForm):
    bound_field_class = FormField


@method_decorator(never_cache, name="dispatch")
class Password(views.PasswordChangeView):
    """Changing it ends every other session of the account; its tokens stay, and are listed to be revoked."""

    template_name = "accounts/password.html"
    form_class = PasswordForm
    success_url = reverse_lazy("accounts:tokens")

    def form_valid(self, form: PasswordChangeForm) -> HttpResponse:
        response = super().form_valid(form)
        self.request.session["notice"] = "Your password is changed. Other sessions of yours are signed out."
        return response

    def form_invalid(self, form: PasswordChangeForm) -> HttpResponse:
        return self.render_to_response(self.get_context_data(form=form), status=422)


class TokenForm(forms.Form):
    bound_field_class = FormField

    name = forms.CharField(max_length=80, label="What will use it", help_text="Such as the name of a program.")
    days = forms.TypedChoiceField(choices=LIFETIMES, initial=90, coerce=int, label="How long it lives")


@login_required
@never_cache
def tokens(request: SignedIn) -> HttpResponse:
    """The account: its tokens, a form for a new one, which is shown in this one answer and never again."""
    form, made, status = TokenForm(), None, 200
    if request.method == "POST":
        form, status = TokenForm(request.POST), 422
        if form.is_valid():
            try:
                lifetime = timedelta(days=form.cleaned_data["days"])
                token, text = token_create(user=request.user, name=form.cleaned_data["name"], lifetime=lifetime)
                form, made, status = TokenForm(), {"name": token.name, "text": text}, 201
            except AccountProblem as problem:
                form.add_error("name", str(problem))
    context = {
        "form": form,
        "made": made,
        "notice": request.session.pop("notice", None),
        "tokens": request.user.auth_token_set.all(),
    }
    return render(request, "accounts/tokens.html", context, status=status)


@login_required
@require_POST
def revoke(request: SignedIn) -> HttpResponse:
    name = request.POST.get("name", "")
    if token_revoke(user=request.user, name=name):
        request.session["notice"] = f"The token {name} is revoked."
    return redirect("accounts:tokens")


def locked_out(request: HttpRequest, original: HttpResponse | None = None, credentials: Any = None) -> HttpResponse:
    """The answer of django-axes while an account is closed to an address."""
    minutes = int(WINDOW.total_seconds() // 60)
    response = render(request, "accounts/locked_out.html", {"minutes": minutes}, status=429)
    response["Retry-After"] = str(int(WINDOW.total_seconds()))
    return response


def viewer(request: HttpRequest) -> dict[str, Any]:
    """For every template, `viewer`: the role of who looks at the page, asked only where a template asks for it."""
    return {"viewer": SimpleLazyObject(lambda: role_of(getattr(request, "user", None)))}


app_name = "accounts"
urlpatterns = [
    path("sign-in/", SignIn.as_view(), name="sign-in"),
    path("sign-out/", SignOut.as_view(), name="sign-out"),
    path("password/", Password.as_view(), name="password"),
    path("tokens/", tokens, name="tokens"),
    path("tokens/revoke/", revoke, name="revoke"),
]
