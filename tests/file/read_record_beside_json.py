"""Holds a record beside the JSON of the same run: every figure by its name, with its unit.

Usage: read_record_beside_json.py RECORD JSON
A dataset is looked for in the points of the JSON under its own name, with a unit at the end in place of the attribute
`units`; where the names differ, the tables below tell. What JSON does not have is named too: a dataset that is neither
found nor named there fails.
"""
import json
import math
import sys

import h5py
import numpy as np

# What a name in JSON ends in: the unit of the record, and what makes a figure one of that.
UNITS = {"_deg": ("rad", math.pi / 180), "_mm": ("m", 1e-3), "_cm2": ("m2", 1e-4), "_percent": ("1", 1e-2), "_kg": ("kg", 1), "_n": ("N", 1),
         "_w": ("W", 1), "_m_s": ("m/s", 1), "_m_s2": ("m/s2", 1), "_m2_s": ("m2/s", 1), "_n_m": ("N m", 1), "_n_per_m": ("N/m", 1),
         "_n_per_rad": ("N/rad", 1), "_n_m_per_rad": ("N m/rad", 1), "_n_m_s_per_rad": ("N m s/rad", 1), "_per_rad": ("1/rad", 1),
         "_per_s": ("1/s", 1), "_hz": ("rad/s", 2 * math.pi), "_rad_per_s_per_n_m": ("rad/s/(N m)", 1), "_percent_per_m": ("1/m", 1e-2),
         "_mm_per_m": ("1", 1e-3), "_n_per_rad_per_m": ("N/rad/m", 1), "_n_m_per_rad_per_m": ("N m/rad/m", 1),
         "_n_m_s_per_rad_per_m": ("N m s/rad/m", 1), "_rad_per_s_per_n_m_per_m": ("rad/s/(N m)/m", 1), "": ("1", 1)}

# Datasets of a group under another name in JSON, "LIST.NAME" for one in each entry of a list; and those not there.
NAMES = {
    "polar": {"alpha": "angle", "total_drag": "drag", "circulation": "span_loading.circulation",
              "local_lift_coefficient": "span_loading.local_lift_coefficient", "lift_per_metre": "span_loading.lift",
              "part_near_drag_coefficient": "parts.near_field_drag_coefficient", "part_share": "parts.share",
              **{f"part_{name}_coefficient": f"parts.{name}_coefficient" for name in (
                  "lift", "induced_drag", "side_force", "rolling_moment", "pitching_moment", "yawing_moment")}},
    "without_image": {"alpha": "without_image.angle", "wave_drag": "wave_drag_upper_estimate",
                      **{name: f"without_image.{name}" for name in (
                          "lift_coefficient", "induced_drag_coefficient", "pitching_moment_coefficient")}},
    "twist": {"alpha": "angle", "zero_lift_moment": "zero_lift_moment_coefficient", "peak_local_lift": "peak_local_lift_coefficient"},
    "placement": {"alpha": "angle", "area_ratio": "area", "front_foot_share": "front_foot", "surface_local_lift": "surface_local_lift_coefficient",
                  "greatest_local_lift": "greatest_local_lift_coefficient", "share_of_limit": "percent_of_lift_limit",
                  "without_image_alpha": "angle_without_image", "without_image_load_station": "load_station_without_image",
                  "without_image_drag": "drag_without_image", "without_image_static_margin": "static_margin_without_image"},
    "trim": {"alpha": "angle", "front_foot_share": "front_foot", "greatest_local_lift": "greatest_local_lift_coefficient",
             "share_of_limit": "percent_of_lift_limit", "alpha_without_image": "angle_without_image", "wave_drag": "wave_drag_upper_estimate",
             "part_lift": "parts.lift", "part_drag": "parts.drag"},
    "handling": {"alpha": "angle"},
    "internal_loads": {},
    "reach": {"least_depth": "least_depth_of_origin", "strip_depth": "strips.depth", "local_lift_coefficient": "strips.lift_coefficient",
              "level_local_lift_coefficient": "strips.level_lift_coefficient", "lift_per_metre": "strips.lift", "level_lift_per_metre": "strips.level_lift",
              **{f"{what}_{name}": f"{what}s.{name}" for what in ("tip", "surface")
                 for name in ("depth", "breach_bank_starboard_down", "breach_bank_port_down")}},
    "comparison": {"alpha": "angle", "top_speed": "top_speed_speed",
                   "load_station_at_speed": "speeds.load_station", "lift_at_speed": "speeds.lift", "drag_at_speed": "speeds.drag"},
}
NOT_IN_JSON = {"polar": {"drag"}, "trim": {"circulation"},
               "handling": {"per_depth_pitch_lag_damping", "per_depth_deck_pitch_lag_damping"}, # never sought
               "comparison": {"alpha_at_speed", "speed", "deck_pitch_stiffness", "deck_pitch_rate_damping", "deck_pitch_lag_damping",
                              "pitch_rate_damping", "pitch_lag_damping", "roll_rate_per_torque", "side_force_of_sideslip", "yaw_stiffness"}}


def check(condition, message):
    if not condition:
        sys.exit(f"{sys.argv[1]}: {message}")


def figure(fields, name, units):
    """A figure of JSON in the record's unit, None where it is undefined. Raises KeyError if it is not there."""
    if name == "percent_of_lift_limit":
        return None if fields[name] is None else fields[name] / 100
    if name == "near_drag_excess":
        percent = fields["near_field_difference_percent"]
        return None if percent is None else percent / 100 * fields["induced_drag_coefficient"]
    if name == "ventilation":
        return ("none", "possible", "likely", "certain").index(fields[name])
    for ending, (unit, factor) in UNITS.items():
        if name + ending in fields and unit == units:
            value = fields[name + ending]
            return None if value is None else value * factor
    raise KeyError(name)


def modes(point, name):
    """Figures of handling stand in three places."""
    for place, start in (("motion", "rigid_"), ("motion", "on_the_deck_"), ("per_depth", "per_depth_")):
        if name.startswith(start):
            inner = point.get(place, {})
            return (inner.get(start[:-1], {}).get("modes", []) if place == "motion" else inner), name[len(start):]
    return point.get("figures", {}), name


def wanted(group, name, units, point, width):
    """Figures of one point, as many as the dataset has for it."""
    path = NAMES[group].get(name, name)
    if group == "handling" and path not in ("angle", "load_station", "speed"):
        point, path = modes(point, name)
    if isinstance(point, list): # of modes
        if path == "angular_frequency": # 0 in the record where nothing oscillates
            found = [figure(entry, "frequency", units) or 0 for entry in point]
        else:
            found = [figure(entry, path, units) for entry in point]
    elif "." in path:
        place, path = path.split(".")
        inner = point[place] or []
        found = [figure(entry, path, units) for entry in (inner if isinstance(inner, list) else [inner])]
    else:
        found = [figure(point, path, units)] if point else []
    check(len(found) in (0, width) or isinstance(point, list), f"{group}/{name}: {len(found)} figures of a point in JSON, wanted {width}")
    return found + [None] * (width - len(found))


def points_of(group, result):
    points = result["points"]
    if group == "without_image":
        return [p for p in points if "without_image" in p]
    if group == "internal_loads": # "point" is three figures of JSON
        return [s for beam in points[0]["beams"] for s in beam["stations"]]
    return points


def compare(group, record, result):
    points = points_of(group, result)
    num_compared = 0
    for name, dataset in record[group].items():
        scale_of_grid = group == "twist" and name in ("incidence", "twist")
        if dataset.dtype.kind != "f" or name.endswith("_valid") or name in NOT_IN_JSON.get(group, ()):
            continue
        values = dataset[()]
        if scale_of_grid:
            values = np.meshgrid(record["twist/incidence"], record["twist/twist"], indexing="ij")[name == "twist"]
        rows = values.reshape(len(points), -1)
        valid = record[group][name + "_valid"][()].reshape(rows.shape) if name + "_valid" in record[group] else None
        for i, point in enumerate(points):
            if group == "internal_loads" and name == "point":
                row = [figure(point, axis, "m") for axis in "xyz"]
            else:
                try:
                    row = wanted(group, name, dataset.attrs["units"], point, rows.shape[1])
                except KeyError as missing:
                    check(False, f"{group}/{name} [{dataset.attrs['units']}]: not in JSON: {missing}")
            for k, value in enumerate(row):
                where = f"{group}/{name}, point {i}, figure {k}"
                check(valid is None or valid[i, k] == (value is not None), f"{where}: valid {valid is not None and valid[i, k]}, in JSON {value}")
                # Degrees are printed to 1e-10.
                check(math.isclose(rows[i, k], value or 0, rel_tol=1e-12, abs_tol=2e-12 if dataset.attrs["units"] == "rad" else 1e-18),
                      f"{where}: found {rows[i, k]!r}, in JSON {value!r}")
                num_compared += value is not None
    check(num_compared > len(points), f"{group}: only {num_compared} figures compared")


def compare_derivatives(record, result):
    for group, value in (("derivatives", "value"), ("derivatives_without_image", "value_without_image")):
        by_name = {d["name"]: d for d in result["derivatives"]}
        for i, name in enumerate(record[group]["name"].asstr()[()]):
            found = by_name[name]
            check(record[group]["group"].asstr()[i] == found["group"] and record[group]["unit"].asstr()[i] == found["unit"], name)
            check(record[group]["value"][i] == found[value], f"{group}: {name}")
            check(record[group]["part"][i].tolist() == [p[value] for p in found["parts"]], f"{group}: parts of {name}")


def compare_marks(record, result):
    attributes = record["trim"].attrs
    for name, mark in result["marked_speeds"].items():
        speed = name if name.endswith("_speed") else name + "_speed"
        if mark["speed_m_s"] is None:
            check(attributes[name + "_refusal"] == mark["refusal"] and speed not in attributes, f"trim: {name}")
        else:
            check(attributes[speed] == mark["speed_m_s"], f"trim: {speed}")


def compare_common(record, result):
    """What a comparison has once."""
    group = record["comparison"]
    check(group.attrs["common_speed"] == result["speed_m_s"], "comparison: common_speed")
    check(math.isclose(math.degrees(group.attrs["equal_alpha"]), result["equal_angle_deg"], abs_tol=1e-10), "comparison: equal_alpha")
    check(group["speed"][()].tolist() == [s["speed_m_s"] for s in result["points"][0]["speeds"]], "comparison/speed")


def compare_drag(record, result):
    """Items of a polar's drag by part and cause; the record has those that a turn would add, too."""
    items = record["polar/drag_item"].asstr()[()]
    for row, point in zip(record["polar/drag"], result["points"], strict=True):
        found = {f"{d['part']}: {d['cause']}": d["drag_n"] for d in point["drag"]}
        check(set(found) <= set(items), f"polar/drag_item: {items}")
        check(row.tolist() == [found.get(item, 0) for item in items], "polar/drag")


with h5py.File(sys.argv[1], "r") as file, open(sys.argv[2]) as text:
    of_json = json.load(text)
    groups = [group for group in NAMES if group in file]
    check(groups, "no study")
    for one in groups:
        compare(one, file, of_json)
    if "derivatives" in file:
        compare_derivatives(file, of_json)
    for group_name, more in (("polar", compare_drag), ("trim", compare_marks), ("comparison", compare_common)):
        if group_name in file:
            more(file, of_json)
    for text_name in ("refusal", "craft"):
        for one in groups:
            if text_name in file[one]:
                in_points = [p["title" if text_name == "craft" else text_name] for p in of_json["points"]]
                check(list(file[one][text_name].asstr()[()]) == in_points, f"{one}/{text_name}")
