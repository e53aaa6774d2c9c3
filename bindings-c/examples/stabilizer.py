#!/usr/bin/env python3
"""The job of stabilizer.c through ctypes, which comes with Python: no package is needed but libvlm-c.

    python3 stabilizer.py cases/lake-rescue/heron-880.toml

VLM_LIBRARY names the shared library where the loader does not find it by itself."""

import ctypes
import math
import os
import sys
from ctypes import POINTER, Structure, byref, c_char_p, c_double, c_int, c_size_t, c_void_p

try:
    library = ctypes.CDLL(os.environ.get("VLM_LIBRARY", "libvlm-c.so.2"))  # 2: VLM_ABI of the header used here
except OSError as error:
    sys.exit(f"stabilizer.py: {error}: set VLM_LIBRARY to the path of libvlm-c.so.2, in lib of where it was installed")
library.vlm_message.restype = c_char_p


# The structures of vlm.h, member by member.
class Figure(Structure):
    _fields_ = [("value", c_double), ("defined", c_int)]


class Place(Structure):
    _fields_ = [("index", c_size_t), ("defined", c_int)]


class TwistStudy(Structure):
    _fields_ = [("surface", c_size_t), ("shape", c_char_p),
                ("incidences", POINTER(c_double)), ("num_incidences", c_size_t),
                ("twists", POINTER(c_double)), ("num_twists", c_size_t),
                ("centre_from", Figure), ("centre_to", Figure), ("least_static_margin", Figure)]


class TwistPoint(Structure):
    _fields_ = ([("incidence", c_double), ("twist", c_double)]
                + [(name, Figure) for name in
                   ("alpha", "lift_slope", "zero_lift_moment", "pitching_moment_coefficient", "static_margin",
                    "centre_of_lift", "neutral_point", "surface_lift_coefficient",
                    "induced_drag_coefficient", "near_drag_excess", "peak_local_lift")]
                + [("peak_strip", c_size_t)])


class TwistMarks(Structure):
    _fields_ = [("least_drag", Place), ("within_limits", Place)]


Progress = ctypes.CFUNCTYPE(c_int, c_size_t, c_size_t, c_void_p)


class Run(Structure):
    _fields_ = [("progress", Progress), ("user", c_void_p), ("num_threads", c_int),
                ("record", c_char_p), ("command", c_char_p)]


def call(name, *arguments):
    """Calls a function of the interface; what it refuses is an exception with its message."""
    if getattr(library, name)(*arguments) != 0:
        raise RuntimeError(library.vlm_message().decode())


def progress(done, total, user):
    print(f"{done} of {total} settings", file=sys.stderr)
    return 0  # anything else ends the study


def stabilizer(path):
    craft, twist = c_void_p(), c_void_p()
    incidences = (c_double * 7)(*(math.radians(degrees) for degrees in range(-3, 4)))
    no_twist = (c_double * 1)(0)
    study = TwistStudy(incidences=incidences, num_incidences=len(incidences), twists=no_twist, num_twists=1,
                       centre_from=Figure(-0.09, 1), centre_to=Figure(-0.06, 1),
                       least_static_margin=Figure(0.15, 1))
    surface = c_size_t()
    points = (TwistPoint * len(incidences))()
    marks = TwistMarks()
    try:
        call("vlm_case_read", os.fsencode(path), byref(craft))
        call("vlm_case_find_surface", craft, b"stabilizer", byref(surface))
        study.surface = surface.value
        call("vlm_run_twist_study", craft, byref(study), byref(Run(progress=Progress(progress))), byref(twist))
        call("vlm_twist_points", twist, points, c_size_t(len(points)))
        call("vlm_twist_find_marks", twist, byref(marks))
    finally:
        library.vlm_twist_free(byref(twist))
        library.vlm_case_free(byref(craft))

    print("incidence, deg   angle, deg   induced drag, CDi   centre of lift, mm   static margin, %")
    for p in points:
        if p.alpha.defined and p.induced_drag_coefficient.defined and p.centre_of_lift.defined \
                and p.static_margin.defined:
            print(f"{math.degrees(p.incidence):14.1f} {math.degrees(p.alpha.value):12.3f} "
                  f"{p.induced_drag_coefficient.value:19.6f} {p.centre_of_lift.value * 1000:20.1f} "
                  f"{p.static_margin.value * 100:18.1f}")
    if marks.within_limits.defined:
        print(f"least drag within the limits: {math.degrees(points[marks.within_limits.index].incidence):.1f} deg")
    else:
        print("no incidence keeps the limits")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: stabilizer.py CASE")
    try:
        stabilizer(sys.argv[1])
    except RuntimeError as error:
        sys.exit(f"stabilizer.py: {error}")
