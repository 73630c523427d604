"""The worker of the queue."""

from typing import Any, cast

from django.core.management.base import BaseCommand
from procrastinate.contrib.django import app
from procrastinate.contrib.django.django_connector import DjangoConnector
from procrastinate.jobs import DeleteJobCondition

from config.processes import follow_parent


class Command(BaseCommand):
    help = "Works off the queue in the database until it is stopped; any number may run, on any machine."

    def handle(self, *args: Any, **options: Any) -> None:
        follow_parent()
        connector = cast(DjangoConnector, app.connector)
        with app.replace_connector(connector.get_worker_connector()) as working:
            # Finished jobs do not pile up; failed ones stay to be looked at.
            working.run_worker(name="jointbook", delete_jobs=DeleteJobCondition.SUCCESSFUL.value)
