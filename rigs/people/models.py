"""The people who sign in. What each may do hangs on roles (see `rights`)."""

from django.contrib.auth.models import AbstractUser


class Person(AbstractUser):
    """A user of our own from the first day, so that it can grow."""

    class Meta:
        verbose_name = "person"
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.get_full_name() or self.username
