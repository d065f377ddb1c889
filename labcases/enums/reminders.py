"""Which mail a person wants, and how a mail stands."""

from django.db.models import TextChoices


class MailChoice(TextChoices):
    URGENT = "urgent and digest", "Urgent mail, and one digest a day"
    DIGEST = "digest", "One digest a day"
    NONE = "none", "No mail"


class MailKind(TextChoices):
    URGENT = "urgent", "Urgent mail"
    DIGEST = "digest", "Digest"


class MailState(TextChoices):
    LEAVING = "leaving", "Not known whether it left"
    SENT = "sent", "Sent"
    REFUSED = "refused", "Did not leave; tried again with the next run"
