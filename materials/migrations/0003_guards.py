from django.db import migrations

from materials.models.guarding import GUARDS, guard_steps


class Migration(migrations.Migration):
    """Let the database itself refuse changes of what is kept."""

    dependencies = [("materials", "0002_taxed_sales")]

    operations = [migrations.RunPython(*guard_steps(GUARDS))]
