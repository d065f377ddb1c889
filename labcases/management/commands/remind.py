"""`manage.py remind`: urgent mail and the digest of the day, each once; for cron."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django_tasks import TaskResult, TaskResultStatus

from labcases.domain import outbox, reminders
from labcases.management.reminding import remind_person, texts
from labcases.models import Reminder
from labcases.templatetags.units import long_time

OFF = "No mail is sent from here: EMAIL_URL is not set. README.md says how to set it."


class Command(BaseCommand):
    """Send what there is to say to everybody who wants mail."""

    help = (
        "Send urgent mail and, once a day, the digest, to everybody who wants mail. It may run as "
        "often as wanted, and twice at once: no mail goes twice. With TASK_WORKER=1 it only puts "
        "the work in the queue of `manage.py db_worker`. Mail that was leaving when a run was "
        "ended is listed and not sent again; with --again it is, once."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--again",
            action="store_true",
            help="send once more what nobody knows to have left, as far as it is still true",
        )

        parser.add_argument(
            "--show",
            action="store_true",
            help="print what there is to say to everybody, at whatever hour, and send nothing",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["show"]:
            for user in reminders.wanting():
                for mail in texts(user):
                    self.stdout.write(
                        f"To: {user.username}\nSubject: {mail.subject}\n\n{mail.text}"
                    )
            return
        if not outbox.is_on():
            self.stdout.write(OFF)
            return
        behind = outbox.left_behind()
        if options["again"]:
            self.stdout.write(f"{_mails(outbox.assume_not_sent(behind))} may go once more.")
            behind = []
        results = [remind_person.enqueue(user.pk) for user in reminders.wanting()]
        self.stdout.write(in_words(results))
        for row in behind:
            self.stderr.write(left_behind_words(row))
        if behind:
            self.stderr.write("Nothing of it is sent again. Run it with --again to send it.")


def in_words(results: list[TaskResult[dict[str, int]]]) -> str:
    """What came of it, in one line."""
    if not results:
        return "Nobody wants mail."
    queued = [one for one in results if not one.is_finished]
    if queued:
        return f"{_people(len(queued))} in the queue. `manage.py db_worker` sends."
    done = [one.return_value or {} for one in results if one.status == TaskResultStatus.SUCCESSFUL]
    told = {name: sum(one.get(name, 0) for one in done) for name in ("left", "refused", "unknown")}
    said = f"{_people(len(results))}: {_mails(told['left'])} left"
    if told["refused"]:
        said += f", {told['refused']} refused and tried again with the next run"
    if told["unknown"]:
        said += f", {told['unknown']} of which nobody knows whether it left"
    failed = len(results) - len(done)
    return f"{said}{f', and {_people(failed)} failed: the log says why' if failed else ''}."


def left_behind_words(row: Reminder) -> str:
    """A mail that was leaving when its run was ended."""
    return (
        f"Not known whether it left: {row.get_kind_display().lower()} {row.key} to "
        f"{row.user.username}, {long_time(row.leaving_at)}."
    )


def _mails(number: int) -> str:
    return "1 mail" if number == 1 else f"{number} mails"


def _people(number: int) -> str:
    return "1 person" if number == 1 else f"{number} people"
