"""Signing in, with a brake on guessing."""

from typing import Any

from django.contrib.auth.forms import AuthenticationForm
from django.core.exceptions import ValidationError

from rigs.people import actions, queries


class SignInForm(AuthenticationForm):
    """Django's own, in our words; after ten failures in ten minutes it waits."""

    error_messages = {
        "invalid_login": "That name and password do not belong together. Mind capitals.",
        "inactive": "This account is switched off. Ask an administrator.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Name"

    def clean(self) -> dict[str, Any]:
        name, address = self.cleaned_data.get("username", ""), self._address()
        if queries.sign_in_is_blocked(name, address):
            minutes = int(queries.WINDOW.total_seconds() // 60)
            raise ValidationError(
                f"Too many wrong passwords for {name}. Wait {minutes} minutes, then try again, "
                "or ask an administrator for a new password."
            )
        try:
            cleaned = super().clean()
        except ValidationError:
            actions.note_failed_sign_in(name, address)
            raise
        if name:
            actions.forget_failed_sign_ins(name, address)
        return cleaned

    def _address(self) -> str:
        # Behind a proxy this is the proxy's address: the brake then works per name alone.
        return (self.request.META.get("REMOTE_ADDR") if self.request else "") or "0.0.0.0"
