#pragma once

#include <vlm/water/water.hpp>

namespace vlm {

/// @name Properties of water
/// Fresh and sea water at one atmosphere, the ITTC's subjects in procedure 7.5-02-01-03. Temperatures are in
/// °C, salinities are absolute: grams of salt in a kilogram of sea water. Every function throws Error beyond
/// the ranges of lowest_water_temperature to highest_water_temperature and 0 to highest_salinity.
///@{

constexpr double lowest_water_temperature = 0, highest_water_temperature = 30; ///< [°C]
constexpr double highest_salinity = 42;                                        ///< [g/kg]; the lowest is 0
constexpr double standard_salinity = 35.16504; ///< [g/kg], of practical salinity 35 (ITTC 7.5-02-01-03)

/// Density [kg/m³] of air-free fresh water. Source: Kell, J. Chem. Eng. Data 20 (1975), of use from 0 to 150
/// °C. Within 4 parts in a million of TEOS-10 here.
double fresh_water_density(double temperature);

/// Dynamic viscosity [Pa s] of fresh water: the simplified equation for 0.1 MPa of the IAPWS (2008), from −20
/// to 110 °C.
double fresh_water_viscosity(double temperature);

/// Vapour pressure [Pa] of fresh water. Source: Wagner and Pruss, J. Phys. Chem. Ref. Data 22 (1993), from
/// the triple point at 0.01 °C to the critical point; continued to 0 °C.
double fresh_water_vapour_pressure(double temperature);

/// Density [kg/m³] of sea water: the one-atmosphere equation of EOS-80 (UNESCO Technical Papers in Marine
/// Science 38, 1981), from −2 to 40 °C and practical salinity 0 to 42. Within 0.01 kg/m³ of TEOS-10 here.
double sea_water_density(double temperature, double salinity);

/// Dynamic viscosity [Pa s] of sea water: what Sharqawy, Lienhard and Zubair, Desalination and Water
/// Treatment 16 (2010), give as its ratio to that of fresh water, after Isdale, from 0 to 180 °C and 0 to
/// 150 g/kg; their accuracy 1.5 %.
double sea_water_viscosity(double temperature, double salinity);

/// Vapour pressure [Pa] of sea water: that of fresh water, lowered after Raoult in proportion to the
/// practical salinity (Gill, Atmosphere-Ocean Dynamics, 1982, appendix 4), up to salinity 40 or so.
double sea_water_vapour_pressure(double temperature, double salinity);

/// All of them together, for fresh water.
Water fresh_water(double temperature);
/// All of them together, for sea water.
Water sea_water(double temperature, double salinity);

///@}

} // namespace vlm
