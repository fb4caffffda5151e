from django.db import migrations

from jobs.models.guarding import GUARDS
from materials.models.guarding import guard_steps


class Migration(migrations.Migration):
    """Let the database itself refuse changes of documents and ledger lines."""

    dependencies = [("jobs", "0001_initial")]

    operations = [migrations.RunPython(*guard_steps(GUARDS))]
