from django.db import migrations, models


def mark_the_end(apps, schema_editor):
    """Note where the trail ends that is there already."""
    using = schema_editor.connection.alias
    last = (
        apps.get_model("materials", "AuditEntry")
        .objects.using(using)
        .order_by("-seq")
        .first()
    )
    apps.get_model("materials", "AuditHead").objects.using(using).create(
        pk=1,
        seq=last.seq if last else 0,
        digest=last.digest if last else "",
    )


class Migration(migrations.Migration):
    """Note where the trail ends, so that a trail cut short shows."""

    dependencies = [("materials", "0004_outbox")]

    operations = [
        migrations.CreateModel(
            name="AuditHead",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True,
                        primary_key=True,
                        serialize=False,
                        verbose_name="ID",
                    ),
                ),
                ("seq", models.PositiveBigIntegerField(default=0)),
                ("digest", models.CharField(blank=True, max_length=64)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("pk", 1)), name="head_is_one"
                    )
                ],
            },
        ),
        migrations.RunPython(mark_the_end, migrations.RunPython.noop),
    ]
