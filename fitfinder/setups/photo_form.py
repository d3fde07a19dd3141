"""A photo that is put on a setup sheet."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError

from inventory.inspections import photos

HINT = "JPEG, PNG or WebP. It is made small, and without the place where it was taken."


class PhotoInput(forms.FileField):
    """A picture; cleans to the small JPEG that is kept, or None."""

    def __init__(self, *, required: bool = False) -> None:
        super().__init__(
            required=required,
            label="Photo",
            help_text=HINT,
            widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
            error_messages={"required": "No photo was chosen. Take one, or choose a picture."},
        )

    def clean(self, value, initial=None):
        file = super().clean(value, initial)
        if not file:
            return None
        try:
            return photos.small_jpeg(file)
        except photos.PhotoError as error:
            raise ValidationError(str(error)) from None


class PhotoForm(forms.Form):
    photo = PhotoInput(required=True)
