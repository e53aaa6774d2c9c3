"""Compares sea water with TEOS-10, as Debian's gsw computes it.

Usage: sea_water_gsw.py FIGURES
FIGURES: lines of temperature [°C], absolute salinity [g/kg], density [kg/m³], and vapour pressure over that of fresh water.
Densities must agree to 0.01 kg/m³, of the 0.02 % (0.2 kg/m³) that are enough for a craft; vapour pressures to 0.04 %.
"""
import math
import sys

import gsw

GAS_CONSTANT = 461.52  # J/(kg K), of water vapour
MOST_DENSITY, MOST_PRESSURE = 0.01, 4e-4


def pressure_ratio(temperature, salinity):
    """Activity of the water, from its chemical potentials with salt and without (J/g)."""
    lowering = gsw.chem_potential_water_t_exact(salinity, temperature, 0) - gsw.chem_potential_water_t_exact(0, temperature, 0)
    return math.exp(1000 * lowering / (GAS_CONSTANT * (273.15 + temperature)))


with open(sys.argv[1]) as file:
    figures = [[float(word) for word in line.split()] for line in file]
if len(figures) < 100:
    sys.exit(f"{sys.argv[1]}: found {len(figures)} lines")
for temperature, salinity, density, pressure in figures:
    wanted = gsw.rho_t_exact(salinity, temperature, 0), pressure_ratio(temperature, salinity)
    if not (abs(density - wanted[0]) <= MOST_DENSITY and abs(pressure / wanted[1] - 1) <= MOST_PRESSURE):
        sys.exit(f"at {temperature} °C and {salinity} g/kg: found {density}, {pressure}, wanted {wanted}")
