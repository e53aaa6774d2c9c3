#include <vlm/water/properties.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>

#include <gtest/gtest.h>
#include <unistd.h>

#include <vlm/base/error.hpp>

#include "../support/errors.hpp"
#include "../support/python.hpp"

namespace vlm {
namespace {

// Enough for a craft: shares of density, viscosity and vapour pressure.
constexpr double density_tolerance = 2e-4, viscosity_tolerance = 1e-3, pressure_tolerance = 1e-2;

void expect_share(double found, double wanted, double share, double temperature) {
  EXPECT_NEAR(found, wanted, share * wanted) << temperature << " °C";
}

// Figures computed beforehand, apart from this library. Fresh water: density of Kell, J. Chem. Eng. Data 20
// (1975); viscosity of the IAPWS (2008) at 0.1 MPa; saturation of Wagner and Pruss (1993). Sea water of
// practical salinity 35: density of EOS-80 (UNESCO 1981); viscosity of Sharqawy, Lienhard and Zubair (2010),
// with their own fit of fresh water; vapour pressure lowered by 0.000537 of it for each unit of salinity.
struct Row {
  double temperature;                             // °C
  double fresh_density, fresh_mu, fresh_pressure; // kg/m³, Pa s, Pa
  double sea_density, sea_mu, sea_pressure;
};
constexpr Row table[] = {
    {5, 999.9638, 1.518198e-3, 872.53, 1027.6755, 1.619848e-3, 856.1},
    {10, 999.6996, 1.305902e-3, 1228.11, 1026.9524, 1.397249e-3, 1205.0},
    {15, 999.0996, 1.137548e-3, 1705.68, 1025.9728, 1.220300e-3, 1673.6},
    {20, 998.2041, 1.001567e-3, 2339.19, 1024.7630, 1.077021e-3, 2295.2},
    {25, 997.0449, 8.899968e-4, 3169.82, 1023.3431, 9.591850e-4, 3110.2},
    {30, 995.6473, 7.972062e-4, 4246.92, 1021.7286, 8.609763e-4, 4167.1},
};

TEST(WaterProperties, OfFreshWaterAreThePublishedOnes) {
  for (const Row& row : table) {
    const double t = row.temperature;
    const Water water = fresh_water(t);
    expect_share(water.density, row.fresh_density, density_tolerance, t);
    expect_share(fresh_water_viscosity(t), row.fresh_mu, viscosity_tolerance, t);
    expect_share(water.kinematic_viscosity, row.fresh_mu / row.fresh_density, viscosity_tolerance, t);
    expect_share(water.vapour_pressure, row.fresh_pressure, pressure_tolerance, t);
  }
}

TEST(WaterProperties, OfSeaWaterAreThePublishedOnes) {
  for (const Row& row : table) {
    const double t = row.temperature;
    const Water water = sea_water(t, standard_salinity);
    expect_share(water.density, row.sea_density, density_tolerance, t);
    expect_share(sea_water_viscosity(t, standard_salinity), row.sea_mu, viscosity_tolerance, t);
    expect_share(water.kinematic_viscosity, row.sea_mu / row.sea_density, viscosity_tolerance, t);
    expect_share(water.vapour_pressure, row.sea_pressure, pressure_tolerance, t);
  }
}

TEST(WaterProperties, AreThoseOfTheIttcProcedure) {
  // Recommended procedure 7.5-02-01-03, Fresh Water and Seawater Properties. Densities of fresh water as
  // tabulated after it; the other figures, at 15 °C, quoted from memory.
  const double densities[][2] = {
      {10, 999.7026}, {15, 999.1026}, {20, 998.2071}, {25, 997.0479}, {30, 995.6502}};
  for (const auto& [t, density] : densities)
    expect_share(fresh_water(t).density, density, density_tolerance, t);
  expect_share(fresh_water(15).kinematic_viscosity, 1.1386e-6, viscosity_tolerance, 15);
  const Water sea = sea_water(15, standard_salinity);
  expect_share(sea.density, 1026.021, density_tolerance, 15);
  expect_share(sea.kinematic_viscosity, 1.1892e-6, viscosity_tolerance, 15);
}

TEST(WaterProperties, HitTheCheckValuesOfTheirEquations) {
  // UNESCO Technical Papers in Marine Science 44 (1983), practical salinity 35 at 5 °C and 25 °C.
  EXPECT_NEAR(sea_water_density(5, standard_salinity), 1027.67547, 1e-5);
  EXPECT_NEAR(sea_water_density(25, standard_salinity), 1023.34306, 1e-5);
  // Wagner and Pruss: the triple point. IAPWS: water at 20 °C and one atmosphere.
  EXPECT_NEAR(fresh_water_vapour_pressure(0.01), 611.657, 0.01);
  EXPECT_NEAR(fresh_water_viscosity(20), 1.0016e-3, 1e-7);
}

TEST(WaterProperties, OfSeaWaterAreThoseOfTeos10) {
  const std::filesystem::path figures =
      std::filesystem::path(testing::TempDir()) / ("vlm-sea-" + std::to_string(getpid()) + ".txt");
  std::ofstream file(figures);
  file.precision(17);
  for (int t = 0; t <= 30; ++t)
    for (const double salinity : {0.0, 5.0, 15.0, 25.0, standard_salinity, highest_salinity})
      file << t << ' ' << salinity << ' ' << sea_water_density(t, salinity) << ' '
           << sea_water_vapour_pressure(t, salinity) / fresh_water_vapour_pressure(t) << '\n';
  file.close();
  EXPECT_EQ(python::run({VLM_TESTS_DIR "/water/sea_water_gsw.py", figures}), 0);
  std::filesystem::remove(figures);
}

TEST(WaterProperties, OfSeaWithoutSaltAreThoseOfFreshWater) {
  for (const double t : {0.0, 4.0, 17.5, 30.0}) {
    const Water sea = sea_water(t, 0), fresh = fresh_water(t);
    expect_share(sea.density, fresh.density, 5e-6, t); // two equations
    expect_share(sea.kinematic_viscosity, fresh.kinematic_viscosity, 5e-6, t);
    EXPECT_EQ(sea.vapour_pressure, fresh.vapour_pressure);
  }
}

using errors::error_of;

TEST(WaterProperties, AreRefusedBeyondTheirRange) {
  EXPECT_EQ(error_of([] { fresh_water(31); }), "temperature of water: found 31 °C, wanted 0 to 30 °C");
  EXPECT_EQ(error_of([] { fresh_water(std::nan("")); }),
            "temperature of water: found no finite number, wanted 0 to 30 °C");
  EXPECT_EQ(error_of([] { sea_water(-0.5, 35); }), "temperature of water: found -0.5 °C, wanted 0 to 30 °C");
  EXPECT_EQ(error_of([] { sea_water(15, 43); }), "salinity of water: found 43 g/kg, wanted 0 to 42 g/kg");
  for (const auto property : {fresh_water_density, fresh_water_viscosity, fresh_water_vapour_pressure})
    EXPECT_EQ(error_of([&] { property(-1); }), "temperature of water: found -1 °C, wanted 0 to 30 °C");
  for (const auto property : {sea_water_density, sea_water_viscosity, sea_water_vapour_pressure}) {
    EXPECT_EQ(error_of([&] { property(31, 35); }), "temperature of water: found 31 °C, wanted 0 to 30 °C");
    EXPECT_EQ(error_of([&] { property(15, -1); }), "salinity of water: found -1 g/kg, wanted 0 to 42 g/kg");
  }
  EXPECT_EQ(error_of([] {
              fresh_water(lowest_water_temperature);
              fresh_water(highest_water_temperature);
              sea_water(lowest_water_temperature, highest_salinity);
            }),
            "no error");
}

} // namespace
} // namespace vlm
