"""Reads a record with the VTKHDF reader of VTK, as a viewer does, and checks the panels against the rest of the record.

Usage: read_record_vtk.py RECORD
"""
import sys

import h5py
import numpy as np
from vtkmodules.numpy_interface import dataset_adapter
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkIOHDF import vtkHDFReader


def check(condition, message):
    if not condition:
        sys.exit(f"{sys.argv[1]}: {message}")


reader = vtkHDFReader()
check(reader.CanReadFile(sys.argv[1]), "the reader does not take it")
reader.SetFileName(sys.argv[1])
reader.Update()
grid = reader.GetOutput()
data = dataset_adapter.WrapDataObject(grid)
points = np.asarray(data.Points)
corners = vtk_to_numpy(grid.GetCells().GetConnectivityArray()).reshape(-1, 4)
quadrangle = 9
check(all(grid.GetCellType(i) == quadrangle for i in range(grid.GetNumberOfCells())), "cells are not quadrangles")

with h5py.File(sys.argv[1], "r") as record:
    chord, width = record["lattice/chord"][()], record["lattice/width"][()]
    leading_edge, surface = record["lattice/leading_edge"][()], record["lattice/strip_surface"][()]
    num_panels = len(record["index/panel"])
    attributes = dict(record.attrs)
    cell_data = record.get("VTKHDF/CellData")
    state = dict(cell_data.attrs) if cell_data else None
check(grid.GetNumberOfCells() == num_panels == len(corners), "number of cells")

# The panels of a strip follow each other from the leading edge to the trailing edge. The outlines here run straight within
# a strip, so in its middle the cells meet both edges but for what twist and camber of a displaced lattice do.
a, b, c, d = (points[corners[:, k]] for k in range(4))
strip_of = np.cumsum(np.concatenate([[0], np.any(np.abs(b[:-1] - a[1:]) > 1e-9, axis=1)]))
check(strip_of[-1] + 1 == len(chord), "cells of a strip do not touch")
first = np.searchsorted(strip_of, np.arange(len(chord)))
last = np.append(first[1:], len(corners)) - 1
tolerance = 0.03 * chord.max() if attributes["displaced"] else 1e-9
check(np.allclose(np.linalg.norm((d - a)[first][:, 1:], axis=1), width, rtol=0, atol=tolerance), "width of the cells")
along = ((leading_edge - a[first])[:, 1] / (d - a)[first][:, 1])[:, np.newaxis]
check(np.all((along > 0) & (along < 1)), "cells do not lie about the middle of their strip")
fore, aft = (1 - along) * a[first] + along * d[first], (1 - along) * b[last] + along * c[last]
check(np.allclose(fore, leading_edge, rtol=0, atol=tolerance), "cells do not start at the leading edge")
check(np.allclose((aft - fore)[:, 0], chord, rtol=0, atol=tolerance), "cells do not end at the trailing edge")

# Seen from the lifting side they turn anticlockwise: upward here.
area = 0.5 * np.cross(c - a, d - b)
check(np.all(area[:, 2] > 0), "normals of the cells do not point to the lifting side")
reference = area[surface[strip_of] == 0, 2].sum()
check(abs(reference / attributes["reference_area"] - 1) < 0.05, f"area {reference} of the reference surface")

check((len(data.CellData.keys()) == 2) == (state is not None), f"cell data {data.CellData.keys()}")
if state:
    circulation, pressure_jump = (np.asarray(data.CellData[name]) for name in ("circulation", "pressure_jump"))
    density, speed = attributes["water_density"], state["speed"]
    # Over the chord in the middle of a strip the pressure jump adds up to the lift per metre, ρ V Γ.
    length = 0.5 * ((b - a) + (c - d))[:, 0]
    length *= (chord / np.bincount(strip_of, length))[strip_of]
    lift_per_metre = np.bincount(strip_of, pressure_jump * length)
    wanted = density * speed * np.bincount(strip_of, circulation)
    check(np.allclose(lift_per_metre, wanted, rtol=1e-9), "pressure jump does not add up to the lift per metre")
    # Lift of all panels as a viewer would integrate it; the gap at the tips and the bend of the outline are small.
    check(abs((pressure_jump * area[:, 2]).sum() / (wanted * width).sum() - 1) < 0.02, "integral of the pressure jump")
