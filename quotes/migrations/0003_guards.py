from django.db import migrations

from materials.models.guarding import guard_steps
from quotes.models.guarding import GUARDS


class Migration(migrations.Migration):
    """Let the database itself refuse changes of offers and evidence."""

    dependencies = [("quotes", "0002_overhead_of_a_year")]

    operations = [migrations.RunPython(*guard_steps(GUARDS))]
