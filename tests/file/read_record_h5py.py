"""Reads a record with h5py and checks what docs/record.md promises of it.

Usage: read_record_h5py.py RECORD EXPECTED
EXPECTED: lines of text. "/path value…" expects a dataset, in the order of storage, "/path@name value…" an attribute; numbers
must be the same bits. "-/path" expects that there is no such dataset.
"""
import hashlib
import sys

import h5py
import numpy as np


SI_UNITS = ("1", "N m", "m", "rad", "1/rad", "m2", "kg", "m2/s", "N/m", "N", "Pa", "m/s", "1/s", "rad/s", "1/m", "N/rad", "N m/rad", "N m s/rad",
            "m/s2", "W", "rad/s/(N m)", "N/rad/m", "N m/rad/m", "N m s/rad/m", "rad/s/(N m)/m")


def check(condition, message):
    if not condition:
        sys.exit(f"{sys.argv[1]}: {message}")


def check_every_dataset(record):
    """Unit, sentence and scales, or the place of a scale."""
    def visit(name, item):
        if not isinstance(item, h5py.Dataset):
            return
        units, sentence = item.attrs.get("units"), item.attrs.get("long_name")
        each_its_own = units == "see unit" and len(item.parent["unit"]) == len(item)
        check(each_its_own or units in SI_UNITS, f"/{name}: units {units!r}")
        check(isinstance(sentence, str) and len(sentence) > 5, f"/{name}: long_name {sentence!r}")
        for axis, length in enumerate(item.shape):
            if h5py.h5ds.is_scale(item.id):
                continue
            check(len(item.dims[axis]) == 1, f"/{name}: dimension {axis} has {len(item.dims[axis])} scales")
            check(len(item.dims[axis][0]) == length, f"/{name}: scale of dimension {axis} is not {length} long")
        if item.dtype.kind == "f":
            check(np.isfinite(item[()]).all(), f"/{name}: not finite")
        if name.endswith("_valid"):
            check(set(np.unique(item[()])) <= {0, 1}, f"/{name}: not 0 or 1")
            check((record[name[:-6]][()][item[()] == 0] == 0).all(), f"/{name}: an undefined figure is not 0")
    record.visititems(visit)


def check_root(record):
    attributes = record.attrs
    check(attributes["record_version"] == 2, "record_version")
    check(hashlib.sha256(attributes["case_text"].encode()).hexdigest() == attributes["case_sha256"], "case_sha256")
    np.datetime64(attributes["date"].removesuffix("Z"))
    check(attributes["date"].endswith("Z"), f"date {attributes['date']!r}")
    for name in ("title", "command", "library_version", "linear_algebra", "case_file", "water_kind", "reference_surface", "spacing"):
        check(isinstance(attributes[name], str) and attributes[name], name)
    check(attributes["reference_surface"] in record["lattice/surface"].asstr()[()], "reference_surface")
    check(attributes["water_kind"] == ("sea" if "water_salinity" in attributes else "fresh"), "water_kind")
    check(attributes["moment_point"].shape == (3,), "moment_point")


def check_span_loading(record):
    """Kutta and Joukowski from the circulations, and the scales by which they can be plotted."""
    polar, chord, density = record["polar"], record["lattice/chord"][()], record.attrs["water_density"]
    speed, circulation = polar.attrs["speed"], polar["circulation"][()]
    check(polar["circulation"].dims[0][0] == polar["alpha"], "polar/circulation: dimension 0 is not alpha")
    check(polar["circulation"].dims[1][0] == record["index/strip"], "polar/circulation: dimension 1 is not strip")
    check(polar["part_share"].dims[1][0] == record["lattice/part"], "polar/part_share: dimension 1 is not part")
    check(np.allclose(polar["local_lift_coefficient"], 2 * circulation / (speed * chord), rtol=1e-12), "local lift")
    check(("lift_per_metre" in polar) == ("speed" in record.attrs), "lift_per_metre stands beside a known speed only")
    if "speed" in record.attrs:
        check(speed == record.attrs["speed"], "speed")
        check(np.allclose(polar["lift_per_metre"], density * speed * circulation, rtol=1e-12), "lift_per_metre")


def check_twist(record):
    twist = record["twist"]
    check(twist.attrs["surface"] in record["lattice/surface"].asstr()[()], "twist: surface")
    for name, dataset in twist.items():
        if name not in ("incidence", "twist"):
            check(dataset.dims[0][0] == twist["incidence"], f"twist/{name}: dimension 0 is not incidence")
            check(dataset.dims[1][0] == twist["twist"], f"twist/{name}: dimension 1 is not twist")
            check((dataset[()][twist["valid"][()] == 0] == 0).all(), f"twist/{name}: written beyond the study")


def check_expected(record, lines):
    for line in lines:
        name, *values = line.split()
        if name[0] == "-":
            check(name[1:] not in record, f"{name[1:]} is there")
            continue
        path, _, attribute = name.partition("@")
        found = record[path].attrs[attribute] if attribute else record[path][()]
        found = np.ravel(found).tolist()
        wanted = [float(value) for value in values]
        check(found == wanted, f"{name}: found {found}, wanted {wanted}")


with h5py.File(sys.argv[1], "r") as file, open(sys.argv[2]) as expected:
    check_every_dataset(file)
    check_root(file)
    if "polar" in file:
        check_span_loading(file)
    if "twist" in file:
        check_twist(file)
    check_expected(file, expected.read().splitlines())
