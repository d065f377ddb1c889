"""The jobs at the bench whose minutes are planned."""

from django.db.models import TextChoices


class BenchJob(TextChoices):
    """In the order of the work, with the posterior teeth set first."""

    TRAY = "tray", "Tray"
    CAST = "cast", "Cast, base and rim"
    MOUNTING = "mounting", "Mounting and verification"
    POSTERIOR = "posterior", "Posterior set-up"
    ANTERIOR = "anterior", "Anterior set-up on the trimmed cast"
    WAX_UP = "wax-up", "Wax-up"
    FLASKING = "flasking", "Flasking and packing"
    REMOUNT = "remount", "Remount"
    FINISHING = "finishing", "Finishing"
