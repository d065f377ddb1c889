"""`manage.py demo`: a laboratory with invented people, on this machine only."""

import hashlib
import json
import shutil
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.staticfiles.finders import get_finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.servers.basehttp import WSGIServer, run
from django.core.wsgi import get_wsgi_application
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from labcases.management.demo_case import DemoPerson, load_demo
from labcases.models import DemoMark

ADDRESS = "127.0.0.1"


class Command(BaseCommand):
    """Fill a database of its own with invented people, say who can log in, and serve it."""

    # Run by load() instead: they bring the whole application along, and a second start is quick.
    requires_system_checks = ()

    help = "Load invented people and cases into a database of their own and serve them here."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument("--fresh", action="store_true", help="start over with a new database")
        parser.add_argument("--port", type=int, default=8000, help="port on 127.0.0.1 (8000)")

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.DEMO:
            raise CommandError(
                "This is not the demonstration's database. Start it as `python3 manage.py demo`."
            )
        self.folder = Path(settings.DATA_DIR)
        self.people_file = self.folder / "people.json"
        if options["fresh"]:
            self.start_over()
        self.refuse_real_accounts()
        self.migrate()
        self.collect_static()
        if not DemoMark.objects.exists():
            self.load()
        self.say_who_can_log_in()
        if not options["no_serve"]:
            self.serve(options["port"])

    def say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()

    def accounts(self) -> set[str]:
        """Return the user names in the database; none before its first migration."""
        user = get_user_model()
        if user._meta.db_table not in connection.introspection.table_names():
            return set()
        return set(user.objects.values_list("username", flat=True))

    def accounts_of_demo(self) -> set[str]:
        """Return the user names that an earlier load has made."""
        if DemoMark._meta.db_table not in connection.introspection.table_names():
            return set()
        return {name for mark in DemoMark.objects.all() for name in mark.usernames}

    def refuse_real_accounts(self) -> None:
        """Stop before a database that was not filled by the demonstration."""
        if self.accounts() and not self.accounts_of_demo():
            raise CommandError(
                f"The database in {self.folder} holds accounts that the demonstration did not"
                " make. It loads into a database of its own only; nothing was changed. Move that"
                " folder away, or name another with DATA_DIR."
            )

    def start_over(self) -> None:
        """Remove what earlier demonstrations left, unless somebody made an account since."""
        own = self.accounts() - self.accounts_of_demo()
        if own:
            raise CommandError(
                f"The database in {self.folder} holds {len(own)} accounts that the demonstration"
                " did not make, and starting over would remove them; nothing was changed. Remove"
                " that folder yourself if none is needed."
            )
        connection.close()
        self.say("Starting over: removing the earlier demonstration ...")
        for path in self.folder.glob("db.sqlite3*"):
            path.unlink()
        self.people_file.unlink(missing_ok=True)
        shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)

    def migrate(self) -> None:
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            self.say("Making the tables ...")
            call_command("migrate", verbosity=0, interactive=False)

    def collect_static(self) -> None:
        """Collect style sheets and scripts when one has changed since the last time.

        How they are stored counts as well: without DEBUG every page looks its files up in a
        manifest that a collection with DEBUG does not write.
        """
        digest = hashlib.sha256(settings.STORAGES["staticfiles"]["BACKEND"].encode())
        for finder in get_finders():
            for name, storage in finder.list([]):
                digest.update(f"{name} {storage.get_modified_time(name)}\n".encode())
        stamp = self.folder / "static.sha256"
        wanted = digest.hexdigest()
        if stamp.exists() and stamp.read_text() == wanted and self.is_collected():
            return
        self.say("Collecting style sheets and scripts ...")
        call_command("collectstatic", verbosity=0, interactive=False, clear=True)
        stamp.write_text(wanted)

    @staticmethod
    def is_collected() -> bool:
        """Whether the collected files are there, with their manifest where pages ask for it."""
        folder = Path(settings.STATIC_ROOT)
        manifest = getattr(staticfiles_storage, "manifest_name", None)
        return folder.is_dir() and (manifest is None or (folder / manifest).is_file())

    def load(self) -> None:
        self.check()
        self.say("Loading invented people and their cases ...")
        people = load_demo()
        # Passwords are stored as digests only; this file lets the next start print them again.
        self.people_file.touch(mode=0o600)
        self.people_file.write_text(json.dumps([person._asdict() for person in people]))

    def say_who_can_log_in(self) -> None:
        if not self.people_file.exists():
            raise CommandError(
                f"The passwords of this demonstration are gone ({self.people_file}). Start over"
                " with `python3 manage.py demo --fresh`."
            )
        people = [DemoPerson(**row) for row in json.loads(self.people_file.read_text())]
        name = max(len(person.name) for person in people)
        login = max(len(person.username) for person in people)
        self.say("\nDEMO - invented people. Who can log in, with passwords made for this load:")
        for person in people:
            self.say(
                f"  {person.name:{name}}  {person.username:{login}}  {person.password}"
                f"  {person.part}"
            )

    def remember_address(self, port: str) -> None:
        """Let links in mail lead to where it is served; settings.py reads this."""
        (self.folder / "address").write_text(f"http://{ADDRESS}:{port}\n")

    def serve(self, port: int) -> None:
        self.say(f"\nOpen http://{ADDRESS}:{port}/ in a browser on this machine. Ctrl-C stops.")
        try:
            run(
                *(ADDRESS, port, get_wsgi_application()),
                threading=True,
                on_bind=self.remember_address,
                server_cls=WSGIServer,
            )
        except KeyboardInterrupt:
            self.say("Stopped.")
        except OSError as error:
            raise CommandError(
                f"Port {port} cannot be used ({error.strerror}). Another program may have it:"
                f" try `python3 manage.py demo --port {port + 1}`."
            ) from error
