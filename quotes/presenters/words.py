"""The words a person chooses from, for the keys the visit file uses."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

ROLES = (
    ("wall", _("wall")),
    ("floor", _("floor")),
    ("recess", _("shower recess, sloped")),
    ("ceiling", _("ceiling")),
    ("splashback", _("splashback")),
    ("kerb", _("kerb")),
    ("bench", _("bench")),
    ("niche", _("niche")),
    ("reveal", _("reveal")),
    ("steps", _("steps")),
)
SHAPES = (
    ("rectangle", _("rectangle")),
    ("quadrilateral", _("four sides and a diagonal")),
    ("l", _("L")),
    ("u", _("U")),
    ("run", _("a run of sides")),
    ("polygon", _("corner by corner")),
    ("wall_of", _("a wall of a floor measured here")),
    ("stairs", _("a flight of stairs")),
)
EDGES = (
    ("wall", _("meets a wall")),
    ("exposed", _("shows")),
    ("threshold", _("threshold")),
    ("fold", _("fold")),
)
OPENINGS = (
    ("", "–"),
    ("window", _("window")),
    ("door", _("door")),
    ("niche", _("niche")),
    ("fixture", _("fixture")),
    ("valve", _("valve")),
    ("outlet", _("outlet")),
    ("other", _("other")),
)
REGIONS = (
    ("", "–"),
    ("part_height", _("part height")),
    ("band", _("band")),
    ("border", _("border")),
    ("panel", _("panel")),
    ("niche_back", _("niche back")),
)
LAID_FIRST = (
    ("tread", _("the tread: riser tiles stand on it")),
    ("riser", _("the riser: its tiles run down behind the tread")),
)
CORNERS = (
    ("upper_right", _("upper right")),
    ("upper_left", _("upper left")),
    ("lower_right", _("lower right")),
    ("lower_left", _("lower left")),
)
