"""The framework's stock sentences, in the house's words: what is wrong, short and plain.

Set once when the site starts, so that every form, ours and the admin's, speaks alike.
"""

from django import forms
from django.core import validators

FIELDS: dict[type[forms.Field], dict[str, str]] = {
    forms.Field: {"required": "Fill this in."},
    forms.IntegerField: {"invalid": "Give a whole number."},
    forms.FloatField: {"invalid": "Give a number, such as 2.5."},
    forms.DecimalField: {"invalid": "Give a number, such as 2.5."},
    forms.DateTimeField: {"invalid": "Give a date and a time, such as 2030-06-01 14:30."},
    forms.ChoiceField: {"invalid_choice": "%(value)s is not one of the choices."},
    forms.ModelChoiceField: {"invalid_choice": "This choice is gone. Choose again."},
    forms.JSONField: {"invalid": "This can't be read as JSON."},
    forms.FileField: {"empty": "This file is empty.", "missing": "No file came with it."},
}

VALIDATORS: dict[type[validators.BaseValidator], str] = {
    validators.MinValueValidator: "Give %(limit_value)s or more.",
    validators.MaxValueValidator: "Give %(limit_value)s or less.",
    validators.MaxLengthValidator: "At most %(limit_value)d characters; this has %(show_value)d.",
    validators.MinLengthValidator: "At least %(limit_value)d characters; this has %(show_value)d.",
}


def speak_plainly() -> None:
    """Replace the stock sentences."""
    for field, sentences in FIELDS.items():
        field.default_error_messages = {**field.default_error_messages, **sentences}
    for validator, sentence in VALIDATORS.items():
        validator.message = sentence
