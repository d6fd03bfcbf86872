"""The people who sign in. What each may do hangs on roles (see `rights`)."""

from typing import Any

from django.contrib.auth.models import AbstractUser
from django.db import models


class Person(AbstractUser):
    """A user of our own from the first day, so that it can grow."""

    last_refused = ""
    """The right that was asked for last and not there: the "not allowed" page names it."""

    class Meta:
        verbose_name = "person"
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    def has_perm(self, perm: str, obj: Any = None) -> bool:
        """As Django's; remembers what was refused."""
        allowed = super().has_perm(perm, obj)
        if not allowed:
            self.last_refused = perm
        return allowed


class FailedSignIn(models.Model):
    """One wrong password, so that guessing can be slowed down."""

    name = models.CharField(max_length=150)
    address = models.GenericIPAddressField()
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-at"]
        indexes = [models.Index(fields=["name", "address", "at"], name="failed_sign_in_who")]

    def __str__(self) -> str:
        return f"{self.name} from {self.address}"
