from django.contrib.auth.forms import AuthenticationForm


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": "That name and password do not go together. Capital letters count in both. "
        "After six wrong tries the name is locked for 15 minutes.",
        "inactive": "This sign-in is closed. Ask the administrator.",
    }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Name"
        # A phone's keyboard would begin the name with a capital.
        self.fields["username"].widget.attrs.update({"autocapitalize": "none", "spellcheck": "false"})
