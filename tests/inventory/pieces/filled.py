"""A piece of each kind with all that it is asked filled in, as the texts of a sheet."""

from inventory.models import Kind

FILLED = {
    Kind.COLLET: {
        "series": "5C", "shape": "round", "size": "3/4", "grips_min": "0.7480", "grips_max": "0.7510",
        "stop_thread": "yes",
    },
    Kind.MACHINABLE_COLLET: {"series": "5C", "pilot": "1/16", "bored": "0.4000"},
    Kind.STEP_COLLET: {"series": "5C", "outside_min": "1-1/2", "outside_max": "2", "step_depth": "3/8"},
    Kind.UNIVERSAL_CHUCK: {
        "mount": "D1-4", "jaws": "3", "body": "6", "outside_min": "1/8", "outside_max": "6", "inside_min": "2",
        "inside_max": "5-1/2", "jaw_length": "1", "through": "1-1/2", "max_rpm": "2500", "weight": "42 lb",
    },
    Kind.INDEPENDENT_CHUCK: {"mount": "D1-4", "jaws": "4", "body": "8", "outside_min": "1/4", "outside_max": "8"},
    Kind.LIVE_CENTER: {"mount": "MT3", "angle": "60", "point_tip": "carbide", "point_extension": "1", "load": "800 lb"},
    Kind.DEAD_CENTER: {"mount": "MT3", "angle": "60", "point_tip": "half cut away"},
    Kind.BULL_NOSE_CENTER: {"mount": "MT3", "inside_min": "3/4", "inside_max": "3"},
    Kind.EXTENDED_POINT_CENTER: {"mount": "MT2", "angle": "60", "point_extension": "1-1/8"},
    Kind.COLLET_CHUCK: {"mount": "MT3", "takes": "ER32", "through": "1/2"},
    Kind.CLOSER: {"mount": "D1-4", "takes": "5C", "through": "1-1/16"},
    Kind.SLEEVE: {"mount": "MT5", "takes": "MT3", "tang": "no"},
    Kind.DRAWBAR: {"mount": "MT5", "through": "0.8200"},
    Kind.COLLET_NUT: {"takes": "ER32", "through": "7/8", "max_rpm": "8000"},
    Kind.BACKPLATE: {"mount": "1-1/2-8", "takes": "6 in plain", "body": "6"},
    Kind.STOP: {"fits": "5C"},
    Kind.DRILL_CHUCK: {"mount": "MT3", "outside_min": "1/32", "outside_max": "1/2"},
    Kind.TOOL_POST_HOLDER: {
        "mount": "Wedge post 1", "outside_min": "1/4", "outside_max": "3/4", "shank_shape": "square",
        "operations": "turning, parting", "set_for": "Lathe 1; Lathe 2",
    },
    Kind.FACEPLATE: {"mount": "D1-4", "body": "9", "slots": "6", "max_rpm": "1000"},
    Kind.LATHE_DOG: {"outside_min": "1/4", "outside_max": "3/4", "dog_tail": "bent", "body": "4-1/2"},
    Kind.STEADY_REST: {"outside_min": "3/8", "outside_max": "4", "belongs_to": "Lathe 1"},
    Kind.FOLLOW_REST: {"outside_min": "3/8", "outside_max": "2", "belongs_to": "Lathe 2"},
    Kind.MANDREL: {"inside_min": "0.4985", "inside_max": "0.5005"},
    Kind.EXPANDING_ARBOR: {"inside_min": "1/2", "inside_max": "3/4", "mount": "MT3"},
    Kind.KEY: {"fits": "D1-4, K-0081"},
    Kind.TAPER_SHANK_DRILL: {"size": "3/4", "mount": "MT2", "tang": "yes"},
    Kind.REAMER: {"size": "0.4995", "driven_by": "hand", "shank_size": "1/2"},
    Kind.COUNTERBORE: {"size": "13/32", "pilot": "17/64", "shank_size": "3/8"},
    Kind.TURNING_TOOL: {"shank_size": "1/2", "shank_shape": "square"},
    Kind.BORING_BAR: {"shank_size": "3/4", "shank_shape": "round"},
    Kind.PARTING_BLADE: {"shank_size": "11/16"},
    Kind.KNURLING_HEAD: {"shank_size": "1/2", "shank_shape": "square"},
}  # fmt: skip


COMMON_FILLED = {"location": "A1", "tir": "0.0005", "inspected_on": "2026-03-18", "cost": "28.50", "notes": "Old."}
"""What is asked of every kind."""


def as_typed(typed):
    """What a page sends: several ticks as a list."""
    several = {"operations": ", ", "set_for": "; "}
    return {name: text.split(several[name]) if name in several else text for name, text in typed.items()}
